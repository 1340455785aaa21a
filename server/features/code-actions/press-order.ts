import { blocksOf, type Fields, fieldsOf, listOf, textsOf } from "../../language/partial-data.ts";
import { PRESS_STEPS } from "../../language/symbols.ts";
import { parseColour } from "../../language/values/colour.ts";
import type { Model } from "../model.ts";

/** What decides a plate's place in an order. */
interface Printed {
  readonly purpose: string;
  /** Of its ink, as printed solid over white. */
  readonly lightness: number;
}

/**
 * The order in which a press usually prints these steps, as indexes into them; undefined where a plate or its ink
 * is not known. Common practice, no source. With an underbase: the underbase first, colours light to dark, shadow
 * plates, highlights. Without: shadow plates first, as the darks carry the drawing, then colours dark to light,
 * highlights. A flash or a cool-down stays behind the plate that it followed.
 */
export function pressOrder(model: Model, steps: readonly string[]): number[] | undefined {
  const groups: { readonly rank: number; readonly lightness: number; readonly indexes: number[] }[] = [];
  const leading: number[] = [];
  const names = steps.filter((step) => !PRESS_STEPS.includes(step));
  const onBase = names.some((name) => purposeOf(model, name) === "underbase");
  for (const [i, step] of steps.entries()) {
    if (PRESS_STEPS.includes(step)) {
      (groups.at(-1)?.indexes ?? leading).push(i);
      continue;
    }
    const plate = printed(model, step);
    if (!plate) return undefined;
    const ranks = onBase ? ON_BASE : ON_GARMENT;
    const rank = ranks.indexOf(plate.purpose);
    const lightness = plate.purpose !== "colour" ? 0 : onBase ? -plate.lightness : plate.lightness;
    groups.push({ rank, lightness, indexes: [i] });
  }
  groups.sort((a, b) => a.rank - b.rank || a.lightness - b.lightness);
  return [...leading, ...groups.flatMap(({ indexes }) => indexes)];
}

const ON_BASE: readonly string[] = ["underbase", "colour", "shadow", "highlight"];
const ON_GARMENT: readonly string[] = ["shadow", "colour", "highlight"];

/** Where one more plate goes in an order that is otherwise left as it is. */
export function insertionIndex(model: Model, plate: string, steps: readonly string[]): number {
  const purpose = purposeOf(model, plate);
  if (purpose === "underbase") return 0;
  const highlight = steps.findIndex((step) => purposeOf(model, step) === "highlight");
  if (purpose === "highlight" || highlight < 0) return steps.length;
  // A flash in front of the highlight is the highlight's, but one behind the underbase is the underbase's.
  const before = steps.slice(0, highlight).findLastIndex((step) => !PRESS_STEPS.includes(step));
  return before >= 0 && purposeOf(model, steps[before]!) !== "underbase" ? before + 1 : highlight;
}

/** An order to start with: every plate that has a screen, and a flash behind each underbase. */
export function defaultOrder(model: Model): string[] {
  const folded = new Set(listOf(model.source.value, "merges").map(([, { fold }]) => fold));
  const names = blocksOf(model.source.value, "plates")
    .map(([name]) => name)
    .filter((name) => !folded.has(name));
  const order = pressOrder(model, names) ?? names.keys();
  return [...order].flatMap((i) =>
    purposeOf(model, names[i]!) === "underbase" ? [names[i]!, "flash"] : [names[i]!],
  );
}

/** The order of a setup, where all of it is text. */
export function stepsOf(setup: Fields): string[] | undefined {
  const texts = textsOf(setup.order).map(([, text]) => text);
  return Array.isArray(setup.order) && texts.length === setup.order.length ? texts : undefined;
}

function purposeOf(model: Model, name: string): unknown {
  return plateOf(model, name)?.purpose ?? "colour";
}

function plateOf(model: Model, name: string): Fields | undefined {
  return blocksOf(model.source.value, "plates").find(([plate]) => plate === name)?.[1];
}

function printed(model: Model, name: string): Printed | undefined {
  const plate = plateOf(model, name);
  const purpose = plate?.purpose ?? "colour";
  const ink = typeof plate?.ink === "string" ? inkOf(model, plate.ink) : undefined;
  const colour = typeof ink?.colour === "string" ? parseColour(ink.colour) : undefined;
  return typeof purpose === "string" && ON_BASE.includes(purpose) && colour?.ok
    ? { purpose, lightness: colour.value.lab.L }
    : undefined;
}

/** An ink of the recipe, or else of the shop's ink library. */
export function inkOf(model: Model, name: string): Fields | undefined {
  for (const doc of [model, model.shop]) {
    const inks = fieldsOf(fieldsOf(doc?.source.value).inks);
    if (Object.hasOwn(inks, name)) return fieldsOf(inks[name]);
  }
  return undefined;
}
