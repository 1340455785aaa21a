import type { Plate, Recipe, Setup } from "../../language/recipe.ts";
import { allLight, anyDark, inkOf, plateOf, platesIn } from "../job.ts";
import type { JobRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** What lies under the colours goes down before them. */
export const underbaseFirst: JobRule = {
  id: "underbase-first",
  looksAt: "job",
  level: "warning",
  why: "An underbase printed over colours covers them instead of carrying them.",
  source: "Common practice, no source.",
  example: {
    fails: yaml`
      setups:
        dark: { garments: [black], order: [ember, base, flash, black, glint] }
    `,
    passes: yaml`
      setups:
        dark: { garments: [black], order: [base, flash, ember, black, glint] }
    `,
  },
  *check(recipe) {
    for (const [name, setup] of recipe.setups) {
      const plates = platesIn(recipe, setup);
      const early = plates.find(([, { purpose }]) => purpose !== "underbase");
      if (!early) continue;
      for (const [i, plate] of plates) {
        if (plate.purpose !== "underbase" || i < early[0]) continue;
        yield {
          path: ["setups", name, "order", i],
          message: `underbase ${plate.name} prints after ${early[1].name} and will cover it; put it first, with a flash behind it`,
        };
      }
    }
  },
};

/** Colours on a wet underbase mix with it. */
export const flashAfterUnderbase: JobRule = {
  id: "flash-after-underbase",
  looksAt: "job",
  level: "warning",
  why: "Colours printed on a wet underbase sink into it, turn pale, and the screens pick up white.",
  source: "Common practice, no source.",
  example: {
    fails: yaml`
      setups:
        dark: { garments: [black], order: [base, ember, black, glint] }
    `,
    passes: yaml`
      setups:
        dark: { garments: [black], order: [base, flash, ember, black, glint] }
    `,
  },
  *check(recipe) {
    for (const [name, setup] of recipe.setups) {
      for (const [i, { name: base, purpose }] of platesIn(recipe, setup)) {
        if (purpose !== "underbase") continue;
        const next = setup.order[i + 1];
        if (next === undefined || next === "flash" || plateOf(recipe, next)?.purpose === "underbase")
          continue;
        const after = next === "cool-down" ? "a cool-down" : next.plate;
        yield {
          path: ["setups", name, "order", i],
          message: `underbase ${base} is still wet when ${after} comes; put a flash behind it`,
          data: { add: { list: ["setups", name, "order"], index: i + 1, text: "flash" } },
        };
      }
    }
  },
};

/** On light garments the colours need nothing under them. */
export const underbaseOnLight: JobRule = {
  id: "underbase-on-light",
  looksAt: "job",
  level: "warning",
  why: "On light garments an underbase costs a screen and a flash, feels heavy, and shows at every edge that is out of register.",
  source: "Common practice, no source.",
  example: {
    fails: yaml`
      garments: { white: { colour: "#f4f3ef" } }
      setups:
        light: { garments: [white], order: [base, flash, black, ember, glint] }
    `,
    passes: yaml`
      garments: { white: { colour: "#f4f3ef" } }
      traps: []
      plates:
        ember: { ink: ember, extract: { hue: [350, 50], fade: 12 } }
        black: { ink: black, purpose: shadow, extract: { lightness: [0, 18], fade: 20 } }
        glint: { ink: white, purpose: highlight, extract: { lightness: [92, 100], fade: 6 } }
      setups:
        light: { garments: [white], order: [black, ember, glint] }
    `,
  },
  *check(recipe) {
    for (const [name, setup] of recipe.setups) {
      if (!allLight(recipe, setup)) continue;
      for (const [i, plate] of platesIn(recipe, setup)) {
        if (plate.purpose !== "underbase") continue;
        const entry = ["setups", name, "order", i];
        yield {
          path: entry,
          message: `this setup's garments are light, so underbase ${plate.name} gains nothing; leave it out of this order`,
          data: { redundant: entry },
        };
      }
    }
  },
};

/** Opacity from which an ink stands on dark garments by itself. Common practice, no source. */
const HIDING = 0.85;

/** On dark garments most inks need a light underbase. */
export const missingUnderbase: JobRule = {
  id: "missing-underbase",
  looksAt: "job",
  level: "warning",
  why: "Inks that do not hide the garment turn dull and dark on a dark garment without an underbase.",
  source: "Common practice, no source.",
  example: {
    fails: yaml`
      traps: []
      plates:
        ember: { ink: ember, extract: { hue: [350, 50], fade: 12 } }
      setups:
        dark: { garments: [black], order: [ember] }
    `,
    passes: yaml`
      garments: { white: { colour: "#f4f3ef" } }
      traps: []
      plates:
        ember: { ink: ember, extract: { hue: [350, 50], fade: 12 } }
      setups:
        light: { garments: [white], order: [ember] }
    `,
  },
  *check(recipe) {
    for (const [name, setup] of recipe.setups) {
      if (!anyDark(recipe, setup) || carries(recipe, setup)) continue;
      const thin = platesIn(recipe, setup).filter(
        ([, plate]) =>
          plate.purpose === "colour" &&
          inkOf(recipe, plate).opacity < HIDING &&
          // Discharge takes the garment's dye, and prints on what is left.
          inkOf(recipe, plate).kind !== "discharge",
      );
      if (thin.length === 0) continue;
      const names = thin.map(([, plate]) => plate.name).join(", ");
      yield {
        path: ["setups", name, "order"],
        message: `the dark garment will show through ${names}; print an underbase first, or use more opaque inks`,
      };
    }
  },
};

/** Whether something light and opaque goes down first. */
function carries(recipe: Recipe, setup: Setup): boolean {
  const light = (plate: Plate) =>
    inkOf(recipe, plate).colour.lab.L >= 70 && inkOf(recipe, plate).opacity >= HIDING;
  const [first] = platesIn(recipe, setup);
  return (
    platesIn(recipe, setup).some(([, plate]) => plate.purpose === "underbase") ||
    (first !== undefined && light(first[1]))
  );
}
