import { deltaE00 } from "../colour/ciede2000.ts";
import type { Lab } from "../colour/cielab.ts";
import { linearFromLab } from "../colour/cielab.ts";
import { fastLab } from "../colour/fast-lab.ts";
import { BYTE_OF_STEP, byteFromLinear, ENCODE_STEPS, LINEAR_OF_BYTE } from "../colour/srgb.ts";
import type { Picture } from "../raster.ts";

/** How far a proof is from its artwork, over the pixels that the artwork covers at least half. */
export interface Difference {
  /** Pixels compared. */
  readonly pixels: number;
  /** ΔE00. */
  readonly mean: number;
  /** ΔE00 that 95 % of the pixels keep within. */
  readonly p95: number;
}

/** ΔE00 is counted in classes this wide, for the percentile. */
const CLASS = 0.01;
const CLASSES = 20_000;

/** Colour pairs remembered, since neighbours repeat. */
const REMEMBERED = 1 << 14;

/** ΔE00 of a proof's pixels against the artwork's, where this is not quite opaque as it looks on the garment. */
export class PixelDifference {
  readonly #garment: readonly [number, number, number];
  readonly #lab = new Float64Array(6);
  readonly #artworks = new Uint32Array(REMEMBERED).fill(0xffffffff);
  readonly #proofs = new Uint32Array(REMEMBERED);
  readonly #values = new Float64Array(REMEMBERED);

  constructor(garment: Lab) {
    const { r, g, b } = linearFromLab(garment);
    this.#garment = [r, g, b].map((v) => LINEAR_OF_BYTE[byteFromLinear(v)]!) as [number, number, number];
  }

  /** Pixel `i` of the artwork as it looks on the garment, mixed in linear light: 0xrrggbb. */
  onGarment(artwork: Uint8Array, i: number): number {
    const at = i * 4;
    const alpha = artwork[at + 3]!;
    const r = this.#over(artwork[at]!, alpha, 0);
    const g = this.#over(artwork[at + 1]!, alpha, 1);
    const b = this.#over(artwork[at + 2]!, alpha, 2);
    return (r << 16) | (g << 8) | b;
  }

  /** Of two colours, 0xrrggbb each. */
  between(artwork: number, proof: number): number {
    const slot = (Math.imul(artwork, 0x9e3779b1) ^ Math.imul(proof, 0x85ebca6b)) >>> 18;
    if (this.#artworks[slot] === artwork && this.#proofs[slot] === proof) return this.#values[slot]!;
    const lab = this.#lab;
    fastLab(artwork >> 16, (artwork >> 8) & 255, artwork & 255, lab, 0);
    fastLab(proof >> 16, (proof >> 8) & 255, proof & 255, lab, 3);
    const value = deltaE00(lab[0]!, lab[1]!, lab[2]!, lab[3]!, lab[4]!, lab[5]!);
    this.#artworks[slot] = artwork;
    this.#proofs[slot] = proof;
    this.#values[slot] = value;
    return value;
  }

  #over(byte: number, alpha: number, band: 0 | 1 | 2): number {
    if (alpha === 255) return byte;
    const share = alpha / 255;
    const light = share * LINEAR_OF_BYTE[byte]! + (1 - share) * this.#garment[band];
    return BYTE_OF_STEP[(light * ENCODE_STEPS + 0.5) | 0]!;
  }
}

/** Differences counted over some pixels. Threads hand theirs on as plain data, and `totalDifference` takes all together. */
export class DifferenceTally {
  pixels = 0;
  /** Of their ΔE00. */
  sum = 0;
  /** Pixels in each class of ΔE00; the last holds all that is beyond. */
  readonly counts = new Uint32Array(CLASSES + 1);

  /** One pixel's ΔE00. */
  add(difference: number): void {
    this.pixels++;
    this.sum += difference;
    this.counts[Math.min(CLASSES, Math.round(difference / CLASS))]!++;
  }
}

/** Mean and percentile over all pixels of all parts of a picture. */
export function totalDifference(tallies: readonly Omit<DifferenceTally, "add">[]): Difference {
  let pixels = 0;
  let sum = 0;
  for (const tally of tallies) {
    pixels += tally.pixels;
    sum += tally.sum;
  }
  if (pixels === 0) return { pixels: 0, mean: 0, p95: 0 };
  let left = Math.ceil(pixels * 0.95);
  for (let index = 0; ; index++) {
    for (const { counts } of tallies) left -= counts[index]!;
    if (left <= 0) return { pixels, mean: sum / pixels, p95: index * CLASS };
  }
}

/** Collects differences over any number of stretches of a picture. */
export class DifferenceMeter {
  readonly #difference: PixelDifference;
  readonly #tally = new DifferenceTally();

  constructor(garment: Lab) {
    this.#difference = new PixelDifference(garment);
  }

  /** Adds pixels `start` up to `end` of the artwork against `proof`, three bytes a pixel, from its beginning. */
  add({ data }: Picture, start: number, end: number, proof: Uint8Array): void {
    for (let i = start, p = 0; i < end; i++, p += 3) {
      if (!isCompared(data, i)) continue;
      const printed = (proof[p]! << 16) | (proof[p + 1]! << 8) | proof[p + 2]!;
      this.#tally.add(this.#difference.between(this.#difference.onGarment(data, i), printed));
    }
  }

  result(): Difference {
    return totalDifference([this.#tally]);
  }
}

/** Whether the artwork (RGBA) covers pixel `i` at least half, so that it counts. */
export function isCompared(artwork: Uint8Array, i: number): boolean {
  return artwork[i * 4 + 3]! >= 128;
}
