import { deltaE00 } from "../colour/ciede2000.ts";
import { chromaOf, type Lab } from "../colour/cielab.ts";
import { colourOf } from "../print/ink-film.ts";
import { mixedInk } from "./candidates.ts";
import type { WeightedColour } from "./colours.ts";
import { type Candidate, type Reach, type Substrate, Trial } from "./trial.ts";

/** How near the print comes with so many plates beside the underbase. */
export interface CurvePoint extends Omit<Reach, "score"> {
  readonly plates: number;
}

/** Inks that were chosen, and what each more would bring. */
export interface Choice {
  /** In the order in which they were found worth while. */
  readonly inks: readonly Candidate[];
  readonly curve: readonly CurvePoint[];
  readonly reach: Reach;
  readonly trial: Trial;
}

/** Limits of a choice of inks. */
export interface ChooseOptions {
  /** Inks to choose from. */
  readonly candidates: readonly Candidate[];
  /** Most plates beside the underbase. */
  readonly most: number;
  /** Whether to go on to `most` as long as a plate brings anything at all. */
  readonly fill: boolean;
  /** Share of a visible step that a plate must bring; ranges, which mix less well than solved tones, want less. */
  readonly patience?: number;
  /** Whether the chosen inks' colours may be moved. */
  readonly free: boolean;
}

/** What one more screen must bring, ΔE00: half of what is just seen side by side, everywhere, or 1.5 where it misses most. */
const STEP = { mean: 0.35, p95: 1.5 };
const ANYTHING = 0.01;
/** Inks nearer to one another are one ink (rule close-inks says 3). */
const CLOSE = 6;
const SCREENED = { colours: 44, steps: 3 };
const LOOKED_AT = 5;
const STEPS = 10;
/** Most rounds in which chosen inks are exchanged. */
const EXCHANGES = 3;

/**
 * Chooses inks one by one, each time the one that brings the print nearest to the picture, then exchanges single inks
 * while that helps and, where they are to be mixed, moves their colours. Yields the share done.
 */
export function* chooseInks(
  substrate: Substrate,
  colours: readonly WeightedColour[],
  options: ChooseOptions,
): Generator<number, Choice> {
  const { most, free, fill, patience = 1 } = options;
  const base = substrate.base ? [substrate.base] : [];
  const candidates = options.candidates.filter((ink) => isApart(ink, base));
  let trial = Trial.start(substrate, colours);
  const start = trial.reach();
  const curve: CurvePoint[] = substrate.base ? [{ plates: 0, mean: start.mean, p95: start.p95 }] : [];
  let last = start;
  for (let n = 1; n <= most; n++) {
    const next = best(trial, candidates, trial.inks);
    if (!next) break;
    let better = exchanged(next, candidates, n <= 6 ? 1 : 0);
    if (free) better = moved(better, base, 1);
    const reach = better.reach();
    const visible =
      last.mean - reach.mean >= patience * STEP.mean || last.p95 - reach.p95 >= patience * STEP.p95;
    if ((n > 1 || substrate.base) && (fill ? last.score - reach.score < ANYTHING : !visible)) {
      // What was tried is told, so that the user sees what the next screen would have bought.
      curve.push({ plates: n, mean: reach.mean, p95: reach.p95 });
      break;
    }
    trial = better;
    last = reach;
    curve.push({ plates: n, mean: reach.mean, p95: reach.p95 });
    yield (0.8 * n) / most;
  }
  trial = exchanged(trial, candidates, EXCHANGES);
  yield 0.9;
  if (free) trial = moved(trial, base, 2);
  const reach = trial.reach();
  const at = curve.findIndex(({ plates }) => plates === trial.inks.length);
  if (at >= 0) curve[at] = { plates: trial.inks.length, mean: reach.mean, p95: reach.p95 };
  yield 1;
  return { inks: trial.inks, curve, reach, trial };
}

