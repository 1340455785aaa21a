import { expect, it } from "vitest";
import { memo } from "../../../server/engine/memo.ts";
import { blueNoise, gaussian } from "../../../server/engine/screen/blue-noise.ts";
import { Halftone, type Screening } from "../../../server/engine/screen/halftone.ts";
import { jointNoise } from "../../../server/engine/screen/joint-noise.ts";
import { MASKS, noiseAt, noiseOf } from "../../../server/engine/screen/noise.ts";
import { random } from "../../property.ts";

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

/** Such an order, each time by a look at every pixel. */
function slowly(side: number, others: readonly Uint16Array[]): number[] {
  const area = side * side;
  const reach = Math.min(6, Math.floor((side - 1) / 2));
  const kernel = gaussian(reach);
  const near = (a: number, b: number) => {
    const apart = (d: number) => ((d + side + reach) % side) - reach;
    const [dx, dy] = [apart((b % side) - (a % side)), apart(Math.floor(b / side) - Math.floor(a / side))];
    return Math.max(Math.abs(dx), Math.abs(dy)) <= reach
      ? kernel[(dy + reach) * (2 * reach + 1) + dx + reach]!
      : 0;
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
  return ranks;
}

it("goes to the largest void among the pixels that keep overlaps even, as a slow twin finds it", () => {
  const blue = blueNoise(14);
  const others = [blue, jointNoise(14, [blue])];
  expect([...jointNoise(14, others)]).toEqual(slowly(14, others));
});

it("does so where every pixel that is left is ahead in one or another", () => {
  const next = random(2);
  const anyOrder = () => {
    const keys = Array.from({ length: 64 }, next);
    return Uint16Array.from(keys, (key) => keys.filter((other) => other < key).length);
  };
  for (let n = 0; n < 6; n++) {
    const others = [anyOrder(), anyOrder(), anyOrder(), anyOrder()];
    expect([...jointNoise(8, others)]).toEqual(slowly(8, others));
  }
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

/** The bits of a flat tone's film, a grain a bit. */
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
  return bits;
}

const ONES = Array.from({ length: 256 }, (_, byte) => byte.toString(2).replaceAll("0", "").length);

it.each(["fm", "diffusion"] as const)("films of several plates overlap as chance has it: %s", (method) => {
  const filmOf = memo(30, (mask: number, tone: number) => film(method, mask, tone));
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
      const inBoth = both(filmOf(one!, a!), filmOf(other!, b!));
      const seen = inBoth.reduce((sum, byte) => sum + ONES[byte]!, 0) / (8 * inBoth.length);
      // Of 8-bit tones.
      const wanted = (Math.round(a! * 255) / 255) * (Math.round(b! * 255) / 255);
      expect(Math.abs(seen - wanted), `masks ${one}, ${other} at ${a}, ${b}: ${seen}`).toBeLessThan(0.01);
    }
});
