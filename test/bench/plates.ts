import { existsSync, mkdirSync, readdirSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import sharp from "sharp";
import { platePng } from "../../server/output/png.ts";
import { type Row, type Run, runProgram, times, typical } from "./measure.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));
export const work = `${root}build/bench`;
export const demo = `${root}samples/night-garden/night-garden.sep.yaml`;

const WIDTH = 4500;
const HEIGHT = 5400;

/** Full-size plates from the command line: start, decoding, all stages, PNG files on disk. */
export async function plateRows(): Promise<Row[]> {
  mkdirSync(work, { recursive: true });
  const drawn = await largeArtwork("drawn", 0);
  const grainy = await largeArtwork("grainy", 12);
  return [
    row("plates of the demo, 3600 × 4200 from SVG, 9 screens", plates(demo), "none set"),
    row("plates, 4500 × 5400 PNG, 10 plates", plates(recipeFor(drawn)), "≤ 4 s, ≤ 600 MB", 4, 600),
    row(
      "the same with grain on every pixel (as many colours as a photograph)",
      plates(recipeFor(grainy)),
      "≤ 4 s, ≤ 600 MB",
      4,
      600,
    ),
  ];
}

/**
 * What no algorithm can save: the artwork read and ten plates written once, by the same decoder and encoder, with nothing
 * in between.
 */
export async function bytesRows(): Promise<Row[]> {
  const artwork = await largeArtwork("drawn", 0);
  const recipe = recipeFor(artwork);
  const made = plates(recipe);
  const files = readdirSync(`${work}/plates`).filter((name) => name.endsWith(".png"));
  const start = performance.now();
  const { data } = await sharp(artwork).ensureAlpha().raw().toBuffer({ resolveWithObject: true });
  const read = (performance.now() - start) / 1000;
  const tones = await Promise.all(files.map((name) => sharp(`${work}/plates/${name}`).raw().toBuffer()));
  const encoding = performance.now();
  for (const plate of tones) writeFileSync(`${work}/again.png`, await platePng(plate, WIDTH, HEIGHT, 300));
  const written = (performance.now() - encoding) / 1000;
  const share = (read + written) / made.seconds;
  return [
    {
      what: `of these: reading the artwork (${(data.length / 1e6).toFixed(0)} MB of pixels) and writing ${files.length} plates once`,
      measured: `${read.toFixed(2)} s and ${written.toFixed(2)} s of ${made.seconds.toFixed(2)} s: ${(share * 100).toFixed(0)} %`,
      target: "none set",
      met: true,
    },
  ];
}

function plates(recipe: string): Run {
  return typical(times(3, () => runProgram("plates", recipe, "--out", `${work}/plates`, "--force")));
}

function row(
  what: string,
  run: Run,
  target: string,
  seconds = Number.POSITIVE_INFINITY,
  megabytes = Number.POSITIVE_INFINITY,
): Row {
  const measured = `${run.seconds.toFixed(2)} s, ${run.megabytes.toFixed(0)} MB`;
  return { what, measured, target, met: run.seconds <= seconds && run.megabytes <= megabytes };
}

/**
 * The demo's drawing at 4500 × 5400, or so many times smaller each way; `grain` is the standard deviation of noise
 * added, in 8-bit steps.
 */
export async function largeArtwork(name: string, grain: number, smaller = 1): Promise<string> {
  mkdirSync(work, { recursive: true });
  const file = `${work}/${name}.png`;
  if (existsSync(file)) return file;
  const drawing = sharp(`${root}samples/night-garden/night-garden.svg`, { density: 96 * (WIDTH / 1200) });
  const { data, info } = await drawing
    .resize(WIDTH / smaller, HEIGHT / smaller, { fit: "fill" })
    .raw()
    .toBuffer({ resolveWithObject: true });
  if (grain > 0) addGrain(data, grain);
  await sharp(data, { raw: { width: info.width, height: info.height, channels: 4 } })
    .png({ compressionLevel: 3 })
    .toFile(file);
  return file;
}

function addGrain(rgba: Uint8Array, deviation: number): void {
  let state = 1;
  const random = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
  for (let i = 0; i < rgba.length; i++) {
    if (i % 4 === 3) continue;
    // Twelve uniform numbers less six: near enough to a normal one.
    let sum = -6;
    for (let k = 0; k < 12; k++) sum += random();
    rgba[i] = Math.min(255, Math.max(0, Math.round(rgba[i]! + sum * deviation)));
  }
}

/** The demo's recipe on other artwork, with one merge less: ten screens, made by hand or all solved. */
export function recipeFor(artwork: string, solved = false): string {
  mkdirSync(work, { recursive: true });
  const file = `${artwork.replace(/\.png$/, "")}${solved ? "-solved" : ""}.sep.yaml`;
  const text = byHand(artwork);
  writeFileSync(
    file,
    solved
      ? text.replaceAll(/extract: \{.*\}(?=(?:, strength.*)? \})/g, "extract: { solve: jointly }")
      : text,
  );
  return file;
}

function byHand(artwork: string): string {
  return `recipe: 1
shop: ../../samples/workshop.shop.yaml
artwork: { file: ${artwork}, width: 15 in }
garments: { black: { colour: "#17171a" } }
plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  gold: { ink: gold, extract: { hue: [68, 104], chroma: [64, 150], fade: 30 } }
  ember: { ink: ember, extract: { hue: [12, 55], chroma: [60, 150], fade: 30 } }
  rose: { ink: rose, extract: { near: lab(52 58 -4), within: 10, fade: 12 } }
  leaf: { ink: leaf, extract: { hue: [115, 180], chroma: [58, 150], fade: 40 } }
  blue: { ink: blue, extract: { hue: [203, 285], chroma: [60, 150], fade: 30 } }
  violet: { ink: violet, extract: { hue: [302, 343], chroma: [60, 150], fade: 26 }, strength: chroma }
  grey: { ink: grey, extract: { lightness: [44, 55], chroma: [0, 12], fade: 30 } }
  black: { ink: black, purpose: shadow, extract: { lightness: [0, 14], fade: 42 } }
  glint: { ink: white, purpose: highlight, extract: { lightness: [97, 100], fade: 3 } }
adjust:
  - { plate: leaf, region: { ellipse: { centre: [6 in, 6.8 in], radii: [2.1 in, 2 in] }, feather: 1 in }, curve: [[0, 0], [30, 52], [100, 100]] }
knockouts: [{ from: base, where: black, choke: 0.2 mm }]
traps: [{ plate: base, choke: 0.3 mm }]
setups:
  dark: { garments: [black], order: [base, flash, gold, leaf, blue, ember, rose, violet, grey, black, glint] }
`;
}
