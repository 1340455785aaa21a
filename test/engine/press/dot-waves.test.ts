import { describe, expect, it } from "vitest";
import { AREAS, dotWaves, HARMONICS } from "../../../server/engine/press/dot-waves.ts";
import { levelsOf, SIDE, STEPS } from "../../../server/engine/print/dot-overlap.ts";
import type { DotName } from "../../../server/engine/screen/spot-functions.ts";

describe("a dot's waves", () => {
  it("are those of a disc: J1(2π r k) r / k", () => {
    // A disc of the middle of part 4: area 4.5 / 16; J1 by its integral (Abramowitz & Stegun 9.1.20).
    const J1 = (x: number) => {
      let sum = 0;
      for (let i = 0; i < 2000; i++) {
        const t = ((i + 0.5) / 2000) * Math.PI;
        sum += Math.cos(t - x * Math.sin(t)) / 2000;
      }
      return sum;
    };
    const radius = Math.sqrt(4.5 / AREAS / Math.PI);
    for (const [i, j] of [
      [1, 0],
      [0, -1],
      [1, 1],
      [2, -1],
      [3, 0],
    ] as const) {
      const k = Math.hypot(i, j);
      const disc = Math.abs((radius * J1(2 * Math.PI * radius * k)) / k);
      expect(dotWaves("SimpleDot").at(i, j, 4)).toBeCloseTo(disc, 2);
    }
  });

  it("of lines run across them: sin(π a) / π", () => {
    expect(dotWaves("line").at(0, 1, 7)).toBeCloseTo(Math.sin((Math.PI * 7.5) / 16) / Math.PI, 2);
    expect(dotWaves("line").at(1, 0, 7)).toBeLessThan(0.01);
  });

  /** Fourier's sum over the places of a cell, place by place. */
  function slowly(dot: DotName, i: number, j: number, part: number): number {
    const until = ((part + 0.5) / AREAS) * STEPS;
    let [re, im] = [0, 0];
    for (const [at, level] of levelsOf(dot).entries()) {
      if (level >= until) continue;
      const turn = 2 * Math.PI * ((i * (at % SIDE)) / SIDE - (j * Math.floor(at / SIDE)) / SIDE);
      re += Math.cos(turn);
      im -= Math.sin(turn);
    }
    return Math.hypot(re, im) / SIDE ** 2;
  }

  it.each(["ellipse", "Rhomboid", "Double"] as const)("are Fourier's sums, of %s", (dot) => {
    for (const [i, j] of [
      [0, 0],
      [1, 0],
      [0, 1],
      [-1, 2],
      [HARMONICS, -HARMONICS],
      [-HARMONICS, 1],
    ] as const) {
      for (const part of [0, 7, AREAS - 1])
        expect(dotWaves(dot).at(i, j, part), `${i}, ${j}`).toBeCloseTo(slowly(dot, i, j, part), 12);
      const all = Array.from({ length: AREAS }, (_, part) => dotWaves(dot).at(i, j, part));
      expect(dotWaves(dot).most(i, j)).toBe(Math.max(...all));
    }
  });

  it("of no direction at all is the area", () => {
    for (let part = 0; part < AREAS; part++)
      expect(dotWaves("round").at(0, 0, part)).toBeCloseTo((part + 0.5) / AREAS, 12);
  });
});
