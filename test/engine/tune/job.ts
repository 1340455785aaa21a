import type { SeparationPlan } from "../../../server/engine/plan.ts";
import type { TuneJob } from "../../../server/engine/tune/job.ts";
import { BLACK_GARMENT, SHELF } from "../solve/prints.ts";

const INKS: Readonly<Record<string, number>> = { white: 0, gold: 1, leaf: 2, black: 6 };

/** A job of these plates, in the plan's order on a black garment, whose dials change nothing. */
export function jobOf(plan: SeparationPlan): TuneJob {
  return {
    plan,
    wetInk: 3,
    dials: [],
    prints: [
      {
        garment: "black",
        setup: "dark",
        conditions: { garment: BLACK_GARMENT, n: 1, compensated: true, smallestDot: plan.smallestDot },
        stations: plan.plates
          .filter(({ name }) => !plan.merges.some(({ fold }) => fold === name))
          .map(({ name }) => {
            const [colour, opacity] = SHELF[INKS[name]!]!;
            return { plate: name, ink: { colour, opacity }, wetGroup: name === "white" ? 0 : 1 };
          }),
        weight: 1,
      },
    ],
    plateAt(p) {
      const { name, extract, strength } = plan.plates[p]!;
      return { extract, strength, curves: plan.adjustments.filter(({ plate }) => plate === name) };
    },
  };
}
