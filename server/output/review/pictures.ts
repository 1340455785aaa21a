import { loadSharp } from "../../artwork/load-sharp.ts";
import { PixelDifference } from "../../engine/print/difference.ts";
import { colourAt, proofOf, sampler } from "../../render/comparison.ts";
import type { Print } from "../../render/print.ts";

/** Before, after and their difference, as data URIs of PNGs; undefined where one print has no such thing. */
export interface Pictures {
  readonly before: string | undefined;
  readonly after: string | undefined;
  readonly difference: string | undefined;
  /** Pixels, of each. */
  readonly width: number;
  readonly height: number;
}

const PROOF_WIDTH = 640;
const PLATE_WIDTH = 440;

/** Ink that came, ink that went, colour that moved. They differ in lightness too, for eyes that see no hue. */
export const MORE = [190, 76, 0] as const;
export const LESS = [20, 108, 190] as const;
export const MOVED = [118, 24, 128] as const;
/** ΔE00 that shows at full strength. */
export const FULL_DELTA = 10;

export async function proofPictures(
  before: Print,
  after: Print,
  garment: string,
  setup: string,
): Promise<Pictures> {
  const [was, is] = [proofOf(before, garment, setup), proofOf(after, garment, setup)];
  let difference: Uint8Array | undefined;
  if (was && is) {
    const grid = sampler(before, after);
    const meter = new PixelDifference(after.recipe.garments.get(garment)!.colour.lab);
    difference = new Uint8Array(is.length);
    for (let i = 0, p = 0; i < after.pixels; i++, p += 3) {
      const luma = (is[p]! * 2 + is[p + 1]! * 5 + is[p + 2]!) >> 3;
      const value = meter.between(colourAt(was, grid(i) * 3), colourAt(is, p));
      paint(difference, p, 205 + luma * 0.18, MOVED, value / FULL_DELTA);
    }
  }
  return {
    before: was && (await png(was, 3, before, PROOF_WIDTH)),
    after: is && (await png(is, 3, after, PROOF_WIDTH)),
    difference: difference && (await png(difference, 3, after, PROOF_WIDTH)),
    ...sizeOf(after, PROOF_WIDTH),
  };
}

/** Plates as films: black is ink. */
export async function platePictures(before: Print, after: Print, name: string): Promise<Pictures> {
  const [was, is] = [before.plates.get(name)?.tones, after.plates.get(name)?.tones];
  const grid = sampler(before, after);
  const difference = new Uint8Array(after.pixels * 3);
  for (let i = 0, p = 0; i < after.pixels; i++, p += 3) {
    const [a, b] = [was ? was[grid(i)]! : 0, is ? is[i]! : 0];
    paint(difference, p, 250 - b * 0.16, b > a ? MORE : LESS, (Math.abs(b - a) / 255) * GAIN);
  }
  const film = (tones: Uint8Array) => tones.map((tone) => 255 - tone);
  return {
    before: was && (await png(film(was), 1, before, PLATE_WIDTH)),
    after: is && (await png(film(is), 1, after, PLATE_WIDTH)),
    difference: await png(difference, 3, after, PLATE_WIDTH),
    ...sizeOf(after, PLATE_WIDTH),
  };
}

/** Small differences of tone are shown larger than they are; from a quarter on they are at full strength. */
const GAIN = 4;

function paint(
  out: Uint8Array,
  at: number,
  ground: number,
  colour: readonly [number, number, number],
  strength: number,
): void {
  const share = Math.min(1, strength);
  for (let band = 0; band < 3; band++) out[at + band] = ground + (colour[band]! - ground) * share;
}

function sizeOf({ picture: { width, height } }: Print, most: number): { width: number; height: number } {
  const scale = Math.min(1, most / width);
  return { width: Math.round(width * scale), height: Math.max(1, Math.round(height * scale)) };
}

async function png(data: Uint8Array, channels: 1 | 3, print: Print, most: number): Promise<string> {
  const { width, height } = print.picture;
  const image = loadSharp()(data, { raw: { width, height, channels } });
  const sized = image.resize({ ...sizeOf(print, most), fit: "fill" });
  const bytes = await (channels === 1 ? sized.toColourspace("b-w") : sized)
    .png({ compressionLevel: 9, effort: 7 })
    .toBuffer();
  return `data:image/png;base64,${bytes.toString("base64")}`;
}
