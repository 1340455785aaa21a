import { curveFunction } from "../adjust/curve.ts";
import { type Lab, linearFromLab } from "../colour/cielab.ts";
import { LINEAR_OF_BYTE, srgbFromLinear } from "../colour/srgb.ts";
import type { SolvedTones } from "../extract/solved-tones.ts";
import type { SeparationPlan, Strength } from "../plan.ts";
import { FixedPlates, isSeen } from "./fixed-plates.ts";
import { jointPlan, matchPlan, processPlans } from "./plan.ts";
import { type FixedTones, Solver } from "./solve.ts";

/**
 * Everything that solved and matched tones depend on, as text; undefined where no plate is either. Two plans of one
 * key have the same tones for every colour: a host may keep what it made of them.
 */
export function solveKey(plan: SeparationPlan): string | undefined {
  const { plates, adjustments, merges, knockouts, solving } = plan;
  if (!plates.some(({ strength }) => isSolved(strength))) return undefined;
  const pointwise = adjustments.filter((adjustment) => isSeen(adjustment, plan));
  return JSON.stringify([
    plates,
    pointwise,
    merges,
    knockouts.map(({ from, where }) => [from, where]),
    solving,
  ]);
}

/** Whether a plate's tones are solved, and not by its extraction alone. */
export function isSolved({ by }: Strength): boolean {
  return by === "match" || by === "solve";
}

/**
 * The tones of a separation's solved and matched plates, of which it has one at least (`solveKey`). Takes the better
 * part of a second; yields the share done meanwhile, so that a host may stop there.
 */
export function* solveTones(plan: SeparationPlan): Generator<number, SolvedTones> {
  const own = new FixedPlates(plan);
  const matched = plan.plates.flatMap(({ strength }, p) => (strength.by === "match" ? [p] : []));
  const joint = jointPlan(plan);
  const works = matched.length + (joint.solved.length > 0 ? 3 : 0);
  let done = 0;

  const matchers: Solver[] = [];
  for (const p of matched) {
    const matcher = new Solver(matchPlan(plan, p), (colour, fixed) => own.write(colour, fixed, [p]));
    for (const share of matcher.prepare()) yield (done + share) / works;
    done++;
    matchers.push(matcher);
  }
  const match = (r: number, g: number, b: number, out: Float64Array) => {
    const tone = new Float64Array(1);
    for (const [i, p] of matched.entries()) {
      matchers[i]!.tones(r, g, b, tone);
      out[p] = tone[0]!;
    }
  };
  const process = processPlans(plan);
  const write = (colour: Lab, fixed: FixedTones, r: number, g: number, b: number, of: readonly number[]) => {
    match(r, g, b, fixed.tones);
    own.write(colour, fixed, of);
  };
  const blackless: Solver[] = [];
  let blackOf: (r: number, g: number, b: number) => number = () => 0;
  if (process) {
    const { grey, chromatic } = process;
    const withoutBlack = new Solver(grey, (colour, fixed, r, g, b) =>
      write(colour, fixed, r, g, b, grey.solved),
    );
    for (const share of withoutBlack.prepare()) yield (done + 1.5 * share) / works;
    blackless.push(withoutBlack);
    const generation = curveFunction(plan.solving!.process!.blackGeneration);
    const found = new Float64Array(grey.solved.length);
    blackOf = (r, g, b) => {
      withoutBlack.tones(r, g, b, found);
      return generation(Math.min(...chromatic.map((j) => found[j]!)));
    };
  }
  const begun = process ? 1.5 : 0;
  const solver =
    joint.solved.length === 0
      ? undefined
      : new Solver(process?.whole ?? joint, (colour, fixed, r, g, b) => {
          write(colour, fixed, r, g, b, joint.solved);
          fixed.heldTo = blackOf(r, g, b);
        });
  if (solver) for (const share of solver.prepare()) yield (done + begun + (3 - begun) * share) / works;

  const tones = new Float64Array(joint.solved.length);
  const count = joint.solved.length;
  const bounded = joint.solved.map((p) => own.bounded(p));
  // Where nothing is made by ranges and one garment is printed, the whole print is known, soft edges included.
  const known = plan.solving!.onlyGarment && plan.plates.every(({ strength }) => strength.by === "solve");
  const edges = known ? new OnGarment(plan.solving!.conditions.garment) : undefined;

  return {
    solves: (p) => isSolved(plan.plates[p]!.strength),
    bytes: [...matchers, ...blackless, ...(solver ? [solver] : [])].reduce(
      (sum, { bytes }) => sum + bytes,
      0,
    ),
    write(r, g, b, alpha, out) {
      const opacity = alpha / 255;
      if (matched.length > 0) {
        match(r, g, b, out);
        for (const p of matched) out[p] = out[p]! * own.member(p, r, g, b, alpha) * opacity;
      }
      if (!solver) return;
      if (edges && alpha < 255) {
        solver.tones(edges.see(r, 0, opacity), edges.see(g, 1, opacity), edges.see(b, 2, opacity), tones);
      } else solver.tones(r, g, b, tones);
      // What is all but clear prints next to nothing, whatever the garment.
      const share = edges ? Math.min(1, opacity * 8) : opacity;
      for (let i = 0; i < count; i++) {
        const p = joint.solved[i]!;
        const tone = bounded[i] ? Math.min(tones[i]!, own.member(p, r, g, b, alpha)) : tones[i]!;
        out[p] = tone * share;
      }
    },
  };
}

/** Artwork that is not quite opaque, as it is seen on the garment. */
class OnGarment {
  readonly #light: readonly number[];

  constructor(garment: Lab) {
    const { r, g, b } = linearFromLab(garment);
    this.#light = [r, g, b].map((v) => Math.min(1, Math.max(0, v)));
  }

  /** One sRGB component 0–255, mixed in linear light. */
  see(byte: number, band: 0 | 1 | 2, opacity: number): number {
    return 255 * srgbFromLinear(opacity * LINEAR_OF_BYTE[byte]! + (1 - opacity) * this.#light[band]!);
  }
}
