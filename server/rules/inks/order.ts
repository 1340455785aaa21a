import type { InkKind } from "../../language/inks.ts";
import type { Plate, Recipe } from "../../language/recipe.ts";
import { listed } from "../../language/words.ts";
import { inkOf, plateOf, platesIn } from "../job.ts";
import type { JobRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

const RAISED: readonly InkKind[] = ["puff", "high-density"];
const WATER: readonly InkKind[] = ["water-based", "discharge"];

function isOf(recipe: Recipe, plate: Plate, kinds: readonly InkKind[]): boolean {
  const { kind } = inkOf(recipe, plate);
  return kind !== undefined && kinds.includes(kind);
}

/** What stands up from the garment goes down last. */
export const raisedLast: JobRule = {
  id: "raised-last",
  looksAt: "job",
  level: "warning",
  why: "A raised print holds the next screens off the garment, and they press it flat.",
  source:
    "Trade press, “Puff the magic ink”, read in excerpts: last, or flashed. For high density the same is common practice, no source.",
  example: {
    fails: yaml`
      inks:
        white: { colour: "#f8f8f4", opacity: 92% }
        ember: { colour: "#d8431f", opacity: 70%, kind: puff }
        black: { colour: "#131316", opacity: 97% }
    `,
    passes: yaml`
      inks:
        white: { colour: "#f8f8f4", opacity: 92% }
        ember: { colour: "#d8431f", opacity: 70%, kind: puff }
        black: { colour: "#131316", opacity: 97% }
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
        black: { ink: black, purpose: shadow, extract: { lightness: [0, 18], fade: 20 } }
        ember: { ink: ember, extract: { hue: [350, 50], fade: 12 } }
      setups:
        dark: { garments: [black], order: [base, flash, black, ember] }
    `,
  },
  *check(recipe) {
    for (const [name, setup] of recipe.setups) {
      const plates = platesIn(recipe, setup);
      for (const [i, plate] of plates) {
        if (!isOf(recipe, plate, RAISED)) continue;
        const later = plates.filter(([at, other]) => at > i && !isOf(recipe, other, RAISED));
        if (later.length === 0) continue;
        yield {
          path: ["setups", name, "order", i],
          message: `${plate.name} prints a raised ink, and ${listed(later.map(([, other]) => other.name))} will press it flat; put it last`,
        };
      }
    }
  },
};

/** Opacity from which a water-based ink is of the kind with many solids. */
const MANY_SOLIDS = 0.6;

/** Opaque water-based inks do not go upon one another wet. */
export const wetWaterBased: JobRule = {
  id: "wet-water-based",
  looksAt: "job",
  level: "warning",
  why: "Wet water-based ink sticks to the next screen and dries in its mesh; plastisol over it traps its water and blisters in the dryer.",
  source:
    "Trade press, “Optimize your flash curing”, read in excerpts: acrylics of many solids are flashed after every colour. Which opacity means them (60 %), and plastisol over wet water-based ink, are common practice, no source.",
  example: {
    fails: yaml`
      inks:
        white: { colour: "#f8f8f4", opacity: 92% }
        ember: { colour: "#d8431f", opacity: 70%, kind: water-based }
        black: { colour: "#131316", opacity: 97%, kind: plastisol }
    `,
    passes: yaml`
      inks:
        white: { colour: "#f8f8f4", opacity: 92% }
        ember: { colour: "#d8431f", opacity: 70%, kind: water-based }
        black: { colour: "#131316", opacity: 97%, kind: plastisol }
      setups:
        dark: { garments: [black], order: [base, flash, cool-down, ember, flash, black, glint] }
    `,
  },
  *check(recipe) {
    for (const [name, { order }] of recipe.setups) {
      let wet: Plate | undefined;
      for (const [i, step] of order.entries()) {
        const plate = plateOf(recipe, step);
        if (step === "flash") wet = undefined;
        if (!plate) continue;
        if (wet && isOf(recipe, wet, WATER)) {
          const solids = isOf(recipe, plate, WATER) && inkOf(recipe, wet).opacity >= MANY_SOLIDS;
          const oily = inkOf(recipe, plate).kind === "plastisol";
          if (solids || oily)
            yield {
              path: ["setups", name, "order", i],
              message: `${plate.name} prints on ${wet.name} while that is wet, and its water-based ink ${oily ? "blisters under plastisol" : "lifts off and dries in this screen"}; flash before it`,
              data: { add: { list: ["setups", name, "order"], index: i, text: "flash" } },
            };
        }
        wet = plate;
      }
    }
  },
};

/** A hot garment dries ink in the next screen. */
export const coolDown: JobRule = {
  id: "cool-down",
  looksAt: "job",
  level: "note",
  why: "A garment still hot from the flash dries water-based ink in the next screen, makes puff rise in it, and gels plastisol.",
  source:
    "Trade press, “Figuring out flash curing parameters”, read in excerpts: a station to cool down after a flash. That it is asked for before sensitive inks alone is common practice, no source.",
  example: {
    fails: yaml`
      inks:
        white: { colour: "#f8f8f4", opacity: 92% }
        ember: { colour: "#d8431f", opacity: 70%, kind: water-based }
        black: { colour: "#131316", opacity: 97% }
    `,
    passes: yaml`
      inks:
        white: { colour: "#f8f8f4", opacity: 92% }
        ember: { colour: "#d8431f", opacity: 70%, kind: water-based }
        black: { colour: "#131316", opacity: 97% }
      setups:
        dark: { garments: [black], order: [base, flash, cool-down, ember, black, glint] }
    `,
  },
  *check(recipe) {
    for (const [name, { order }] of recipe.setups)
      for (const [i, step] of order.entries()) {
        const plate = plateOf(recipe, step);
        if (!plate || order[i - 1] !== "flash" || !isOf(recipe, plate, [...WATER, ...RAISED])) continue;
        yield {
          path: ["setups", name, "order", i],
          message: `${plate.name} (${inkOf(recipe, plate).kind} ink) comes right after a flash, and the hot garment dries or raises its ink in the screen; put a cool-down before it`,
          data: { add: { list: ["setups", name, "order"], index: i, text: "cool-down" } },
        };
      }
  },
};
