import type { SolvePlan } from "./plan.ts";
import { Prints } from "./prints.ts";

/**
 * Ink costs, in ΔE00² a solid plate: among tones that match alike, those with less ink on fewer plates win, and the
 * tones for a colour become a single, continuous answer. The linear part empties plates, the square part shares.
 */
const INK = 0.8;
const INK_SQUARED = 0.8;
/**
 * What it costs, in ΔE00², that a plate prints here at all: a tint of a few per cent that gains less is left out,
 * since a sprinkle of smallest dots is worse on press than a little colour difference.
 */
const PRESENCE = 0.8;
/** Tone at which half of that is paid. */
const TINT = 0.05;
/**
 * What each halftone beyond the first costs, in ΔE00², and the square of how many there are: they shift with the register,
 * beat and build up. One plate's gradient costs nothing.
 */
const HALFTONES = 2.4;
const HALFTONES_SQUARED = 1.3;
/** Tone times clear part at which half of a halftone is paid. */
const HALF_PAID = 0.03;
/** What counts for less of a halftone than this is not worth taking out. */
const TINY = 0.3;
/** What it costs, in ΔE00², that a plate whose tone is asked for is a whole tone off: a tenth is half of 1, so colours go first. */
const HOLD = 50;

const MOST_STEPS = 30;
const SWEEPS = 12;

/**
 * Finds the solved plates' tones for one colour: damped Gauss–Newton steps on ΔE00² and the cost of ink, each a small
 * quadratic problem in a box that is solved coordinate by coordinate. Allocates nothing a colour.
 */
export class Search {
  readonly prints: Prints;
  /** Bounds of each solved plate's tone here, 0–1. */
  readonly least: Float64Array;
  readonly most: Float64Array;
  /** Tones to stay near to, and how much each deviation costs; 0 frees them. */
  readonly prior: Float64Array;
  priorWeight = 0;
  /** Tone asked for of the plan's held plate. */
  heldTo = 0;
  readonly #plan: SolvePlan;
  readonly #count: number;
  readonly #hessian: Float64Array;
  readonly #gradient: Float64Array;
  readonly #step: Float64Array;
  readonly #next: Float64Array;
  /** How far each plate counts as a halftone, by its slope. */
  readonly #screened: Float64Array;
  readonly #tried: Float64Array;
  readonly #thinned: Float64Array;

  constructor(plan: SolvePlan) {
    this.prints = new Prints(plan);
    this.#plan = plan;
    const count = plan.solved.length;
    this.#count = count;
    this.least = new Float64Array(count);
    this.most = new Float64Array(count).fill(1);
    this.prior = new Float64Array(count);
    this.#hessian = new Float64Array(count * count);
    this.#gradient = new Float64Array(count);
    this.#step = new Float64Array(count);
    this.#next = new Float64Array(count);
    this.#screened = new Float64Array(count);
    this.#tried = new Float64Array(count);
    this.#thinned = new Float64Array(count);
  }

  /** ΔE00 with these tones; of several prints, the root of their mean square. */
  difference(tones: Float64Array): number {
    return Math.sqrt(this.prints.squared(tones));
  }

  /** What the search makes small. */
  cost(tones: Float64Array): number {
    return this.prints.squared(tones) + this.#costOfInk(tones);
  }

