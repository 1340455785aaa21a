import { LabColumns } from "../extract/lab-columns.ts";
import { COLOURS_AT_ONCE, Membership } from "../extract/membership.ts";
import type { Extraction } from "../plan.ts";
import { type FittedRange, firstRange, MOST_CHROMA } from "./first-range.ts";
import type { Candidate, Trial } from "./trial.ts";

/** Steps in which ends and fades are moved, and passes with each. */
const STEPS = [16, 8, 4, 2];
const PASSES = 2;
/** Sum of tones from which ink lies too wet (rule wet-ink has 300 %), and what more of it costs, in ΔE00. */
const WET = { from: 2.5, cost: 20 };
/** Mean tone under which a plate is hardly worth a screen, and what an empty one costs, in ΔE00. */
const EMPTY = { coverage: 0.012, cost: 3 };

/**
 * Ranges of hue, chroma and lightness for the inks of a trial, fitted to the picture's colours: first to the tones that
 * the trial found, then all together to the print.
 */
export function fitRanges(trial: Trial): Map<Candidate, FittedRange> {
  const { inks, colours } = trial;
  const described = new LabColumns(colours.length);
  for (const [c, { lab }] of colours.entries()) described.set(c, lab.L, lab.a, lab.b, 100);
  const tonesOf = (range: FittedRange, out: Float64Array) => {
    const membership = new Membership(rangeExtraction(range));
    for (let first = 0; first < colours.length; first += COLOURS_AT_ONCE) {
      const count = Math.min(COLOURS_AT_ONCE, colours.length - first);
      out.set(membership.of(described, first, count).subarray(0, count), first);
    }
  };
  /** What a plate costs that prints next to nothing, so that ranges of small things do not shrink to none. */
  const emptiness = (tones: Float64Array) => {
    let sum = 0;
    for (const [c, { weight }] of colours.entries()) sum += weight * tones[c]!;
    return EMPTY.cost * Math.max(0, 1 - sum / EMPTY.coverage);
  };
  const scratch = new Float64Array(colours.length);
  const ranges = inks.map((ink, i) => {
    const range = firstRange(ink, trial, i);
    const misfit = () => {
      tonesOf(range, scratch);
      let sum = 0;
      for (const [c, { weight }] of colours.entries()) sum += weight * (scratch[c]! - trial.tone(c, i)) ** 2;
      return sum + emptiness(scratch);
    };
    settle(range, misfit);
    return range;
  });

  const print = trial.printer();
  const tones = inks.map((_, i) => {
    const made = new Float64Array(colours.length);
    tonesOf(ranges[i]!, made);
    return made;
  });
  const here = new Float64Array(inks.length);
  const miss = () => {
    let sum = 0;
    for (const [c, { weight }] of colours.entries()) {
      let wet = 0;
      for (let i = 0; i < here.length; i++) wet += here[i] = tones[i]![c]!;
      const d = print(c, here);
      sum += weight * (d + 0.05 * d * d + WET.cost * Math.max(0, wet - WET.from));
    }
    return sum;
  };
  for (let round = 0; round < 2; round++) {
    for (const [i, range] of ranges.entries()) {
      settle(range, () => {
        tonesOf(range, tones[i]!);
        return miss() + emptiness(tones[i]!);
      });
      tonesOf(range, tones[i]!);
    }
  }
  return new Map(inks.map((ink, i) => [ink, ranges[i]!]));
}

/** The extraction of fitted ranges. */
export function rangeExtraction({ hue, chroma, lightness }: FittedRange): Extraction {
  const of: Extraction[] = [
    { by: "chroma", from: chroma.least, to: chroma.most, fade: chroma.fade },
    { by: "lightness", from: lightness.least, to: lightness.most, fade: lightness.fade },
  ];
  if (hue) {
    const { from, to } = turnOf(hue);
    of.push({ by: "hue", from, to, fade: hue.fade });
  }
  return { by: "all", of };
}

/** The ends of a hue range in whole degrees from 0 up to 360. */
export function turnOf({ centre, half }: { centre: number; half: number }): { from: number; to: number } {
  const turn = (degrees: number) => ((degrees % 360) + 360) % 360;
  return { from: turn(centre - half), to: turn(centre + half) };
}

/** Moves one end or fade at a time while that makes the cost less. */
function settle(range: FittedRange, cost: () => number): void {
  let least = cost();
  for (const step of STEPS) {
    for (let pass = 0; pass < PASSES; pass++) {
      let gained = false;
      for (const [part, key, low, high] of dials(range)) {
        for (const by of [step, -step]) {
          const before = part[key]!;
          const to =
            key === "centre" ? (before + by + 360) % 360 : Math.min(high, Math.max(low, before + by));
          if (to === before || (key === "least" && to > part.most!) || (key === "most" && to < part.least!))
            continue;
          part[key] = to;
          const now = cost();
          if (now < least - 1e-7) {
            least = now;
            gained = true;
            break;
          }
          part[key] = before;
        }
      }
      if (!gained) break;
    }
  }
}

type Dial = readonly [part: Record<string, number>, key: string, low: number, high: number];

function dials({ hue, chroma, lightness }: FittedRange): Dial[] {
  const band = (part: Record<string, number>, most: number): Dial[] => [
    [part, "least", 0, most],
    [part, "most", 0, most],
    [part, "fade", 2, 90],
  ];
  const turn: Dial[] = hue
    ? [
        [hue, "centre", 0, 359],
        [hue, "half", 2, 170],
        [hue, "fade", 2, 120],
      ]
    : [];
  return [...turn, ...band(chroma, MOST_CHROMA), ...band(lightness, 100)];
}
