import { deltaE00 } from "../colour/ciede2000.ts";
import type { DotGain } from "../print/gain.ts";
import { colourOf, type InkFilm } from "../print/ink-film.ts";
import type { PrintConditions } from "../print/model.ts";
import type { Screening } from "../screen/halftone.ts";
import type { SolvePlan, SolveStation } from "../solve/plan.ts";
import { Search } from "../solve/search.ts";
import type { WeightedColour } from "./colours.ts";

/** An ink that may be chosen. */
export interface Candidate {
  /** Name in the ink library; empty for an ink to be mixed. */
  readonly name: string;
  readonly film: InkFilm;
  readonly gain?: DotGain | undefined;
  /** Printed on top of all others, as white highlights are. */
  readonly onTop?: boolean;
}

/** The print that inks are chosen for. */
export interface Substrate {
  readonly conditions: PrintConditions;
  /** The screen of all plates. */
  readonly screen: Screening;
  /** The white beneath the colours; undefined on light garment. */
  readonly base: Candidate | undefined;
  readonly wetInk: number;
  /** Whether light inks print before dark ones. */
  readonly lightFirst: boolean;
  /** Share of the print area that the artwork covers, 0–1. */
  readonly covered: number;
}

/** Lightness up to which a plate is the dark one: printed last on an underbase, first on light garment. */
export const DARK = 25;

/** Inks in print order: light to dark or dark to light, highlights on top of all. */
export function printOrder<T extends Candidate>(inks: readonly T[], lightFirst: boolean): T[] {
  const place = (ink: T) => {
    const { L } = colourOf(ink.film);
    if (ink.onTop) return 1000;
    return lightFirst ? -L : L;
  };
  return inks.toSorted((x, y) => place(x) - place(y));
}

/** Mean and 95th percentile ΔE00 over weighted colours, and the sum that choosing makes small. */
export interface Reach {
  readonly mean: number;
  readonly p95: number;
  readonly score: number;
}

/** Far misses weigh more than many small ones. */
const FAR = 0.06;
/** A miss that nobody sees needs no better tones. */
const UNSEEN = 0.4;

/** Mean tone over the print under which a plate is not worth its screen (rule near-empty-plate has 0.4 %). */
const EMPTY = { coverage: 0.007, cost: 1 };
/** ΔE00 between an ink and what it mostly prints, from which it confuses whoever reads the plates (rule far-ink: 40). */
const STRAY = { from: 33, cost: 0.1 };

/** What a set of inks can do: the best tones for each of some colours, by themselves, and how far they miss. */
export class Trial {
  readonly inks: readonly Candidate[];
  readonly misses: Float64Array;
  readonly #substrate: Substrate;
  readonly colours: readonly WeightedColour[];
  /** Tones in the order of base, then `inks`, for each colour. */
  readonly #tones: readonly Float64Array[];

  private constructor(
    substrate: Substrate,
    colours: readonly WeightedColour[],
    inks: readonly Candidate[],
    tones: readonly Float64Array[],
    misses: Float64Array,
  ) {
    this.#substrate = substrate;
    this.colours = colours;
    this.inks = inks;
    this.#tones = tones;
    this.misses = misses;
  }

