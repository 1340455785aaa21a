import { curveFunction } from "../adjust/curve.ts";
import type { Lab } from "../colour/cielab.ts";
import { LabColumns } from "../extract/lab-columns.ts";
import { Membership } from "../extract/membership.ts";
import { type StrengthOf, strengthFunction } from "../extract/strength.ts";
import type { SeparationPlan, SolvedPrint } from "../plan.ts";
import { printsOf } from "./plan.ts";
import type { FixedTones } from "./solve.ts";

/** Whether a solver sees an adjustment: one that holds everywhere, on a plate whose tones are not solved. */
export function isSeen(
  { plate, region }: SeparationPlan["adjustments"][number],
  plan: SeparationPlan,
): boolean {
  return (
    region === undefined &&
    !plan.plates.some(({ name, strength }) => name === plate && strength.by === "solve")
  );
}

/** What each plate is by itself at a colour, as far as that follows from the colour: stages 1 and 2 without regions. */
export class FixedPlates {
  readonly #plan: SeparationPlan;
  readonly #memberships: readonly Membership[];
  readonly #strengths: readonly StrengthOf[];
  readonly #curves: readonly (readonly ((tone: number) => number)[])[];
  readonly #underbases: ReadonlySet<string>;
  readonly #colour = new LabColumns(1);

  constructor(plan: SeparationPlan) {
    this.#plan = plan;
    const prints = plan.solving ? printsOf<SolvedPrint>(plan.solving) : [];
    this.#underbases = new Set(
      prints.flatMap(({ stations }) =>
        stations.flatMap(({ plate, underbase }) => (underbase ? [plate] : [])),
      ),
    );
    this.#memberships = plan.plates.map(({ extract }) => new Membership(extract));
    this.#strengths = plan.plates.map(({ strength }) => strengthFunction(strength));
    this.#curves = plan.plates.map(({ name }) =>
      plan.adjustments
        .filter((adjustment) => adjustment.plate === name && isSeen(adjustment, plan))
        .map(({ curve }) => curveFunction(curve)),
    );
  }

  /**
   * Fills in `fixed` for an opaque colour. Tones of matched plates must stand in it already; plates that are solved,
   * but not among `solved`, and those from files count as solid underbases or as empty.
   */
  write(colour: Lab, fixed: FixedTones, solved: readonly number[]): void {
    this.#colour.set(0, colour.L, colour.a, colour.b, 100);
    for (const [p, { strength, name, extract }] of this.#plan.plates.entries()) {
      // What comes from a file follows from no colour.
      if (strength.by === "solve" || extract.by === "given") {
        fixed.tones[p] = this.#underbases.has(name) ? 1 : 0;
        continue;
      }
      const member = this.#memberships[p]!.one(this.#colour);
      const by = strength.by === "match" ? fixed.tones[p]! : this.#strengths[p]!(this.#colour, 0);
      fixed.tones[p] = this.#curves[p]!.reduce((tone, curve) => curve(tone), member * by);
    }
    for (const [i, p] of solved.entries()) {
      fixed.most[i] = this.bounded(p) ? this.#memberships[p]!.one(this.#colour) : 1;
    }
  }

  /** Membership 0–1 of an 8-bit sRGB colour of opacity `alpha`, 0–255. */
  member(p: number, r: number, g: number, b: number, alpha: number): number {
    this.#colour.setRgba(0, r, g, b, alpha);
    return this.#memberships[p]!.one(this.#colour);
  }

  /** Whether a solved plate is kept to a part of the artwork. */
  bounded(p: number): boolean {
    const { strength, extract } = this.#plan.plates[p]!;
    return strength.by === "solve" && extract.by !== "artwork";
  }
}