/** What each chosen ink is worth: the mean ΔE00 without it, and its mean tone over the picture. */
export function worthOf({ trial }: Choice): Map<Candidate, { without: number; coverage: number }> {
  const coverage = trial.coverage();
  return new Map(
    trial.inks.map((ink, i) => {
      const others = trial.inks.filter((other) => other !== ink);
      return [ink, { without: trial.with(others, STEPS).reach().mean, coverage: coverage[i]! }];
    }),
  );
}

/** The trial with the one more candidate that helps most; undefined where none does or none is left. */
function best(
  trial: Trial,
  candidates: readonly Candidate[],
  beside: readonly Candidate[],
): Trial | undefined {
  const open = candidates.filter((candidate) => isApart(candidate, beside));
  const among = trial.worst(SCREENED.colours);
  const rough = open
    .map((candidate) => ({
      candidate,
      score: trial.with([...trial.inks, candidate], SCREENED.steps, among).reach().score,
    }))
    .sort((x, y) => x.score - y.score)
    .slice(0, LOOKED_AT);
  let found: Trial | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const { candidate } of rough) {
    const tried = trial.with([...trial.inks, candidate], STEPS);
    const { score } = tried.reach();
    if (score >= least) continue;
    least = score;
    found = tried;
  }
  return found;
}

/** Takes each ink out in turn and puts the best in its place, as long as that gains something. */
function exchanged(trial: Trial, candidates: readonly Candidate[], rounds: number): Trial {
  let now = trial;
  for (let round = 0; round < rounds && now.inks.length > 1; round++) {
    let gained = false;
    for (const ink of now.inks) {
      const others = now.inks.filter((other) => other !== ink);
      const without = now.with(others, STEPS);
      const other = best(without, candidates, [...others]);
      if (!other || other.reach().score > now.reach().score - ANYTHING) continue;
      now = other;
      gained = true;
    }
    if (!gained) break;
  }
  return now;
}

/** Moves inks to be mixed in lightness, chroma and hue while the print comes nearer. */
function moved(trial: Trial, base: readonly Candidate[], rounds: number): Trial {
  let now = trial;
  for (let round = 0; round < rounds; round++) {
    const by = 8 / (round + 1);
    for (let i = 0; i < now.inks.length; i++) {
      const ink = now.inks[i]!;
      if (ink.onTop || ink.name !== "") continue;
      let lab = colourOf(ink.film);
      for (const way of WAYS) {
        const to = mixedInk(shifted(lab, way, by));
        const others = [...base, ...now.inks.filter((_, j) => j !== i)];
        if (!isApart(to, others)) continue;
        const tried = replaced(now, i, to);
        if (tried.reach().score > now.reach().score - ANYTHING) continue;
        now = tried;
        lab = colourOf(to.film);
      }
    }
  }
  return now;
}

function replaced(trial: Trial, i: number, ink: Candidate): Trial {
  return trial.renamed(i, ink).with(
    trial.inks.map((old, j) => (j === i ? ink : old)),
    5,
  );
}

type Way = readonly [lightness: number, chroma: number, hue: number];
const WAYS: readonly Way[] = [
  [0, 1, 0],
  [1, 0, 0],
  [-1, 0, 0],
  [0, 0, 1],
  [0, 0, -1],
  [0, -1, 0],
];

function shifted({ L, a, b }: Lab, [lightness, chroma, hue]: Way, by: number): Lab {
  const c = chromaOf(a, b);
  const angle = Math.atan2(b, a) + (hue * by) / Math.max(12, c);
  const wide = Math.max(0, c + chroma * by);
  return {
    L: Math.min(98, Math.max(3, L + lightness * by)),
    a: wide * Math.cos(angle),
    b: wide * Math.sin(angle),
  };
}

function isApart(candidate: Candidate, inks: readonly Candidate[]): boolean {
  const { L, a, b } = colourOf(candidate.film);
  return inks.every((ink) => {
    const own = colourOf(ink.film);
    return (
      (ink.onTop ?? false) !== (candidate.onTop ?? false) || deltaE00(L, a, b, own.L, own.a, own.b) >= CLOSE
    );
  });
}
