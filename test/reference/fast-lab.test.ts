import { expect, it } from "vitest";
import { deltaE00 } from "../../server/engine/colour/ciede2000.ts";
import { labFromBytes } from "../../server/engine/colour/cielab.ts";
import { fastLab } from "../../server/engine/colour/fast-lab.ts";
import { SAME_COLOUR_DELTA_E } from "../../server/engine/extract/lab-columns.ts";
import { random } from "../property.ts";

/** What is promised for the pixel loops' CIELAB. Over all 16.7 million colours the worst is 0.0028, at (28, 22, 15). */
const WITHIN = 0.005;

const out = new Float64Array(3);

/** ΔE00 between the pixel loops' CIELAB of a colour and the formula's. */
function off(r: number, g: number, b: number): number {
  fastLab(r, g, b, out);
  const { L, a, b: bb } = labFromBytes(r, g, b);
  return deltaE00(out[0], out[1], out[2], L, a, bb);
}

function worstOf(levels: readonly number[]): number {
  let worst = 0;
  for (const r of levels)
    for (const g of levels) for (const b of levels) worst = Math.max(worst, off(r, g, b));
  return worst;
}

it("is within 0.005 ΔE00 over a lattice of 17 levels a band", () => {
  expect(worstOf(Array.from({ length: 17 }, (_, i) => Math.round((i * 255) / 16)))).toBeLessThan(WITHIN);
});

it("is within 0.005 ΔE00 in every dark colour, where a table's steps are coarsest", () => {
  expect(worstOf(Array.from({ length: 40 }, (_, level) => level))).toBeLessThan(WITHIN);
});

it("is within 0.005 ΔE00 for 100,000 random colours", () => {
  const next = random(17);
  let worst = 0;
  for (let i = 0; i < 100_000; i++) {
    worst = Math.max(worst, off((next() * 256) | 0, (next() * 256) | 0, (next() * 256) | 0));
  }
  expect(worst).toBeLessThan(WITHIN);
});

it("is well within the difference under which two colours count as the same", () => {
  const worst = worstOf([0, 3, 6, 10, 15, 22, 28, 40, 70, 110, 160, 205, 235, 255]);
  expect(worst).toBeGreaterThan(0.0025);
  expect(worst).toBeLessThan(SAME_COLOUR_DELTA_E);
});

it("keeps the ends exact: white and black", () => {
  expect([off(255, 255, 255), off(0, 0, 0)]).toEqual([0, 0]);
});