  static start(substrate: Substrate, colours: readonly WeightedColour[]): Trial {
    const base = substrate.base ? 1 : 0;
    const tones = colours.map(() => new Float64Array(base).fill(1));
    return new Trial(substrate, colours, [], tones, new Float64Array(colours.length).fill(200)).#solved(
      [],
      12,
    );
  }

  /** The same colours with other inks; tones start from those of the inks that stay. `steps` 0 only looks. */
  with(inks: readonly Candidate[], steps: number, among?: readonly number[]): Trial {
    const kept = inks.map((ink) => this.inks.indexOf(ink));
    const base = this.#substrate.base ? 1 : 0;
    const tones = this.#tones.map((old) => {
      const now = new Float64Array(base + inks.length);
      if (base > 0) now[0] = old[0]!;
      for (const [i, from] of kept.entries()) if (from >= 0) now[base + i] = old[base + from]!;
      return now;
    });
    const fresh = kept.flatMap((from, i) => (from < 0 ? [base + i] : []));
    const next = new Trial(this.#substrate, this.colours, inks, tones, this.misses.slice());
    return next.#solved(fresh, steps, among);
  }

  /** The same with another ink in one place, whose tones it takes over as a start. */
  renamed(i: number, ink: Candidate): Trial {
    const inks = this.inks.map((old, j) => (j === i ? ink : old));
    return new Trial(this.#substrate, this.colours, inks, this.#tones, this.misses);
  }

  reach(among?: readonly number[]): Reach {
    const places = among ?? this.colours.map((_, i) => i);
    let total = 0;
    let sum = 0;
    let score = 0;
    for (const i of places) {
      const { weight } = this.colours[i]!;
      const miss = this.misses[i]!;
      total += weight;
      sum += weight * miss;
      score += weight * (miss + FAR * miss * miss);
    }
    const far = [...places].sort((x, y) => this.misses[x]! - this.misses[y]!);
    let left = 0.95 * total;
    let p95 = 0;
    for (const i of far) {
      p95 = this.misses[i]!;
      left -= this.colours[i]!.weight;
      if (left <= 0) break;
    }
    return { mean: sum / total, p95, score: score / total + this.#odd() };
  }

  /** What inks cost that a separator would not take: next to nothing to print, or far from all that they print. */
  #odd(): number {
    const base = this.#substrate.base ? 1 : 0;
    let odd = 0;
    for (const [i, ink] of this.inks.entries()) {
      if (ink.onTop) continue;
      let sum = 0;
      let weights = 0;
      let [L, a, b] = [0, 0, 0];
      for (const [c, { lab, weight }] of this.colours.entries()) {
        const tone = this.#tones[c]![base + i]!;
        sum += weight * tone;
        const w = weight * tone * tone;
        weights += w;
        L += w * lab.L;
        a += w * lab.a;
        b += w * lab.b;
      }
      odd += EMPTY.cost * Math.max(0, 1 - sum / (EMPTY.coverage / this.#substrate.covered));
      const own = colourOf(ink.film);
      if (weights <= 0 || own.L <= DARK) continue;
      const far = deltaE00(L / weights, a / weights, b / weights, own.L, own.a, own.b);
      odd += STRAY.cost * Math.max(0, far - STRAY.from);
    }
    return odd;
  }

  /** The colours that miss most, by weight; `most` of them, at least some of each. */
  worst(most: number): number[] {
    const cost = (i: number) => this.colours[i]!.weight * (this.misses[i]! + FAR * this.misses[i]! ** 2);
    return this.colours
      .map((_, i) => i)
      .sort((x, y) => cost(y) - cost(x))
      .slice(0, most);
  }

  /** Mean tone of each ink over the whole print, clear parts too: what is called coverage everywhere. */
  coverage(): number[] {
    const base = this.#substrate.base ? 1 : 0;
    const total = this.colours.reduce((sum, { weight }) => sum + weight, 0) / this.#substrate.covered;
    return this.inks.map(
      (_, i) =>
        this.colours.reduce((sum, { weight }, c) => sum + weight * this.#tones[c]![base + i]!, 0) / total,
    );
  }

  /** Tone of an ink for a colour, both by number. */
  tone(colour: number, ink: number): number {
    return this.#tones[colour]![(this.#substrate.base ? 1 : 0) + ink]!;
  }

  /** ΔE00 of a colour, by number, in a print with other tones of the inks; for trials without an underbase of their own. */
  printer(): (colour: number, tones: Float64Array) => number {
    const plan = planFor(this.#substrate, this.inks);
    const search = new Search(plan);
    return (colour, tones) => {
      search.prints.target(this.colours[colour]!.lab);
      return search.difference(tones);
    };
  }

  /** Nothing is printed: the garment itself. */
  #bare(): Trial {
    const garment = this.#substrate.conditions.garment;
    for (const [i, { lab }] of this.colours.entries())
      this.misses[i] = deltaE00(lab.L, lab.a, lab.b, garment.L, garment.a, garment.b);
    return this;
  }

  #solved(fresh: readonly number[], steps: number, among?: readonly number[]): Trial {
    const plan = planFor(this.#substrate, this.inks);
    if (plan.stations.length === 0) return this.#bare();
    const search = new Search(plan);
    const count = plan.solved.length;
    const start = new Float64Array(count);
    const best = new Float64Array(count);
    for (const i of among ?? this.colours.keys()) {
      const tones = this.#tones[i]!;
      search.prints.target(this.colours[i]!.lab);
      let least = Number.POSITIVE_INFINITY;
      const attempt = () => {
        const cost = search.descend(start, steps);
        if (cost >= least) return;
        least = cost;
        best.set(start);
      };
      start.set(tones);
      if (fresh.length === 0 || this.misses[i]! < UNSEEN) attempt();
      else {
        const before = search.cost(tones);
        least = before;
        best.set(tones);
        for (const j of fresh) {
          start.set(tones);
          start[j] = 0.35;
          attempt();
          for (let k = 0; k < count; k++) start[k] = tones[k]! * 0.4;
          if (this.#substrate.base) start[0] = Math.max(tones[0]!, 0.7);
          start[j] = 0.85;
          attempt();
        }
      }
      tones.set(best);
      this.misses[i] = search.difference(best);
    }
    return this;
  }
}

function planFor(substrate: Substrate, inks: readonly Candidate[]): SolvePlan {
  const number = new Map(inks.map((ink, i) => [ink, i + (substrate.base ? 1 : 0)]));
  const station = ({ film, gain }: Candidate, plate: number, wetGroup: number): SolveStation => ({
    ink: film,
    gain,
    screen: substrate.screen,
    plate,
    wetGroup,
    knockedOutBy: [],
  });
  const base = substrate.base ? [station(substrate.base, 0, 0)] : [];
  const stations = printOrder(inks, substrate.lightFirst).map((ink) => station(ink, number.get(ink)!, 1));
  const plates = inks.length + base.length;
  return {
    conditions: substrate.conditions,
    stations: [...base, ...stations],
    plates,
    solved: Array.from({ length: plates }, (_, p) => p),
    sources: Array.from({ length: plates }, () => []),
    wetInk: substrate.wetInk,
    smoothness: 0,
    // Less than the plates will pay: found for one colour by itself, tones have few halftones anyway.
    halftonePrice: 0.25,
  };
}
