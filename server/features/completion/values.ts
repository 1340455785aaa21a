import type { Path } from "../../language/finding.ts";
import { flowText } from "../../language/flow-text.ts";
import { fieldsOf, listOf, textsOf } from "../../language/partial-data.ts";
import type { Schema } from "../../language/schema.ts";
import { nameKindAt, PRESS_STEPS, type SymbolKind, type Symbols } from "../../language/symbols.ts";
import { parseColour } from "../../language/values/colour.ts";
import { UNITS } from "../../language/values/formats.ts";
import { inkOf } from "../code-actions/press-order.ts";
import { hexOf } from "../colours.ts";
import type { Model } from "../model.ts";

/** Something to write as a value. */
export interface ValueCompletion {
  readonly text: string;
  readonly detail: string;
  readonly kind: "name" | "choice" | "step" | "colour" | "example";
  /** The colour to show beside it. */
  readonly hex?: string;
}

/** What fits at a place, best first. `word` is what stands there already. */
export function valueCompletions(
  model: Model,
  path: Path,
  schema: Schema | undefined,
  word: string,
  beside: readonly string[],
): readonly ValueCompletion[] {
  const names = nameKindAt(path);
  if (names) return nameOffers(model, names, path, beside);
  if (!schema) return [];
  if (schema.const !== undefined)
    return [{ text: String(schema.const), detail: "the only version there is", kind: "choice" }];
  if (schema.enum) {
    const blocks = (schema.examples ?? []).filter((example) => typeof example === "object");
    return [
      ...schema.enum.map((choice): ValueCompletion => ({ text: String(choice), detail: "", kind: "choice" })),
      ...blocks.map(
        (example): ValueCompletion => ({ text: flowText(example), detail: "example", kind: "example" }),
      ),
    ];
  }
  if (schema.format === "colour") return colourOffers(model, schema);
  const units = unitOffers(schema.format, word);
  if (units.length > 0) return units;
  if (path.at(-1) === "hue") return HUES;
  return (schema.examples ?? []).map((example) => ({
    text: flowText(example),
    detail: "example",
    kind: "example",
  }));
}

/** All names of a kind, the recipe's own first, then the shop's. */
export function namesOf(model: Model, kind: SymbolKind): string[] {
  const shelf = model.shop ? definedIn(model.shop.symbols, kind) : [];
  // An order prints on what its recipes have.
  if (model.source.kind === "order" && kind === "garment")
    return [...new Set(model.recipes.flatMap(({ symbols }) => definedIn(symbols, kind)))];
  return [...new Set([...definedIn(model.symbols, kind), ...shelf])];
}

/** The same without plates that are printed with another's screen. */
export function unfoldedOf(model: Model, kind: SymbolKind): string[] {
  const merges = kind === "plate" ? listOf(model.source.value, "merges") : [];
  const folded = new Set(merges.map(([, { fold }]) => fold));
  return namesOf(model, kind).filter((name) => !folded.has(name));
}

function definedIn({ definitions }: Symbols, kind: SymbolKind): string[] {
  return definitions.filter((d) => d.kind === kind).map((d) => d.name);
}

function nameOffers(
  model: Model,
  kind: SymbolKind,
  path: Path,
  beside: readonly string[],
): readonly ValueCompletion[] {
  const own = definedIn(model.symbols, kind);
  const inList = ["order", "garments", "prints"].includes(String(path.at(-2)));
  // Entries that stand in the list already, written in brackets or on lines of their own.
  const taken = new Set(inList ? [...beside, ...othersIn(model.source.value, path)] : []);
  const offers: ValueCompletion[] = (path[0] === "adjust" ? namesOf(model, kind) : unfoldedOf(model, kind))
    .filter((name) => !taken.has(name))
    .map((name) => {
      const colour = kind === "ink" || kind === "garment" ? hexOfName(model, kind, name) : undefined;
      const elsewhere = model.source.kind === "order" ? `${kind} of its recipes` : `${kind}, shop's shelf`;
      return {
        text: name,
        detail: own.includes(name) ? kind : elsewhere,
        kind: colour === undefined ? "name" : "colour",
        ...(colour === undefined ? {} : { hex: colour }),
      };
    });
  if (path.at(-2) !== "order") return offers;
  return [
    ...offers,
    ...PRESS_STEPS.map((text): ValueCompletion => ({ text, detail: "step of the press", kind: "step" })),
  ];
}

/** The colour of an ink or a garment, as hex. */
function hexOfName(model: Model, kind: "ink" | "garment", name: string): string | undefined {
  const fields =
    kind === "ink" ? inkOf(model, name) : fieldsOf(fieldsOf(fieldsOf(model.source.value).garments)[name]);
  const colour = typeof fields?.colour === "string" ? parseColour(fields.colour) : undefined;
  return colour?.ok ? hexOf(colour.value) : undefined;
}

function othersIn(value: unknown, path: Path): string[] {
  const list = path.slice(0, -1).reduce<unknown>((at, key) => fieldsOf(at)[key as string], value);
  return textsOf(list)
    .filter(([index]) => index !== path.at(-1))
    .map(([, text]) => text);
}

function colourOffers(model: Model, schema: Schema): ValueCompletion[] {
  const used = new Map<string, string>();
  for (const doc of model.shop ? [model, model.shop] : [model]) {
    for (const [name, ink] of Object.entries(fieldsOf(fieldsOf(doc.source.value).inks))) {
      const { colour } = fieldsOf(ink);
      if (typeof colour === "string" && !used.has(colour)) used.set(colour, name);
    }
  }
  const examples = (schema.examples ?? []).map(
    (e): ValueCompletion => ({ text: flowText(e), detail: "example", kind: "colour" }),
  );
  const inks = [...used].map(
    ([colour, name]): ValueCompletion => ({
      text: flowText(colour),
      detail: `colour of ink ${name}`,
      kind: "colour",
    }),
  );
  return [...examples, ...inks];
}

/** Units for a number that is there already. */
function unitOffers(format: string | undefined, word: string): ValueCompletion[] {
  const number = /^[+-]?(?:\d+\.?\d*|\.\d+)/.exec(word)?.[0];
  const units = UNITS[format ?? ""];
  if (number === undefined || !units) return [];
  return units.map((unit) => ({ text: number + unit, detail: "", kind: "choice" }));
}

/** Thirds of the hue circle's names, at the hues of the sRGB primaries and secondaries under D50, 50° wide. */
const HUES: readonly ValueCompletion[] = [
  ["reds", 15, 65],
  ["yellows", 75, 125],
  ["greens", 111, 161],
  ["cyans", 171, 221],
  ["blues", 276, 326],
  ["magentas", 302, 352],
].map(([name, from, to]) => ({ text: `[${from}, ${to}]`, detail: String(name), kind: "example" }));
