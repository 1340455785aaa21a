import { listed } from "../../language/words.ts";
import { misregistrationOf } from "../../render/plan/print-plan.ts";
import { inkOf, platesIn, SAME_MM, trapOf } from "../job.ts";
import type { JobRule } from "../rule.ts";
import { mm } from "../words.ts";
import { yaml } from "../yaml.ts";

/** An underbase ends short of the colours that cover it. */
export const basePeeks: JobRule = {
  id: "base-peeks",
  looksAt: "job",
  level: "warning",
  why: "Screens never meet exactly: an underbase as wide as its colours shows as a light line beside them.",
  source: "Common practice, no source; the distance is the shop's misregistration, else 0.2 mm.",
  example: {
    fails: yaml`
      traps: []
    `,
    passes: yaml`
      traps:
        - { plate: base, choke: 0.2 mm }
    `,
  },
  *check(recipe) {
    const least = misregistrationOf(recipe);
    const told = new Set<string>();
    for (const setup of recipe.setups.values()) {
      const plates = platesIn(recipe, setup);
      for (const [i, plate] of plates) {
        const covering = plates.filter(([at, { purpose }]) => at > i && purpose !== "underbase");
        const choke = trapOf(recipe, plate.name);
        if (plate.purpose !== "underbase" || covering.length === 0 || told.has(plate.name)) continue;
        // A barrier is as wide as the print, else dye rises at its edge.
        if (inkOf(recipe, plate).kind === "barrier") continue;
        if (choke >= least - SAME_MM) continue;
        told.add(plate.name);
        const index = recipe.traps.find((trap) => trap.plate === plate.name)?.index ?? -1;
        const over = listed(covering.slice(0, 3).map(([, { name }]) => name));
        const now =
          choke > 0
            ? `is choked by ${mm(choke)} only`
            : choke < 0
              ? "is spread"
              : "is as wide as its colours";
        yield {
          path: index < 0 ? ["plates", plate.name] : ["traps", index],
          ...(index < 0 ? { part: "key" as const } : {}),
          message: `underbase ${plate.name} ${now}, so it will peek out beside ${over} when screens are ${mm(least)} off; choke it by ${mm(least)} or more`,
          ...(index < 0
            ? { data: { add: { list: ["traps"], text: `{ plate: ${plate.name}, choke: ${mm(least)} }` } } }
            : {}),
        };
      }
    }
  },
};

/** What is knocked out must still reach under what prints in its place. */
export const knockoutGap: JobRule = {
  id: "knockout-gap",
  looksAt: "job",
  level: "warning",
  why: "A knockout as wide as the plate printed in it shows the garment around that plate as soon as the screens are a little off.",
  source: "Common practice, no source; the distance is the shop's misregistration, else 0.2 mm.",
  example: {
    fails: yaml`
      knockouts:
        - { from: base, where: black, choke: 0.2 mm }
      traps:
        - { plate: base, choke: 0.2 mm }
    `,
    passes: yaml`
      knockouts:
        - { from: base, where: black, choke: 0.4 mm }
      traps:
        - { plate: base, choke: 0.2 mm }
    `,
  },
  *check(recipe) {
    const least = misregistrationOf(recipe);
    for (const [i, { from, where, chokeMm }] of recipe.knockouts.entries()) {
      // The hole is widened by the choke of the plate that has it, and narrowed by a spread of what fills it.
      const overlap = chokeMm - trapOf(recipe, from) - trapOf(recipe, where);
      if (overlap >= least - SAME_MM) continue;
      const wanted = mm(chokeMm + least - overlap);
      const now =
        overlap < -SAME_MM
          ? `leaves a gap of ${mm(-overlap)} around ${where}`
          : overlap < SAME_MM
            ? `ends exactly where ${where} begins`
            : `reaches only ${mm(overlap)} under ${where}`;
      const gap = least - overlap;
      yield {
        path: chokeMm > 0 ? ["knockouts", i, "choke"] : ["knockouts", i],
        message: `${from} ${now}, so a gap of up to ${mm(gap)} will open when screens are ${mm(least)} off; choke the hole by ${wanted}`,
        ...(chokeMm > 0 ? { data: { replacement: wanted } } : {}),
      };
    }
  },
};
