import type { SeparationPlan } from "../../server/engine/plan.ts";
import { separationPlan } from "../../server/render/plan/separation-plan.ts";
import { recipeOf } from "./jobs.ts";

/** The folder of the built programs. */
export const builtRoot = new URL("../../dist/", import.meta.url);

/** Two plates that follow from the print. */
export const solvedPlan: SeparationPlan = separationPlan(
  recipeOf({
    plates:
      "  base: { ink: white, extract: { solve: jointly } }\n  ember: { ink: ember, extract: { solve: jointly } }\n",
  }),
);
