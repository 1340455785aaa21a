import { expect, it } from "vitest";
import { blueNoise } from "../../../server/engine/screen/blue-noise.ts";
import { Halftone, type Screening } from "../../../server/engine/screen/halftone.ts";
import { jointNoise } from "../../../server/engine/screen/joint-noise.ts";

const SIDE = 128;
const AREA = SIDE * SIDE;
const first = blueNoise(SIDE);
const second = jointNoise(SIDE, [first]);

const set = (ranks: Uint16Array, tone: number) =>
  Uint8Array.from(ranks, (rank) => (rank < tone * AREA ? 1 : 0));
const share = (bits: Uint8Array) => bits.reduce((sum, bit) => sum + bit, 0) / bits.length;
const both = (a: Uint8Array, b: Uint8Array) => a.map((bit, i) => bit & b[i]!);
const either = (a: Uint8Array, b: Uint8Array) => a.map((bit, i) => bit | b[i]!);

/** Variance of the means of 16 × 16 blocks, 1 for white noise: what an eye sees as grain. */
function grain(bits: Uint8Array): number {
  const mean = share(bits);
  let variance = 0;
  for (let block = 0; block < 64; block++) {
    let sum = 0;
    for (let i = 0; i < 256; i++)
      sum += bits[((block >> 3) * 16 + (i >> 4)) * SIDE + (block & 7) * 16 + (i & 15)]!;
    variance += (sum / 256 - mean) ** 2;
  }
  return variance / 64 / ((mean * (1 - mean)) / 256);
}

it("has every rank once", () => {
  expect(new Set(second).size).toBe(AREA);
});

it.each([0.1, 0.25, 0.5, 0.75])("overlaps the first mask at a tone of %s as chance has it", (tone) => {
  expect(Math.abs(share(both(set(first, tone), set(second, tone))) - tone * tone)).toBeLessThan(0.002);
});

it("is blue by itself, and so is the union with the first, far more than with a shifted one", () => {
  const [a, b] = [set(first, 0.5), set(second, 0.5)];
  const shifted = a.map(
    (_, i) => a[((Math.floor(i / SIDE) + 41) % SIDE) * SIDE + (((i % SIDE) + 57) % SIDE)]!,
  );
  expect(grain(b)).toBeLessThan(0.2);
  expect(grain(either(a, b))).toBeLessThan(0.3);
  expect(grain(either(a, shifted))).toBeGreaterThan(1.5 * grain(either(a, b)));
});

/** A flat tone's film, a byte a grain. */
function film(method: "fm" | "diffusion", mask: number, tone: number): Uint8Array {
  const screening: Screening = { method, grainMm: 25.4 / 600, mask };
  const curve = Float64Array.from({ length: 256 }, (_, i) => i / 255);
  const tones = new Uint8Array(64 * 64).fill(Math.round(tone * 255));
  const side = 512;
  const bits = new Uint8Array((side * side) / 8);
  new Halftone({ tones, width: 64, height: 64, curve }, screening, 600, side, side).draw(
    { x: 0, y: 0, width: side, height: side },
    bits,
  );
  return Uint8Array.from({ length: side * side }, (_, i) => (bits[i >> 3]! >> (7 - (i & 7))) & 1);
}

it.each(["fm", "diffusion"] as const)("films of several plates overlap as chance has it: %s", (method) => {
  for (const [one, other] of [
    [0, 1],
    [0, 2],
    [1, 2],
    [0, 3],
  ])
    for (const [a, b] of [
      [0.5, 0.5],
      [0.3, 0.7],
      [0.2, 0.2],
    ]) {
      const seen = share(both(film(method, one!, a!), film(method, other!, b!)));
      // Of 8-bit tones.
      const wanted = (Math.round(a! * 255) / 255) * (Math.round(b! * 255) / 255);
      expect(Math.abs(seen - wanted), `masks ${one}, ${other} at ${a}, ${b}: ${seen}`).toBeLessThan(0.01);
    }
});
