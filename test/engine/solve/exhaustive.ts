import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { type Lab, labFromLinear } from "../../../server/engine/colour/cielab.ts";
import { mixingBands } from "../../../server/engine/print/bands.ts";
import { power } from "../../../server/engine/print/halftone.ts";
import { preparePrint } from "../../../server/engine/print/model.ts";
import { NestedMixer } from "../../../server/engine/print/nesting.ts";
import { printsOf, type SolvePlan, type SolvePrint } from "../../../server/engine/solve/plan.ts";

/** The best tones for single colours, by plate, and their ΔE00; of several prints, the root of their mean square. */
export interface Exhaustive {
  best(target: Lab): { readonly tones: number[]; readonly difference: number };
}

const LEVELS = [0.15, 0.35, 0.6, 0.85, 1];
/** Candidates that are worth refining. */
const REFINED = 4;

/**
 * The slow way to solved tones, for plates that are all solved and neither merged nor knocked out, each a station of the
 * first print: every choice of up to three plates, on the first plate or without it, in steps of about a fifth; then the nearest of them,
 * each plate in turn in ever smaller steps, by whole dots alone. It shares the print with the solver and nothing else.
 */
export function exhaustive(plan: SolvePlan): Exhaustive {
  const count = plan.stations.length;
  const { n, smallestDot } = plan.conditions;
  const m = mixingBands(n).toRgb ?? [1, 0, 0, 0, 1, 0, 0, 0, 1];
  const weights = [1, ...(plan.also ?? []).map(({ weight }) => weight)];
  const total = weights.reduce((sum, weight) => sum + weight);
  const prints = printsOf<SolvePrint>(plan).map(({ conditions, stations }, i) => {
    const { table, lattices } = preparePrint(conditions, stations);
    const mixer = new NestedMixer(table!, stations.length, lattices);
    return { mixer, stations, share: weights[i] / total };
  });

  const labOf = ({ mixer, stations }: (typeof prints)[number], tones: ArrayLike<number>): Lab => {
    mixer.mix(Float64Array.from(stations, ({ plate }) => tones[plate]));
    const [x, y, z] = [power(mixer.mixed[0], n), power(mixer.mixed[1], n), power(mixer.mixed[2], n)];
    return labFromLinear({
      r: m[0] * x + m[1] * y + m[2] * z,
      g: m[3] * x + m[4] * y + m[5] * z,
      b: m[6] * x + m[7] * y + m[8] * z,
    });
  };
  const labsOf = (tones: ArrayLike<number>) => prints.map((print) => labOf(print, tones));
  const allowed = (tones: ArrayLike<number>): boolean => {
    for (let p = 0; p < count; p++) {
      const t = tones[p];
      if ((t > 0 && t < smallestDot - 1e-9) || (t < 1 && t > 1 - smallestDot + 1e-9)) return false;
    }
    return prints.every(({ stations }) => {
      const wet = new Map<number, number>();
      for (const { plate, wetGroup } of stations) wet.set(wetGroup, (wet.get(wetGroup) ?? 0) + tones[plate]);
      return [...wet.values()].every((ink) => ink <= plan.wetInk + 1e-9);
    });
  };

  const grid: number[][] = [];
  const labs: Lab[][] = [];
  const add = (tones: number[]) => {
    if (!allowed(tones)) return;
    grid.push(tones);
    labs.push(labsOf(tones));
  };
  for (const first of [0, 0.1, 0.3, 0.6, 1]) {
    const choose = (from: number, left: number, tones: number[]) => {
      add(tones);
      if (left === 0) return;
      for (let s = from; s < count; s++) {
        for (const level of LEVELS) choose(s + 1, left - 1, tones.with(s, level));
      }
    };
    choose(1, 3, [first, ...Array(count - 1).fill(0)]);
  }

  return {
    best(target) {
      const mean = (labs: readonly Lab[], squared: (lab: Lab) => number) =>
        labs.reduce((sum, lab, i) => sum + prints[i].share * squared(lab), 0);
      const difference = (labs: readonly Lab[]) =>
        Math.sqrt(mean(labs, (lab) => deltaE00(target.L, target.a, target.b, lab.L, lab.a, lab.b) ** 2));
      const rough = labs.map((of) =>
        mean(
          of,
          (lab) => (lab.L - target.L) ** 2 + 0.4 * ((lab.a - target.a) ** 2 + (lab.b - target.b) ** 2),
        ),
      );
      const near = rough
        .map((_, i) => i)
        .sort((i, j) => rough[i] - rough[j])
        .slice(0, 300)
        .sort((i, j) => difference(labs[i]) - difference(labs[j]));
      let best = { tones: grid[0], difference: Number.POSITIVE_INFINITY };
      for (const i of near.slice(0, REFINED)) {
        const found = refined(grid[i], (tones) =>
          allowed(tones) ? difference(labsOf(tones)) : Number.POSITIVE_INFINITY,
        );
        if (found.difference < best.difference) best = found;
      }
      return best;
    },
  };

  /** Each plate up and down by a step, alone and against another, the step halved when nothing helps. */
  function refined(start: number[], measure: (tones: number[]) => number) {
    let tones = start;
    let least = measure(tones);
    for (let step = 0.12; step > 0.002; step /= 2) {
      let helped = true;
      while (helped) {
        helped = false;
        for (let i = 0; i < count; i++) {
          for (const up of [step, -step]) {
            const moved = tones.with(i, whole(tones[i], up));
            for (let j = i; j < count; j++) {
              for (const other of j === i ? [0] : [step, -step]) {
                const tried = j === i ? moved : moved.with(j, whole(moved[j], other));
                const value = measure(tried);
                if (value < least - 1e-6) {
                  [tones, least, helped] = [tried, value, true];
                }
              }
            }
          }
        }
      }
    }
    return { tones, difference: least };
  }

  /** A tone moved by a step, over the gaps that no dot fills. */
  function whole(tone: number, by: number): number {
    const to = Math.min(1, Math.max(0, tone + by));
    if (to > 0 && to < smallestDot) return by > 0 ? smallestDot : 0;
    if (to < 1 && to > 1 - smallestDot) return by > 0 ? 1 : 1 - smallestDot;
    return to;
  }
}
