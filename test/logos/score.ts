import sharp from "sharp";
import { deltaE00 } from "../../server/engine/colour/ciede2000.ts";
import { type Lab, labFromBytes } from "../../server/engine/colour/cielab.ts";
import type { Print } from "../../server/render/print.ts";
import type { Logo } from "./drawings.ts";
import { svgOf } from "./sent.ts";

/** How well a recipe's plates are the logo's colours. */
export interface Score {
  /** Of each colour that must print, the best plate's intersection over union with the true mask. */
  readonly ious: readonly { readonly colour: string; readonly iou: number; readonly far: number }[];
  /** Plates beside the underbase, and how many there should be. */
  readonly plates: number;
  readonly wanted: number;
  readonly complete: boolean;
  /** Share of the picture that some plate prints further than two pixels from where its colour is. */
  readonly spill: number;
  /** Pieces of plates of at most four pixels that lie off the true mask. */
  readonly specks: number;
}

const FULL = 0.8;
/** ΔE00 within which a colour is the garment's own and needs no plate. */
const AS_GARMENT = 6;
/** Finer than the plates, so that the middle of a pixel says whose it is. */
const FINER = 4;

export async function scoreOf(logo: Logo, print: Print, garment: Lab): Promise<Score> {
  const { width, height } = print.picture;
  const masks = await trueMasks(logo, width, height);
  const printed = logo.colours.filter((colour) => far(labOf(colour), garment) > AS_GARMENT);
  const plates = [...print.plates.values()].filter(
    ({ name }) => print.recipe.plates.get(name)!.purpose !== "underbase",
  );
  // White alone is printed by a plate that is no underbase; where white is the only ink it may be called one.
  const counted = plates.length > 0 ? plates : [...print.plates.values()];
  let spilt = 0;
  let specks = 0;
  const best = new Map<string, number>();
  for (const { tones } of counted) {
    const mask = tones.map((tone) => (tone > 127 ? 1 : 0));
    let own: Uint8Array = mask;
    let most = -1;
    for (const [colour, truth] of masks) {
      const iou = iouOf(mask, truth);
      if (iou > most) {
        most = iou;
        own = truth;
      }
      best.set(colour, Math.max(best.get(colour) ?? 0, iou));
    }
    const allowed = dilated(own, width, height, 2);
    for (let i = 0; i < mask.length; i++) if (mask[i] === 1 && allowed[i] === 0) spilt++;
    specks += specksOf(mask, own, width, height);
  }
  const inks = counted.map(({ name }) => {
    const { ink } = print.recipe.plates.get(name)!;
    return print.recipe.inks.get(ink)!.colour.lab;
  });
  const ious = printed.map((colour) => ({
    colour,
    iou: best.get(colour)!,
    far: Math.min(...inks.map((ink) => far(ink, labOf(colour)))),
  }));
  return {
    ious,
    plates: counted.length,
    wanted: printed.length,
    complete: counted.length === printed.length && ious.every(({ iou }) => iou >= FULL),
    spill: spilt / (width * height),
    specks,
  };
}

/** Where each colour lies, without antialiasing. */
async function trueMasks(logo: Logo, width: number, height: number): Promise<Map<string, Uint8Array>> {
  const [w, h] = [width * FINER, height * FINER];
  const { data } = await sharp(Buffer.from(svgOf(logo, "")), { density: (72 * w) / logo.size[0] })
    .resize(w, h, { fit: "fill" })
    .ensureAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  const masks = new Map(logo.colours.map((colour) => [colour, new Uint8Array(width * height)]));
  const known = logo.colours.map((colour) => ({ mask: masks.get(colour)!, rgb: bytesOf(colour) }));
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const at = 4 * ((y * FINER + FINER / 2) * w + x * FINER + FINER / 2);
      if (data[at + 3]! < 128) continue;
      let least = Number.POSITIVE_INFINITY;
      let home = known[0]!.mask;
      for (const { mask, rgb } of known) {
        const d = rgb.reduce((sum, v, c) => sum + (data[at + c]! - v) ** 2, 0);
        if (d < least) {
          least = d;
          home = mask;
        }
      }
      home[y * width + x] = 1;
    }
  }
  return masks;
}

function iouOf(a: Uint8Array, b: Uint8Array): number {
  let both = 0;
  let either = 0;
  for (let i = 0; i < a.length; i++) {
    both += a[i]! & b[i]!;
    either += a[i]! | b[i]!;
  }
  return either === 0 ? 0 : both / either;
}

function dilated(mask: Uint8Array, width: number, height: number, by: number): Uint8Array {
  const out = new Uint8Array(mask.length);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      if (mask[y * width + x] === 0) continue;
      for (let v = Math.max(0, y - by); v <= Math.min(height - 1, y + by); v++)
        out.fill(1, v * width + Math.max(0, x - by), v * width + Math.min(width - 1, x + by) + 1);
    }
  return out;
}

function specksOf(mask: Uint8Array, truth: Uint8Array, width: number, height: number): number {
  const seen = new Uint8Array(mask.length);
  let specks = 0;
  for (let start = 0; start < mask.length; start++) {
    if (mask[start] === 0 || seen[start] === 1) continue;
    const stack = [start];
    seen[start] = 1;
    let [size, on] = [0, 0];
    for (let i = stack.pop(); i !== undefined; i = stack.pop()) {
      size++;
      on += truth[i]!;
      const [x, y] = [i % width, Math.floor(i / width)];
      for (let v = Math.max(0, y - 1); v <= Math.min(height - 1, y + 1); v++)
        for (let u = Math.max(0, x - 1); u <= Math.min(width - 1, x + 1); u++) {
          const j = v * width + u;
          if (mask[j] === 0 || seen[j] === 1) continue;
          seen[j] = 1;
          stack.push(j);
        }
    }
    if (size <= 4 && on === 0) specks++;
  }
  return specks;
}

function bytesOf(hex: string): [number, number, number] {
  return [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16)) as [number, number, number];
}

function labOf(hex: string): Lab {
  return labFromBytes(...bytesOf(hex));
}

function far(p: Lab, q: Lab): number {
  return deltaE00(p.L, p.a, p.b, q.L, q.a, q.b);
}