  /** Moves `tones` downhill to where no small step helps, and returns the cost there. */
  descend(tones: Float64Array, steps = MOST_STEPS): number {
    const count = this.#count;
    for (let j = 0; j < count; j++) tones[j] = Math.min(this.most[j]!, Math.max(this.least[j]!, tones[j]!));
    let damping = 1;
    let cost = this.#linearise(tones);
    for (let step = 0; step < steps; step++) {
      this.#solveBox(tones, damping);
      let moved = 0;
      for (let j = 0; j < count; j++) {
        this.#next[j] = tones[j]! + this.#step[j]!;
        moved = Math.max(moved, Math.abs(this.#step[j]!));
      }
      const next = this.cost(this.#next);
      if (next < cost) {
        const gained = cost - next;
        tones.set(this.#next);
        damping = Math.max(1e-3, damping / 5);
        cost = next;
        if (gained < 1e-4 * (1 + cost) || moved < 5e-4) break;
        cost = this.#linearise(tones);
      } else {
        damping *= 8;
        if (damping > 1e7 || moved < 2e-4) break;
      }
    }
    return cost;
  }

  /**
   * Brings every tone out of the gaps that no screen holds, between nothing and the smallest dot and between the
   * smallest hole and solid: to the end where the other plates can make up for it better. Returns the cost.
   */
  settle(tones: Float64Array, steps = MOST_STEPS): number {
    const dot = this.#plan.conditions.smallestDot;
    let cost = this.cost(tones);
    if (dot <= 0) return cost;
    const [least, most] = [this.least.slice(), this.most.slice()];
    for (let round = 0; round < this.#count; round++) {
      const j = this.inGap(tones);
      if (j < 0) break;
      const small = tones[j]! < 0.5;
      const low = tones.slice();
      this.most[j] = small ? least[j]! : Math.max(least[j]!, 1 - dot);
      const costLow = this.descend(low, steps);
      const high = tones.slice();
      const reach = small ? dot : 1;
      let costHigh = Number.POSITIVE_INFINITY;
      if (reach <= most[j]!) {
        this.most[j] = most[j]!;
        this.least[j] = reach;
        costHigh = this.descend(high, steps);
      }
      if (costLow <= costHigh) {
        tones.set(low);
        cost = costLow;
        this.least[j] = least[j]!;
        this.most[j] = small ? least[j]! : Math.max(least[j]!, 1 - dot);
      } else {
        tones.set(high);
        cost = costHigh;
      }
    }
    this.least.set(least);
    this.most.set(most);
    return cost;
  }

  /** How many halftones lie upon one another, tints and all but solids for a part. */
  halftones(tones: Float64Array): number {
    let sum = 0;
    for (let j = 0; j < this.#count; j++) sum += screened(tones[j]!);
    return sum;
  }

  /**
   * Takes halftones out, one after the other, as long as the others can make up for it: to nothing, or to a solid. The
   * price of halftones is flat between its ends, so that no small step finds that. Only to the nearer end where a prior
   * would hold it from the other. Returns the cost.
   */
  thin(tones: Float64Array, steps = MOST_STEPS): number {
    let cost = this.cost(tones);
    if (this.#plan.halftonePrice === 0) return cost;
    const tried = this.#tried;
    const best = this.#thinned;
    for (let round = 0; round < this.#count; round++) {
      let found = false;
      for (let j = 0; j < this.#count; j++) {
        if (screened(tones[j]!) < TINY) continue;
        const [least, most] = [this.least[j]!, this.most[j]!];
        for (const end of [0, 1]) {
          if (end < least || end > most) continue;
          if (this.priorWeight > 0 && Math.abs(end - tones[j]!) > 0.5) continue;
          this.least[j] = this.most[j] = end;
          tried.set(tones);
          const other = this.descend(tried, steps);
          if (other < cost) {
            cost = other;
            best.set(tried);
            found = true;
          }
        }
        this.least[j] = least;
        this.most[j] = most;
      }
      if (!found) break;
      tones.set(best);
    }
    return cost;
  }

  /** The plate deepest in a gap, as far as its bounds let it out; −1 if there is none. */
  inGap(tones: Float64Array): number {
    const dot = this.#plan.conditions.smallestDot;
    let found = -1;
    let deepest = 1e-3;
    for (let j = 0; j < this.#count; j++) {
      const t = tones[j]!;
      const depth = t < dot ? Math.min(t, dot - t) : t > 1 - dot ? Math.min(1 - t, t - 1 + dot) : 0;
      const free = t < 0.5 ? this.least[j]! === 0 : this.most[j]! > 1 - dot;
      if (free && depth > deepest) {
        deepest = depth;
        found = j;
      }
    }
    return found;
  }

  #costOfInk(tones: Float64Array): number {
    let sum = 0;
    const halftones = this.halftones(tones);
    for (let j = 0; j < this.#count; j++) {
      const t = tones[j]!;
      const off = t - this.prior[j]!;
      sum += t * (INK + INK_SQUARED * t + PRESENCE / (t + TINT)) + this.priorWeight * off * off;
    }
    const { held } = this.#plan;
    if (held !== undefined) sum += HOLD * (tones[held]! - this.heldTo) ** 2;
    if (halftones > 1) {
      const more = halftones - 1;
      sum += this.#plan.halftonePrice * more * (HALFTONES + HALFTONES_SQUARED * more);
    }
    return sum + this.prints.overflow(tones);
  }

  /** Gradient and curvature of the cost at `tones`; returns the cost. */
  #linearise(tones: Float64Array): number {
    const count = this.#count;
    this.#gradient.fill(0);
    this.#hessian.fill(0);
    const squared = this.prints.linearise(tones, this.#gradient, this.#hessian);
    for (let j = 0; j < count; j++) {
      const t = tones[j]!;
      this.#gradient[j]! +=
        INK +
        (PRESENCE * TINT) / ((t + TINT) * (t + TINT)) +
        2 * INK_SQUARED * t +
        2 * this.priorWeight * (t - this.prior[j]!);
      this.#hessian[j * count + j]! += 2 * (INK_SQUARED + this.priorWeight);
    }
    const { held } = this.#plan;
    if (held !== undefined) {
      this.#gradient[held]! += 2 * HOLD * (tones[held]! - this.heldTo);
      this.#hessian[held * count + held]! += 2 * HOLD;
    }
    const ink = this.#costOfInk(tones);
    this.#addHalftones(tones);
    this.prints.addOverflow(tones, this.#gradient, this.#hessian);
    return squared + ink;
  }

  #addHalftones(tones: Float64Array): void {
    const count = this.#count;
    const more = this.halftones(tones) - 1;
    if (more <= 0) return;
    const rise = this.#screened;
    for (let j = 0; j < count; j++) rise[j] = screenedSlope(tones[j]!);
    const price = this.#plan.halftonePrice;
    const slope = price * (HALFTONES + 2 * HALFTONES_SQUARED * more);
    const bend = 2 * price * HALFTONES_SQUARED;
    for (let j = 0; j < count; j++) {
      this.#gradient[j]! += slope * rise[j]!;
      for (let i = 0; i < count; i++) this.#hessian[i * count + j]! += bend * rise[i]! * rise[j]!;
    }
  }

  /** The step that makes the quadratic model least within the box, by coordinates in turn. */
  #solveBox(tones: Float64Array, damping: number): void {
    const count = this.#count;
    const d = this.#step.fill(0);
    for (let sweep = 0; sweep < SWEEPS; sweep++) {
      let moved = 0;
      for (let j = 0; j < count; j++) {
        const row = j * count;
        let slope = this.#gradient[j]!;
        for (let i = 0; i < count; i++) slope += this.#hessian[row + i]! * d[i]!;
        slope += damping * d[j]!;
        const wanted = d[j]! - slope / (this.#hessian[row + j]! + damping);
        const to = Math.min(this.most[j]! - tones[j]!, Math.max(this.least[j]! - tones[j]!, wanted));
        moved = Math.max(moved, Math.abs(to - d[j]!));
        d[j] = to;
      }
      if (moved < 1e-4) break;
    }
  }
}

/** How far a tone counts as a halftone, 0–1: not at all where it is clear or solid, all but fully between. */
function screened(tone: number): number {
  const both = tone * (1 - tone);
  return (both * (1 + 4 * HALF_PAID)) / (both + HALF_PAID);
}

function screenedSlope(tone: number): number {
  const both = tone * (1 - tone);
  return ((1 + 4 * HALF_PAID) * HALF_PAID * (1 - 2 * tone)) / (both + HALF_PAID) ** 2;
}
