import type { Lab } from "../colour/cielab.ts";
import { Forward } from "./forward.ts";
import { Difference } from "./objective.ts";
import { printsOf, type SolvePlan, type SolvePrint } from "./plan.ts";

/** What ink beyond the limit costs. */
const OVERFLOW = 4000;
/** Step of a tone by which the slope of wet ink is seen. */
const STEP = 1e-4;

interface OnePrint {
  readonly forward: Forward;
  readonly difference: Difference;
  /** How much it counts; all sum to 1. */
  readonly share: number;
  readonly wet: Float64Array;
  readonly wetBeside: Float64Array;
}

/** All prints of a plan's plates at one colour: how far off they are, and how much ink lies wet in them. */
export class Prints {
  readonly #prints: readonly OnePrint[];
  readonly #wetInk: number;
  readonly #jacobian: Float64Array;
  readonly #beside: Float64Array;

  constructor(plan: SolvePlan) {
    const weights = [1, ...(plan.also ?? []).map(({ weight }) => weight)];
    const total = weights.reduce((sum, weight) => sum + weight, 0);
    this.#prints = printsOf<SolvePrint>(plan).map((print, i) => {
      const groups = 1 + Math.max(0, ...print.stations.map(({ wetGroup }) => wetGroup));
      return {
        forward: new Forward(plan, print),
        difference: new Difference(print.conditions.n),
        share: weights[i]! / total,
        wet: new Float64Array(groups),
        wetBeside: new Float64Array(groups),
      };
    });
    this.#wetInk = plan.wetInk;
    this.#jacobian = new Float64Array(3 * plan.solved.length);
    this.#beside = new Float64Array(plan.solved.length);
  }

  /** Own tones 0–1 of every plate, by its number; those of solved plates are not looked at. */
  set(fixed: Float64Array): void {
    for (const { forward } of this.#prints) forward.set(fixed);
  }

  target(colour: Lab): void {
    for (const { difference } of this.#prints) difference.set(colour);
  }

  /** ΔE00² with these tones of the solved plates: the mean over all prints, by their weights. */
  squared(tones: Float64Array): number {
    let sum = 0;
    for (const { forward, difference, share } of this.#prints) {
      forward.at(tones);
      sum += share * difference.at(forward.bands);
    }
    return sum;
  }

  /** The same, with its gradient and curvature added to these. */
  linearise(tones: Float64Array, gradient: Float64Array, hessian: Float64Array): number {
    const count = tones.length;
    const J = this.#jacobian;
    let sum = 0;
    for (const { forward, difference, share } of this.#prints) {
      forward.slopes(tones);
      sum += share * difference.withSlopes(forward.bands);
      const { parts, slopes } = difference;
      const inBands = forward.slope;
      for (let j = 0; j < count; j++) {
        for (let part = 0; part < 3; part++) {
          J[3 * j + part] =
            slopes[3 * part]! * inBands[3 * j]! +
            slopes[3 * part + 1]! * inBands[3 * j + 1]! +
            slopes[3 * part + 2]! * inBands[3 * j + 2]!;
        }
      }
      const twice = 2 * share;
      for (let j = 0; j < count; j++) {
        gradient[j]! +=
          twice * (J[3 * j]! * parts[0]! + J[3 * j + 1]! * parts[1]! + J[3 * j + 2]! * parts[2]!);
        for (let i = 0; i <= j; i++) {
          const h =
            twice * (J[3 * i]! * J[3 * j]! + J[3 * i + 1]! * J[3 * j + 1]! + J[3 * i + 2]! * J[3 * j + 2]!);
          hessian[i * count + j]! += h;
          if (i < j) hessian[j * count + i]! += h;
        }
      }
    }
    return sum;
  }

  /** What ink beyond the limit costs, in whichever print. */
  overflow(tones: Float64Array): number {
    let sum = 0;
    for (const { forward, wet } of this.#prints) {
      forward.wetInk(tones, wet);
      for (const ink of wet) if (ink > this.#wetInk) sum += OVERFLOW * (ink - this.#wetInk) ** 2;
    }
    return sum;
  }

  /** Adds its slopes, by small steps, since merges and knockouts take part in it; to be called after `overflow`. */
  addOverflow(tones: Float64Array, gradient: Float64Array, hessian: Float64Array): void {
    const count = tones.length;
    const limit = this.#wetInk;
    for (const { forward, wet, wetBeside } of this.#prints) {
      if (!wet.some((ink) => ink > limit)) continue;
      const slopes = Array.from({ length: count }, (_, j) => {
        this.#beside.set(tones);
        this.#beside[j]! += STEP;
        forward.wetInk(this.#beside, wetBeside);
        return Array.from(wetBeside, (ink, g) => (ink - wet[g]!) / STEP);
      });
      for (const [g, ink] of wet.entries()) {
        if (ink <= limit) continue;
        for (let j = 0; j < count; j++) {
          gradient[j]! += 2 * OVERFLOW * (ink - limit) * slopes[j]![g]!;
          for (let i = 0; i < count; i++)
            hessian[i * count + j]! += 2 * OVERFLOW * slopes[i]![g]! * slopes[j]![g]!;
        }
      }
    }
  }
}
