import { nearest, suggestion } from "../../language/suggest.ts";
import { keyKindAt, PRESS_STEPS, type SymbolKind } from "../../language/symbols.ts";
import type { RecipeRule } from "../rule.ts";
import { yaml } from "../yaml.ts";

const PLACES: Readonly<Record<SymbolKind, string>> = {
  plate: "plates are",
  ink: "inks are",
  garment: "garments are",
  setup: "setups are",
  mesh: "meshes are",
  print: "prints are",
  size: "sizes are",
};

/** Every name used must be defined: plates, garments and setups in the recipe, inks there or in the shop's ink library, meshes in the shop file. */
export const unknownName: RecipeRule = {
  id: "unknown-name",
  looksAt: "recipe",
  level: "error",
  fixed: true,
  why: "A name that stands for nothing leaves a plate without ink or an order without its plate.",
  source: "Follows from the format.",
  example: {
    fails: yaml`
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
        ember: { ink: embr, extract: { hue: [350, 50] } }
      setups:
        dark: { garments: [black], order: [base, flash, ember] }
    `,
    passes: yaml`
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
        ember: { ink: ember, extract: { hue: [350, 50] } }
      setups:
        dark: { garments: [black], order: [base, flash, ember] }
    `,
  },
  *check({ doc, symbols, shop }) {
    const known = new Map<SymbolKind, Set<string>>();
    for (const { kind, name } of [...symbols.definitions, ...(shop?.symbols.definitions ?? [])]) {
      const names = known.get(kind) ?? new Set();
      known.set(kind, names.add(name));
    }
    // A shop file that is named but could not be read may well hold the ink: only its absence is a finding.
    const shelfUnread = shop === undefined && hasShop(doc.value);
    for (const { kind, name, path } of symbols.references) {
      const names = known.get(kind) ?? new Set();
      if (names.has(name) || ((kind === "ink" || kind === "mesh") && shelfUnread)) continue;
      const choices = path.at(-2) === "order" ? [...names, ...PRESS_STEPS] : [...names];
      const replacement = nearest(name, choices);
      yield {
        path,
        part: keyKindAt(path.slice(0, -1)) ? "key" : "value",
        message: `there is no ${kind} "${name}"${suggestion(name, choices, PLACES[kind], replacement)}`,
        ...(replacement === undefined ? {} : { data: { replacement } }),
      };
    }
  },
};

function hasShop(value: unknown): boolean {
  return typeof value === "object" && value !== null && "shop" in value && value.shop !== undefined;
}
