import { existsSync } from "node:fs";
import { describe, expect, it } from "vitest";
import type { Curve } from "../../server/engine/adjust/curve.ts";
import { linearFromLab } from "../../server/engine/colour/cielab.ts";
import { srgbFromLinear } from "../../server/engine/colour/srgb.ts";
import type { SeparationPlan } from "../../server/engine/plan.ts";
import { areasFromWedge, gainFromWedge } from "../../server/engine/print/gain.ts";
import { solveTones } from "../../server/engine/solve/solved-tones.ts";
import { PLAIN } from "../engine/plans.ts";
import { FITTED_INKS, inksOf, misfit, numbersOf, overprintDifferences } from "./fitted-inks.ts";
import { measuredPrint } from "./measured-grid.ts";
import {
  difference,
  FOLDER,
  fittedN,
  mean,
  measuredPrimaries,
  type Patch,
  percentile,
  pressPatches,
  ramp,
} from "./measured-press.ts";

// FOGRA39L (ISO 12647-2, coated) and CGATS TR 006, as Debian's icc-profiles-free carries them.
const there = existsSync(`${FOLDER}/FOGRA39L.ti3`);

const NAMES = ["cyan", "magenta", "yellow", "black"];
const INK_LIMIT = 3;
const LIGHT: Curve = [
  [0, 0],
  [0.4, 0],
  [1, 0.9],
];
const HEAVY: Curve = [
  [0, 0],
  [1, 1],
];

/** Process colour on a press, with inks, gains and n fitted to it. */
function planOf(
  press: keyof typeof FITTED_INKS,
  patches: readonly Patch[],
  n: number,
  black: Curve,
): SeparationPlan {
  const gains = NAMES.map((_, ink) => {
    const steps = ramp(patches, ink).map(({ tones, colour }) => ({ tone: tones[ink]!, colour }));
    return { tones: gainFromWedge(steps), areas: areasFromWedge(steps, n) };
  });
  return {
    plates: NAMES.map((name) => ({ name, extract: { by: "artwork" }, strength: { by: "solve" } })),
    ...PLAIN,
    smallestDot: 0,
    solving: {
      conditions: { garment: measuredPrimaries(patches)[0]!, n, compensated: false, smallestDot: 0 },
      stations: NAMES.map((plate, i) => ({
        plate,
        ink: FITTED_INKS[press][i]!,
        gain: gains[i]!,
        underbase: false,
        wetGroup: 0,
      })),
      wetInk: INK_LIMIT,
      smoothness: 1,
      halftonePrice: 0,
      onlyGarment: true,
      process: { chromatic: ["cyan", "magenta", "yellow"], black: "black", blackGeneration: black },
    },
  };
}

describe.skipIf(!there)("process colour on a measured press (needs icc-profiles-free, apt package)", () => {
  it.each(["FOGRA39L", "TR006"] as const)("%s: inks are fitted to its overprints", (press) => {
    const primaries = measuredPrimaries(pressPatches(press));
    const off = overprintDifferences(FITTED_INKS[press], primaries);
    expect(mean(off)).toBeLessThan(2.3);
    const numbers = numbersOf(FITTED_INKS[press]);
    const least = misfit(FITTED_INKS[press], primaries);
    for (const i of numbers.keys())
      for (const by of [-1, 1])
        expect(misfit(inksOf(numbers.with(i, numbers[i]! + by)), primaries)).toBeGreaterThan(0.98 * least);
  });

  // A light and a heavy black: what it takes over, the others give up, and the colour stays.
  it.each([
    { press: "FOGRA39L", black: LIGHT, leastBlack: 0.03, mostBlack: 0.15 },
    { press: "TR006", black: HEAVY, leastBlack: 0.2, mostBlack: 0.5 },
  ] as const)(
    "$press: 500 measured colours, separated and printed again, are within mean ΔE00 2 and 5 for 95 %",
    ({ press, black, leastBlack, mostBlack }) => {
      const patches = pressPatches(press);
      const n = fittedN(patches, measuredPrimaries(patches));
      const print = measuredPrint(patches, n);
      const solving = solveTones(planOf(press, patches, n, black));
      let step = solving.next();
      while (!step.done) step = solving.next();
      const solved = step.value;
      // Artwork is sRGB: what lies outside of that cannot be sent.
      const sent = patches.filter(({ colour }) =>
        Object.values(linearFromLab(colour)).every((v) => v >= 0 && v <= 1),
      );
      expect(sent.length).toBeGreaterThan(1400);
      const tones = new Float64Array(4);
      const found = Array.from({ length: 500 }, (_, i) => {
        const { colour } = sent[Math.floor((i * sent.length) / 500)]!;
        const { r, g, b } = linearFromLab(colour);
        const [R, G, B] = [r, g, b].map((v) => Math.round(255 * srgbFromLinear(v))) as [
          number,
          number,
          number,
        ];
        solved.write(R, G, B, 255, tones);
        return { off: difference(print([...tones]), colour), tones: [...tones] };
      });
      const off = found.map((one) => one.off);
      expect(mean(off)).toBeLessThan(2);
      expect(percentile(off, 0.95)).toBeLessThan(5);
      // The ink limit holds, and black is what the curve makes of it.
      expect(Math.max(...found.map((one) => one.tones.reduce((sum, t) => sum + t, 0)))).toBeLessThan(
        INK_LIMIT + 0.02,
      );
      const blacks = mean(found.map((one) => one.tones[3]!));
      expect(blacks).toBeGreaterThan(leastBlack);
      expect(blacks).toBeLessThan(mostBlack);
    },
    60_000,
  );
});
