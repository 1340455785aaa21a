import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { fileURLToPath } from "node:url";
import { expect, it } from "vitest";
import { readArtwork } from "../../server/artwork/artwork.ts";
import { draw } from "../../server/artwork/draw.ts";
import { readDrawing } from "../../server/artwork/svg.ts";

const SAMPLE = fileURLToPath(new URL("../../samples/night-garden/night-garden.svg", import.meta.url));
const NATIVE = fileURLToPath(new URL("../../dist/draw-process.js", import.meta.url));
const SVG = 'xmlns="http://www.w3.org/2000/svg" width="10" height="10"';

const APART = fileURLToPath(new URL("../../dist/draw-wasm-process.js", import.meta.url));

/** What the command line draws with, or the package large pictures, in a process of its own. */
function natively(source: Uint8Array, width: number, height: number, program = NATIVE) {
  return spawnSync(process.execPath, [program, `${width}`, `${height}`], { input: source, maxBuffer: 1e8 });
}

const here = (source: Uint8Array, width: number, height: number) =>
  draw(readDrawing("a.svg", source), source, { width, height });

it("draws the sample alike in WebAssembly and natively, byte for byte", async () => {
  const source = readFileSync(SAMPLE);
  const { stdout, status } = natively(source, 600, 700);
  expect(status).toBe(0);
  expect(Buffer.compare(stdout, (await here(source, 600, 700))!.data)).toBe(0);
  const apart = natively(source, 600, 700, APART);
  expect([apart.status, apart.stdout.equals(stdout)]).toEqual([0, true]);
});

it("gives colours that are not multiplied by their alpha", async () => {
  const half = `<svg ${SVG}><rect width="10" height="10" fill="#ff8000" fill-opacity="0.5"/></svg>`;
  expect([...(await here(Buffer.from(half), 1, 1))!.data]).toEqual([255, 128, 0, 128]);
});

it.each([
  ["to the right", 'x="100"', ""],
  [
    "above and behind a blur",
    'y="-60" filter="url(#f)"',
    '<filter id="f"><feGaussianBlur stdDeviation="1"/></filter>',
  ],
])("draws the page of a drawing that has a layer off it, %s", async (_, place, defs) => {
  const on = '<rect width="5" height="5" fill="red"/>';
  const off = `${defs}<g opacity="0.5"><rect ${place} width="5" height="5"/></g>`;
  const [page, both] = [`<svg ${SVG}>${on}</svg>`, `<svg ${SVG}>${off}${on}</svg>`];
  const wanted = await here(Buffer.from(page), 20, 20);
  const canvasTooLarge = await here(Buffer.from(both), 20, 20);
  // Far away it is left to the other renderer; near by it is drawn here, in both builds.
  if (canvasTooLarge) expect(canvasTooLarge).toEqual(wanted);
  const { status } = natively(Buffer.from(both), 20, 20);
  expect(status === 0).toBe(canvasTooLarge !== undefined);
});

it("reads artwork all the same where the renderer comes to an end, and goes on drawing", async () => {
  // A mask whose layer lies off the page as a whole.
  const fatal = `<svg ${SVG}><mask id="m"><g opacity="0.5"><rect x="100" width="3" height="3" fill="#fff"/></g></mask><g mask="url(#m)"><rect width="5" height="5"/></g><rect y="5" width="10" height="5" fill="#00f"/></svg>`;
  const bytes = Buffer.from(fatal);
  expect(await here(bytes, 10, 10)).toBeUndefined();
  for (const program of [NATIVE, APART]) expect(natively(bytes, 10, 10, program).status).not.toBe(0);
  const { picture } = await readArtwork("a.svg", { widthMm: 25.4, ppi: 10, bytes });
  expect([...picture.data.subarray(-4)]).toEqual([0, 0, 255, 255]);
  const sound = `<svg ${SVG}><rect width="10" height="10" fill="#0f0"/></svg>`;
  expect([...(await here(Buffer.from(sound), 1, 1))!.data]).toEqual([0, 255, 0, 255]);
});

it("keeps no renderer that memory could not be taken from", async () => {
  await here(Buffer.from(`<svg ${SVG}/>`), 1, 1);
  expect(
    Object.keys(createRequire(import.meta.url).cache).filter((file) => file.includes("resvg-wasm")),
  ).toEqual([]);
});

it("tells what is unsound in a document", async () => {
  const bytes = Buffer.from(`<svg ${SVG}><g></svg>`);
  await expect(here(bytes, 10, 10)).rejects.toThrow(/g/);
  for (const program of [NATIVE, APART]) {
    const { status, stderr } = natively(bytes, 10, 10, program);
    expect([status, stderr.length > 0]).toEqual([4, true]);
  }
});
