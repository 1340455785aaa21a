import { inkOf, platesIn } from "../job.ts";
import type { JobRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** Discharge takes the dye of cotton alone, and not every dye. */
export const dischargeFabric: JobRule = {
  id: "discharge-fabric",
  looksAt: "job",
  level: "warning",
  why: "A discharge ink on a garment whose dye does not discharge prints a dull stain of its pigment, however it is cured.",
  source:
    "A supplier's guide to discharge (2008), read in excerpts: cotton with reactive dyes. That blends are reported is common practice, no source.",
  example: {
    fails: yaml`
      garments: { black: { colour: "#17171a", fabric: polyester } }
      inks:
        ember: { colour: "#d8431f", opacity: 60%, kind: discharge }
      plates:
        ember: { ink: ember, extract: { artwork: opaque } }
      setups:
        dark: { garments: [black], order: [ember] }
    `,
    passes: yaml`
      garments: { black: { colour: "#17171a", fabric: cotton, discharged: "#d9cfb4" } }
      inks:
        ember: { colour: "#d8431f", opacity: 60%, kind: discharge }
      plates:
        ember: { ink: ember, extract: { artwork: opaque } }
      setups:
        dark: { garments: [black], order: [ember] }
    `,
  },
  *check(recipe) {
    for (const [name, setup] of recipe.setups) {
      const at = platesIn(recipe, setup).find(([, plate]) => inkOf(recipe, plate).kind === "discharge");
      if (!at) continue;
      const [index, plate] = at;
      for (const garment of setup.garments) {
        const { fabric, discharged } = recipe.garments.get(garment)!;
        const path = ["setups", name, "order", index];
        if (fabric === "polyester" || fabric === "blend")
          yield {
            path,
            message: `${plate.name} prints a discharge ink on ${garment}, which is ${fabric === "blend" ? "a blend, and its polyester keeps its dye" : "polyester and keeps its dye"}; print it on cotton, or with another kind of ink on an underbase`,
          };
        else if (!discharged)
          yield {
            path,
            message: `nothing says what colour ${garment} discharges to under ${plate.name}; print a test, and write it as the garment's "discharged"`,
          };
      }
    }
  },
};

/** It must reach the garment. */
export const dischargeOnBase: JobRule = {
  id: "discharge-on-base",
  looksAt: "job",
  level: "warning",
  why: "A discharge ink works on the garment's dye: over another ink it finds none, and its agent spoils the ink below.",
  source: "A supplier's guide to discharge (2008), read in excerpts: no base.",
  example: {
    fails: yaml`
      garments: { black: { colour: "#17171a", discharged: "#d9cfb4" } }
      inks:
        white: { colour: "#f8f8f4", opacity: 92% }
        ember: { colour: "#d8431f", opacity: 60%, kind: discharge }
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
        ember: { ink: ember, extract: { hue: [350, 50], fade: 12 } }
      setups:
        dark: { garments: [black], order: [base, flash, ember] }
    `,
    passes: yaml`
      garments: { black: { colour: "#17171a", discharged: "#d9cfb4" } }
      inks:
        ember: { colour: "#d8431f", opacity: 60%, kind: discharge }
      plates:
        ember: { ink: ember, extract: { hue: [350, 50], fade: 12 } }
      setups:
        dark: { garments: [black], order: [ember] }
    `,
  },
  *check(recipe) {
    for (const [name, setup] of recipe.setups) {
      const plates = platesIn(recipe, setup);
      const base = plates.find(([, plate]) => plate.purpose === "underbase" && !isDischarge(plate.ink));
      for (const [index, plate] of plates) {
        if (!base || base[0] > index || !isDischarge(plate.ink)) continue;
        yield {
          path: ["setups", name, "order", index],
          message: `discharge ink ${plate.ink} cannot reach the garment's dye through ${base[1].name}; take ${base[1].name} out of this order, or print the discharge plate first`,
        };
      }
    }
    function isDischarge(ink: string): boolean {
      return recipe.inks.get(ink)!.kind === "discharge";
    }
  },
};
