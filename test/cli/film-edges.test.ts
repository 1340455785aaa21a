import { readFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { expect, it } from "vitest";
import { scratch } from "../output/folders.ts";
import { platewright, put } from "./program.ts";

const { fresh } = scratch();

/** Film pixels along the drawing's side: 1 in at 1200 dpi. */
const SIDE = 1200;
const OUTLINES = [
  '<path d="M30 150 C60 30 150 30 170 150 S280 260 350 130"',
  '<circle cx="150" cy="260" r="75"',
  '<path d="M250 200 L390 380 L210 350 Z"',
  '<ellipse cx="345" cy="75" rx="55" ry="30" transform="rotate(23 345 75)"',
]
  .map((shape) => `${shape} fill="none" stroke="#101014" stroke-width="12"/>`)
  .join("");
const FILLS =
  '<rect width="420" height="420" fill="#f2c230"/><circle cx="150" cy="260" r="75" fill="#f39a4c"/>' +
  '<path d="M250 200 L390 380 L210 350 Z" fill="#86cf92"/>';
const drawing = (below: string) =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="420" height="420" viewBox="0 0 420 420">${below}${OUTLINES}</svg>`;

const BLACK = `inks: { black: { colour: "#131316", opacity: 97% } }
plates: { black: { ink: black, purpose: shadow, extract: { lightness: [0, 14], fade: 42 } } }`;

/** 1 for each film pixel of ink; the one plate of `inks` is named black. */
async function filmOf(art: string, inks: string, ppi?: string): Promise<Uint8Array> {
  const folder = fresh();
  put(folder, "a.svg", art);
  put(
    folder,
    "a.sep.yaml",
    `recipe: 1
artwork: { file: a.svg, width: 1 in }
garments: { white: { colour: "#f4f3ef" } }
${inks}
screening: { film: 1200 dpi }
setups: { light: { garments: [white], order: [black] } }
`,
  );
  const more = ppi === undefined ? [] : ["--ppi", ppi];
  const made = await platewright(
    folder,
    "films",
    "a.sep.yaml",
    "--setup",
    "light",
    "--out",
    "f",
    "--format",
    "png",
    ...more,
  );
  expect(made.status, made.err).toBe(0);
  const film = await sharp(readFileSync(join(folder, "f/a-light-black.png")))
    .greyscale()
    .raw()
    .toBuffer({ resolveWithObject: true });
  // Margins as on every film (film-page.ts): 16 mm, on the left to a whole byte.
  const top = Math.round((16 * 1200) / 25.4);
  const left = Math.floor((film.info.width - SIDE) / 2 / 8) * 8;
  return Uint8Array.from({ length: SIDE * SIDE }, (_, i) =>
    film.data[(top + Math.floor(i / SIDE)) * film.info.width + left + (i % SIDE)]! < 128 ? 1 : 0,
  );
}

/** What is black or nearly in a drawing, at the film's resolution, by another renderer. */
async function contour(art: string): Promise<Uint8Array> {
  const grey = await sharp(Buffer.from(art), { density: (72 * SIDE) / 420 })
    .resize(SIDE, SIDE, { fit: "fill" })
    .flatten({ background: "#fff" })
    .greyscale()
    .raw()
    .toBuffer();
  return Uint8Array.from(grey, (v) => (v < 135 ? 1 : 0));
}

/** How far one lies from the other: area between them over length, in pieces of 12 × 12 pixels that an edge runs through. */
function offsets(film: Uint8Array, wanted: Uint8Array): { mean: number; p95: number } {
  let area = 0;
  let length = 0;
  const pieces: number[] = [];
  for (let top = 24; top < SIDE - 24; top += 12)
    for (let left = 24; left < SIDE - 24; left += 12) {
      let [off, across, down] = [0, 0, 0];
      for (let y = top; y < top + 12; y++)
        for (let x = left; x < left + 12; x++) {
          const at = y * SIDE + x;
          if (film[at] !== wanted[at]) off++;
          across += Math.abs(wanted[at + 1]! - wanted[at]!);
          down += Math.abs(wanted[at + SIDE]! - wanted[at]!);
        }
      const here = Math.hypot(across, down);
      area += off;
      length += here;
      if (here > 8) pieces.push(off / here);
    }
  pieces.sort((a, b) => a - b);
  expect(pieces.length).toBeGreaterThan(100);
  return { mean: area / length, p95: pieces[Math.floor(pieces.length * 0.95)]! };
}

it("has a drawing's outlines where they are drawn, though plates are drawn at 4/9 of the film's resolution", async () => {
  const wanted = await contour(drawing('<rect width="420" height="420" fill="#fff"/>'));
  const { mean, p95 } = offsets(await filmOf(drawing(FILLS), BLACK), wanted);
  expect(mean).toBeLessThan(0.2);
  expect(p95).toBeLessThan(0.5);
  // At a quarter of it they would not be.
  expect(offsets(await filmOf(drawing(FILLS), BLACK, "150"), wanted).mean).toBeGreaterThan(0.3);
});

it.each(["before", "after"])(
  "has the edge of a shape where it is drawn that abuts another, drawn %s it",
  async (when) => {
    const edge = "M130 20 C40 120 300 160 180 240 S90 330 260 400";
    const own = (fill: string) => `<path d="${edge} H20 V20 Z" fill="${fill}"/>`;
    const other = `<path d="${edge} H400 V20 Z" fill="#f2c230"/>`;
    const svg = (shapes: string) =>
      `<svg xmlns="http://www.w3.org/2000/svg" width="420" height="420" viewBox="0 0 420 420">${shapes}</svg>`;
    const art = svg(when === "before" ? own("#1e3c8c") + other : other + own("#1e3c8c"));
    const blue = `inks: { blue: { colour: "#1e3c8c", opacity: 90% } }
plates: { black: { ink: blue, extract: { near: "#1e3c8c", within: 12 } } }`;
    const { mean, p95 } = offsets(await filmOf(art, blue), await contour(svg(own("#000"))));
    expect(mean).toBeLessThan(0.2);
    expect(p95).toBeLessThan(0.5);
  },
);
