import { expect, it } from "vitest";
import { blueNoise, gaussian } from "../../../server/engine/screen/blue-noise.ts";
import { Halftone, type Screening } from "../../../server/engine/screen/halftone.ts";
import { jointNoise } from "../../../server/engine/screen/joint-noise.ts";
import { MASKS, noiseAt, noiseOf } from "../../../server/engine/screen/noise.ts";

const SIDE = 128;
const AREA = SIDE * SIDE;
const masks = Array.from({ length: MASKS }, (_, mask) => noiseOf(mask));
const pairs = masks.flatMap((_, i) => masks.slice(0, i).map((_, j) => [j, i] as const));

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

it("has every rank once in each mask, of which the first is blue noise", () => {
  expect(masks[0]).toEqual(blueNoise(SIDE));
  for (const ranks of masks) expect(new Set(ranks).size).toBe(AREA);
});

it("goes to the largest void among the pixels that keep overlaps even, as a slow twin finds it", () => {
  const side = 14;
  const area = side * side;
  const others = [blueNoise(side), jointNoise(side, [blueNoise(side)])];
  const kernel = gaussian(6);
  const near = (a: number, b: number) => {
    const apart = (d: number) => ((d + side + 6) % side) - 6;
    const [dx, dy] = [apart((b % side) - (a % side)), apart(Math.floor(b / side) - Math.floor(a / side))];
    return Math.max(Math.abs(dx), Math.abs(dy)) <= 6 ? kernel[(dy + 6) * 13 + dx + 6]! : 0;
  };
  const part = (other: Uint16Array, at: number) => Math.floor((other[at]! * 16) / area);
  const ranks = new Array<number>(area).fill(-1);
  for (let rank = 0; rank < area; rank++) {
    const own = [...ranks.keys()].filter((at) => ranks[at]! >= 0);
    const unions = others.map((other) =>
      [...ranks.keys()].filter((at) => ranks[at]! >= 0 || other[at]! <= rank),
    );
    const scored = [...ranks.keys()]
      .filter((at) => ranks[at]! < 0)
      .map((at) => {
        const ahead = others.map((other) =>
          Math.max(0, own.filter((one) => part(other, one) === part(other, at)).length - rank / 16 - 0.5),
        );
        const sum = (pixels: number[]) => pixels.reduce((total, one) => total + near(one, at), 0);
        return {
          at,
          ahead: ahead.reduce((a, b) => a + b),
          energy: sum(own) + 0.5 * unions.reduce((total, union) => total + sum(union), 0),
        };
      });
    const fewest = Math.min(...scored.map(({ ahead }) => ahead));
    const best = scored.filter(({ ahead }) => ahead === fewest);
    const least = Math.min(...best.map(({ energy }) => energy));
    // Sums may be off in their last digits.
    ranks[best.find(({ energy }) => energy < least + 1e-8)!.at] = rank;
  }
  expect([...jointNoise(side, others)]).toEqual(ranks);
});

it.each(pairs)("masks %i and %i overlap as chance has it, at any two tones", (i, j) => {
  for (const a of [0.1, 0.25, 0.5, 0.75])
    for (const b of [0.1, 0.25, 0.5, 0.75])
      expect(Math.abs(share(both(set(masks[i]!, a), set(masks[j]!, b))) - a * b), `${a}, ${b}`).toBeLessThan(
        0.002,
      );
});

it.each(pairs)("masks %i and %i are blue, and so is their union, which it is not of shifted ones", (i, j) => {
  const [a, b] = [set(masks[i]!, 0.5), set(masks[j]!, 0.5)];
  // What plates beyond the masks have: the first, shifted.
  const shifted = a.map((_, at) => (noiseAt(MASKS, at % SIDE, Math.floor(at / SIDE)) < AREA / 2 ? 1 : 0));
  expect(grain(b)).toBeLessThan(0.2);
  expect(grain(either(a, b))).toBeLessThan(0.4);
  expect(grain(either(set(masks[0]!, 0.5), shifted))).toBeGreaterThan(0.45);
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
    [0, 4],
    [1, 4],
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
