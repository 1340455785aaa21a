import type { Curve } from "../../engine/adjust/curve.ts";
import { chromaOf } from "../../engine/colour/cielab.ts";
import type { Extraction, PlatePlan, Strength } from "../../engine/plan.ts";
import { printedTone } from "../../engine/print/gain.ts";
import type * as Formats from "../../language/generated/formats.ts";
import { gainOf } from "../../language/readings/gain.ts";
import type { Adjustment, GivenPlate, Plate, Recipe } from "../../language/recipe.ts";
import { parseColour } from "../../language/values/colour.ts";
import { indexedPlates } from "./index-plan.ts";

/** What a plate is extracted by. */
export function platePlan(plate: Plate, recipe: Recipe): PlatePlan {
  return {
    name: plate.name,
    extract: plate.given ? givenExtraction(plate, plate.given, recipe) : extraction(plate.extract),
    strength: strength(plate, recipe),
  };
}

/** Tone in and out as shares. */
export function curvePlan(curve: Adjustment["curve"]): Curve {
  return curve.map(([tone, out]) => [tone / 100, out / 100] as const);
}

const RANGES = ["lightness", "chroma", "hue", "opacity"] as const;

/** A plate from a file. A film's tones become those that it prints, as far as its film would be compensated. */
function givenExtraction(plate: Plate, { screened }: GivenPlate, recipe: Recipe): Extraction {
  const { compensate, gain } = plate.screening;
  const table = gainOf(recipe.inks.get(plate.ink)!.gain ?? gain);
  const printed = table && screened && compensate ? printedTone(table) : undefined;
  return {
    by: "given",
    film: screened,
    tones: printed && Array.from({ length: 256 }, (_, tone) => Math.round(255 * printed(tone / 255))),
  };
}

/** One extraction of a recipe that is free of errors. */
export function extraction(e: Formats.Extraction): Extraction {
  const fade = (key: (typeof RANGES)[number] | "near") =>
    (typeof e.fade === "number" ? e.fade : e.fade?.[key]) ?? 0;
  const parts: Extraction[] = [];
  if (e.plate !== undefined) return { by: "given", tones: undefined, film: e.screened ?? false };
  // A solved plate may print wherever the rest lets it.
  if ((e.solve || e.index) && Object.keys(e).length === 1) return { by: "artwork" };
  if (e.artwork) parts.push({ by: "artwork" });
  for (const by of RANGES) {
    const range = e[by];
    if (range) parts.push({ by, from: range[0], to: range[1], fade: fade(by) });
  }
  if (e.near !== undefined) {
    const colour = parseColour(e.near);
    if (!colour.ok) throw new Error(colour.problem);
    parts.push({ by: "near", colour: colour.value.lab, within: e.within ?? 0, fade: fade("near") });
  }
  if (e.all) parts.push({ by: "all", of: e.all.map(extraction) });
  if (e.any) parts.push({ by: "any", of: e.any.map(extraction) });
  if (e.except) parts.push({ by: "except", of: extraction(e.except) });
  return parts.length === 1 ? parts[0]! : { by: "all", of: parts };
}

export function strength({ name, strength: by, ink, extract }: Plate, recipe: Recipe): Strength {
  if (extract.solve) return { by: "solve" };
  if (extract.index)
    return { by: "index", colour: indexedPlates(recipe).findIndex((plate) => plate.name === name) + 1 };
  if (typeof by === "object")
    return {
      by: "curves",
      lightness: by.lightness && strengthCurve(by.lightness),
      chroma: by.chroma && strengthCurve(by.chroma),
    };
  if (by !== "chroma") return { by };
  const { a, b } = recipe.inks.get(ink)!.colour.lab;
  return { by, full: chromaOf(a, b) };
}

/** L* or C*ab stays as it is; percent becomes tone 0–1. */
function strengthCurve(pairs: Formats.StrengthCurve): Curve {
  return pairs.map(([at, tone]) => [at!, tone! / 100] as const);
}
