import { toneSteps } from "../../engine/press/dots.ts";
import { printedPlates } from "../job.ts";
import type { JobRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** One step to each percent. */
const LEAST_STEPS = 101;

/** A cell of few film dots holds few tones. */
export const filmSteps: JobRule = {
  id: "film-steps",
  looksAt: "job",
  level: "warning",
  why: "A halftone cell holds (film resolution ÷ ruling)² + 1 tones; with too few, soft transitions print as bands.",
  source:
    "PostScript Language Reference, cell arithmetic; one step to each percent as the bound is common practice, no source.",
  example: {
    fails: yaml`
      screening: { ruling: 65 lpi, film: 600 dpi }
    `,
    passes: yaml`
      screening: { ruling: 45 lpi, film: 1200 dpi }
    `,
  },
  *check(recipe) {
    const told = new Set<number>();
    for (const { name, screening } of printedPlates(recipe)) {
      // Grains hold as many tones as there are places for them.
      if (screening.method !== "am") continue;
      const { filmDpi, rulingLpi } = screening;
      const steps = toneSteps(filmDpi, rulingLpi);
      if (steps >= LEAST_STEPS || told.has(rulingLpi)) continue;
      told.add(rulingLpi);
      const finest = Math.floor(filmDpi / Math.sqrt(LEAST_STEPS - 1));
      const coarsest = Math.ceil(rulingLpi * Math.sqrt(LEAST_STEPS - 1));
      yield {
        path: rulingLpi === recipe.screening.rulingLpi ? ["screening"] : ["plates", name, "screening"],
        message: `${filmDpi} dpi hold ${steps} tones at ${rulingLpi} lpi, so soft transitions will show bands; use ${coarsest} dpi film, or ${finest} lpi or less`,
      };
    }
  },
};
