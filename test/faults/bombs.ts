/**
 * `npm run bombs`: small files that stand for very large pictures, each read in a process of its own. Prints what came
 * of it, how long it took and the most memory that it took. Exit status 1 where one takes more than is stated.
 */
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { createDeflate } from "node:zlib";
import { readArtwork } from "../../server/artwork/artwork.ts";
import { chunk } from "../artwork/fixtures.ts";
import { formsOfForms, zeroPicture } from "../artwork/written-pdf.ts";

/** A picture of 200 Mpx takes 4 bytes a pixel, and while 16-bit samples are rounded 12. */
const MOST_MB = 2600;
const MOST_SECONDS = 60;
const SVG = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1">';

const cases: Readonly<Record<string, () => Promise<{ bytes: Buffer; ppi?: number }>>> = {
  "PNG of 402 Mpx": async () => ({ bytes: await zeroPng(20_050, 1, 0), ppi: 100 }),
  "PNG of 399 Mpx, at print size": async () => ({ bytes: await zeroPng(19_990, 1, 0), ppi: 100 }),
  "PNG of 399 Mpx, all its pixels": async () => ({ bytes: await zeroPng(19_990, 1, 0) }),
  "PNG of 196 Mpx, all its pixels": async () => ({ bytes: await zeroPng(14_000, 1, 0) }),
  "PNG of 196 Mpx in 16-bit RGBA, all its pixels": async () => ({ bytes: await zeroPng(14_000, 16, 6) }),
  "PNG with 1 GB of text in it": async () => ({ bytes: await zeroPng(8, 8, 0, await zeroChunk("zTXt")) }),
  "PNG with a profile of 1 GB": async () => ({ bytes: await zeroPng(8, 8, 2, await zeroChunk("iCCP")) }),
  "SVG with a PNG of 900 Mpx": async () => ({ bytes: await holding(30_000), ppi: 100 }),
  "SVG with a PNG of 100 Mpx": async () => ({ bytes: await holding(9_990), ppi: 100 }),
  "SVG with copies of copies": async () => ({
    bytes: Buffer.from(
      `${SVG}<g id="g0"><rect width="1" height="1"/></g>${Array.from({ length: 9 }, (_, i) => `<g id="g${i + 1}">${`<use href="#g${i}"/>`.repeat(10)}</g>`).join("")}</svg>`,
    ),
    ppi: 100,
  }),
  "SVG of 100,000 levels": async () => ({
    bytes: Buffer.from(`${SVG}${"<g>".repeat(100_000)}${"</g>".repeat(100_000)}</svg>`),
    ppi: 100,
  }),
  "SVG with a pattern of atoms": async () => ({
    bytes: Buffer.from(
      `${SVG}<pattern id="p" width="1e-5" height="1e-5" patternUnits="userSpaceOnUse"><rect width="1" height="1"/></pattern><rect width="1" height="1" fill="url(#p)"/></svg>`,
    ),
    ppi: 100,
  }),
  "PDF with forms of forms": async () => ({ bytes: formsOfForms(), ppi: 100 }),
  "PDF with a picture of 900 Mpx": async () => ({ bytes: zeroPicture(30_000), ppi: 100 }),
};

const [only, file = ""] = process.argv.slice(2);
if (only === undefined) runAll();
else await runOne(only, file);

function runAll(): void {
  const folder = mkdtempSync(join(tmpdir(), "platewright-bombs-"));
  let over = 0;
  for (const name of Object.keys(cases)) {
    const args = ["--import", "tsx", fileURLToPath(import.meta.url), name, join(folder, "bomb")];
    const { stdout, status } = spawnSync(process.execPath, args, { encoding: "utf8", timeout: 10 * 60_000 });
    console.log(stdout.trim() || `${name} | the process ended`);
    if (status !== 0) over++;
  }
  rmSync(folder, { recursive: true, force: true });
  process.exit(over > 0 ? 1 : 0);
}

async function runOne(name: string, target: string): Promise<void> {
  const { bytes, ppi } = await cases[name]!();
  writeFileSync(target, bytes);
  const began = performance.now();
  const came = await readArtwork(target, { widthMm: 254, ...(ppi === undefined ? {} : { ppi }) }).then(
    ({ picture }) => `read as ${picture.width} × ${picture.height}`,
    (error: Error) => `refused: ${error.message.slice(target.length + 2)}`,
  );
  const seconds = (performance.now() - began) / 1000;
  const mb = process.resourceUsage().maxRSS / 1024;
  console.log(
    `${name} | ${Math.ceil(bytes.length / 1000)} kB | ${came} | ${seconds.toFixed(1)} s | ${mb.toFixed(0)} MB`,
  );
  process.exit(mb > MOST_MB || seconds > MOST_SECONDS ? 1 : 0);
}

/** A square PNG of nothing but zeros; types as in ISO/IEC 15948. */
async function zeroPng(
  side: number,
  bits: number,
  type: 0 | 2 | 6,
  more: Uint8Array = new Uint8Array(),
): Promise<Buffer> {
  const head = Buffer.alloc(13);
  head.writeUInt32BE(side, 0);
  head.writeUInt32BE(side, 4);
  head.set([bits, type], 8);
  const row = 1 + Math.ceil((side * { 0: 1, 2: 3, 6: 4 }[type] * bits) / 8);
  return Buffer.concat([
    Buffer.from("\x89PNG\r\n\x1a\n", "latin1"),
    chunk("IHDR", head),
    more,
    chunk("IDAT", await deflatedZeros(row * side)),
    chunk("IEND", Buffer.alloc(0)),
  ]);
}

async function zeroChunk(type: string): Promise<Buffer> {
  return chunk(type, Buffer.concat([Buffer.from("x\0\0", "latin1"), await deflatedZeros(1e9)]));
}

async function holding(side: number): Promise<Buffer> {
  const data = (await zeroPng(side, 1, 0)).toString("base64");
  return Buffer.from(`${SVG}<image width="1" height="1" href="data:image/png;base64,${data}"/></svg>`);
}

/** Made piece by piece, so that making it takes no memory that would count. */
async function deflatedZeros(length: number): Promise<Buffer> {
  const deflate = createDeflate({ level: 9 });
  const parts: Buffer[] = [];
  deflate.on("data", (part: Buffer) => parts.push(part));
  const ended = new Promise((resolve) => deflate.once("end", resolve));
  const piece = Buffer.alloc(1 << 20);
  for (let left = length; left > 0; left -= piece.length)
    if (!deflate.write(piece.subarray(0, Math.min(left, piece.length))))
      await new Promise((resolve) => deflate.once("drain", resolve));
  deflate.end();
  await ended;
  return Buffer.concat(parts);
}
