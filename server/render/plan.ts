import { chromaOf } from "../engine/colour/cielab.ts";
import type { Curve, Extraction, SeparationPlan, Strength } from "../engine/plan.ts";
import type * as Formats from "../language/generated/formats.ts";
import type { Plate, Recipe } from "../language/recipe.ts";
import { parseColour } from "../language/values/colour.ts";

/** The part of a recipe that makes plates, in the engine's terms. */
export function separationPlan(recipe: Recipe): SeparationPlan {
  return {
    plates: [...recipe.plates.values()].map((plate) => ({
      name: plate.name,
      extract: extraction(plate.extract),
      strength: strength(plate, recipe),
    })),
    adjustments: recipe.adjustments.map(({ plate, curve, region }) => ({
      plate,
      curve: curve.map(([tone, out]) => [tone / 100, out / 100] as const) satisfies Curve,
      region,
    })),
    merges: recipe.merges,
    knockouts: recipe.knockouts.map(({ from, where, chokeMm }) => ({ from, where, choke: chokeMm })),
    traps: recipe.traps.map(({ plate, way, distanceMm }) => ({ plate, way, distance: distanceMm })),
    smallestDot: recipe.screening.smallestDot,
  };
}

const RANGES = ["lightness", "chroma", "hue", "opacity"] as const;

/** One extraction of a recipe that is free of errors. */
export function extraction(e: Formats.Extraction): Extraction {
  const fade = (key: (typeof RANGES)[number] | "near") =>
    (typeof e.fade === "number" ? e.fade : e.fade?.[key]) ?? 0;
  const parts: Extraction[] = [];
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

function strength({ strength: by, ink }: Plate, recipe: Recipe): Strength {
  if (by !== "chroma") return { by };
  const { a, b } = recipe.inks.get(ink)!.colour.lab;
  return { by, full: chromaOf(a, b) };
}
