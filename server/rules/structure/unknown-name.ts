import { nearest, suggestion } from "../../language/suggest.ts";
import { PRESS_STEPS, type SymbolKind } from "../../language/symbols.ts";
import type { Rule } from "../rule.ts";

const PLACES: Readonly<Record<SymbolKind, string>> = {
  plate: "plates are",
  ink: "inks are",
  garment: "garments are",
  setup: "setups are",
};

/** Every name used must be defined: plates, garments and setups in the recipe, inks there or on the shop's shelf. */
export const unknownName: Rule = {
  id: "unknown-name",
  level: "error",
  why: "A name that stands for nothing leaves a plate without ink or an order without its plate.",
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
      if (names.has(name) || (kind === "ink" && shelfUnread)) continue;
      const choices = path.at(-2) === "order" ? [...names, ...PRESS_STEPS] : [...names];
      const replacement = nearest(name, choices);
      yield {
        path,
        message: `there is no ${kind} "${name}"${suggestion(name, choices, PLACES[kind])}`,
        ...(replacement === undefined ? {} : { data: { replacement } }),
      };
    }
  },
};

function hasShop(value: unknown): boolean {
  return typeof value === "object" && value !== null && "shop" in value && value.shop !== undefined;
}
