import { inkOf, LIGHT_GARMENT, platesIn, trapOf } from "../job.ts";
import type { JobRule } from "../rule.ts";
import { mm } from "../words.ts";
import { yaml } from "../yaml.ts";

/** Polyester's dye rises into ink with heat. */
export const dyeMigration: JobRule = {
  id: "dye-migration",
  looksAt: "job",
  level: "warning",
  why: "Polyester's dye turns to gas at curing heat and tints the print, sometimes days later, in the customer's hands.",
  source:
    "Suppliers' guides to dye blockers, read in excerpts: dye migrates from 260 to 270 °F (127 to 132 °C). Which garments count as dyed (L* under 80) is common practice, no source.",
  example: {
    fails: yaml`
      garments: { black: { colour: "#17171a", fabric: polyester } }
    `,
    passes: yaml`
      garments: { black: { colour: "#17171a", fabric: polyester } }
      inks:
        grey: { colour: "#8a8a8a", opacity: 97%, kind: barrier }
        white: { colour: "#f8f8f4", opacity: 92% }
        ember: { colour: "#d8431f", opacity: 70% }
      traps:
        - { plate: base, choke: 0.2 mm }
      plates:
        blocker: { ink: grey, purpose: underbase, extract: { artwork: opaque } }
        base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
        ember: { ink: ember, extract: { hue: [350, 50], fade: 12 } }
      setups:
        dark: { garments: [black], order: [blocker, flash, base, flash, ember] }
    `,
  },
  *check(recipe) {
    for (const [name, setup] of recipe.setups) {
      const [first] = platesIn(recipe, setup);
      if (!first || inkOf(recipe, first[1]).kind === "barrier") continue;
      for (const garment of setup.garments) {
        const { fabric, colour } = recipe.garments.get(garment)!;
        if ((fabric !== "polyester" && fabric !== "blend") || colour.lab.L >= LIGHT_GARMENT) continue;
        yield {
          path: ["setups", name, "order"],
          part: "key",
          message: `the dye of ${garment} (${fabric}) may rise into the print; print a barrier ink first, flash it, and cure as cool as the data sheets allow`,
        };
      }
    }
  },
};

const onPolyester = (traps: string) => yaml`
  garments: { black: { colour: "#17171a", fabric: polyester } }
  inks:
    white: { colour: "#9a9a9a", opacity: 92%, kind: barrier }
    ember: { colour: "#d8431f", opacity: 70% }
    black: { colour: "#131316", opacity: 97% }
  plates:
    base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
    ember: { ink: ember, extract: { hue: [350, 50], fade: 12 } }
    black: { ink: black, purpose: shadow, extract: { lightness: [0, 18], fade: 20 } }
  traps: ${traps}
  setups:
    dark: { garments: [black], order: [base, flash, ember, black] }
`;

/** A barrier that ends before the print does lets the dye in at the edge. */
export const barrierChoke: JobRule = {
  id: "barrier-choke",
  looksAt: "job",
  level: "warning",
  why: "Where a barrier base is choked, the colours' edges lie on bare polyester and take up its dye.",
  source: "Suppliers' guides to dye blockers, read in excerpts: the blocker is not choked.",
  example: {
    fails: onPolyester("[{ plate: base, choke: 0.2 mm }]"),
    passes: onPolyester("[]"),
  },
  *check(recipe) {
    for (const plate of recipe.plates.values()) {
      const choke = trapOf(recipe, plate.name);
      if (inkOf(recipe, plate).kind !== "barrier" || choke <= 0) continue;
      const index =
        recipe.traps.find((trap) => trap.plate === plate.name && trap.way === "choke")?.index ?? 0;
      yield {
        path: ["traps", index],
        message: `barrier ${plate.name} is drawn in by ${mm(choke)}, so that edges lie on bare garment and take up its dye; leave it as wide as the print`,
      };
    }
  },
};
