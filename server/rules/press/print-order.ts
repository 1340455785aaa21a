import type { Recipe } from "../../language/recipe.ts";
import { listed } from "../../language/words.ts";
import { allLight, platesIn } from "../job.ts";
import type { JobRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

/** The highlight sits on top of all that it brightens. */
export const highlightLast: JobRule = {
  id: "highlight-last",
  looksAt: "job",
  level: "warning",
  why: "A highlight that colours print over is tinted by them and loses its sparkle.",
  source: "Common practice, no source.",
  example: {
    fails: yaml`
      setups:
        dark: { garments: [black], order: [base, flash, glint, ember, black] }
    `,
    passes: yaml`
      setups:
        dark: { garments: [black], order: [base, flash, ember, black, glint] }
    `,
  },
  *check(recipe) {
    for (const [name, setup] of recipe.setups) {
      const plates = platesIn(recipe, setup);
      for (const [i, plate] of plates) {
        if (plate.purpose !== "highlight") continue;
        const later = plates.filter(([at, other]) => at > i && other.purpose !== "highlight");
        if (later.length === 0) continue;
        const names = listed(later.map(([, other]) => other.name));
        yield {
          path: ["setups", name, "order", i],
          message: `highlight ${plate.name} will be covered by ${names}; put it last`,
        };
      }
    }
  },
};

/** Two practices stand side by side: the shop says which it keeps. */
const onLight = (order: string) => yaml`
  garments: { white: { colour: "#f4f3ef" } }
  traps: []
  plates:
    ember: { ink: ember, extract: { hue: [350, 50], fade: 12 } }
    black: { ink: black, purpose: shadow, extract: { lightness: [0, 18], fade: 20 } }
  inks:
    ember: { colour: "#d8431f", opacity: 70% }
    black: { colour: "#131316", opacity: 97% }
  setups:
    light: { garments: [white], order: ${order} }
`;
const lastInShop = "press: { stations: 10, dark-plate: last }\n";

/** On light garments with nothing under the colours the dark plate goes first, unless the shop prints it last. */
export const darkPlateLate: JobRule = {
  id: "dark-plate-late",
  looksAt: "job",
  level: "note",
  why: "On light garments without an underbase, colours blend softly into a dark plate that printed first; over wet colours it smears into them, and its screen carries dark ink to the next garment.",
  source: "Common practice, no source; shops that print light to dark say `press: { dark-plate: last }`.",
  example: { fails: onLight("[ember, black]"), passes: onLight("[black, ember]") },
  *check(recipe) {
    if (recipe.press?.darkPlate === "last") return;
    for (const { name, colour, dark } of lightSetups(recipe)) {
      if (dark[0] < colour[0]) continue;
      yield {
        path: ["setups", name, "order", dark[0]],
        message: `${dark[1].name} prints cleaner before the colours, with nothing under them; put it first on light garments`,
      };
    }
  },
};

/** In a shop that prints light to dark, the dark plate goes last. */
export const darkPlateEarly: JobRule = {
  id: "dark-plate-early",
  looksAt: "job",
  level: "note",
  why: "Printed light to dark, each screen picks up only lighter ink than its own; a dark plate that prints early tints those behind it.",
  source:
    "Published practice (graphics-pro.com, 3 keys before wet-on-wet printing): light to dark. It applies where the shop says `press: { dark-plate: last }`.",
  example: {
    fails: lastInShop + onLight("[black, ember]"),
    passes: lastInShop + onLight("[ember, black]"),
  },
  *check(recipe) {
    if (recipe.press?.darkPlate !== "last") return;
    for (const { name, lastColour, dark } of lightSetups(recipe)) {
      if (dark[0] > lastColour[0]) continue;
      yield {
        path: ["setups", name, "order", dark[0]],
        message: `${dark[1].name} prints before ${lastColour[1].name}, and this shop prints light to dark; put it behind the colours`,
      };
    }
  },
};

/** Setups of light garments with nothing under the colours: their first and last colour and their first dark plate. */
function lightSetups(recipe: Recipe) {
  return [...recipe.setups].flatMap(([name, setup]) => {
    const plates = platesIn(recipe, setup);
    if (!allLight(recipe, setup) || plates.some(([, { purpose }]) => purpose === "underbase")) return [];
    const colour = plates.find(([, { purpose }]) => purpose === "colour");
    const lastColour = plates.findLast(([, { purpose }]) => purpose === "colour");
    const dark = plates.find(([, { purpose }]) => purpose === "shadow");
    return colour && lastColour && dark ? [{ name, colour, lastColour, dark }] : [];
  });
}
