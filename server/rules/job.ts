import type { Ink } from "../language/inks.ts";
import type { Garment, Plate, Recipe, Setup, Step } from "../language/recipe.ts";
import type { Print, PrintPlate } from "../render/print.ts";

/** What rules ask of a job again and again. */

/** Common practice, no source: a garment darker than this L* needs an underbase, one lighter than that does not. */
export const DARK_GARMENT = 50;
export const LIGHT_GARMENT = 80;
/** L* up to which a garment is as dark as a shadow of the artwork: navy, black, not brick. */
export const SHADOW_GARMENT = 28;

export function garmentsOf(recipe: Recipe, setup: Setup): Garment[] {
  return setup.garments.map((name) => recipe.garments.get(name)!);
}

export function anyDark(recipe: Recipe, setup: Setup): boolean {
  return garmentsOf(recipe, setup).some(({ colour }) => colour.lab.L < DARK_GARMENT);
}

export function allLight(recipe: Recipe, setup: Setup): boolean {
  return garmentsOf(recipe, setup).every(({ colour }) => colour.lab.L >= LIGHT_GARMENT);
}

/** The plate of a step; undefined for flashes and cool-downs. */
export function plateOf(recipe: Recipe, step: Step): Plate | undefined {
  return typeof step === "string" ? undefined : recipe.plates.get(step.plate);
}

/** The setup's plates with their places in its order, from 0. */
export function platesIn(recipe: Recipe, setup: Setup): [index: number, plate: Plate][] {
  return setup.order.flatMap((step, i): [number, Plate][] => {
    const plate = plateOf(recipe, step);
    return plate ? [[i, plate]] : [];
  });
}

/** Plates that some setup prints, in the recipe's order. */
export function printedPlates(recipe: Recipe): Plate[] {
  const printed = new Set(
    [...recipe.setups.values()].flatMap((setup) => platesIn(recipe, setup).map(([, { name }]) => name)),
  );
  return [...recipe.plates.values()].filter(({ name }) => printed.has(name));
}

/** Whether a plate has no halftones but at soft edges, as far as the recipe tells: full tone, no fade, no curve. */
export function printsSolid(recipe: Recipe, { name, strength, extract }: Plate): boolean {
  const isSoft = recipe.artwork.flat === undefined && hasKey(extract, "fade");
  const isMixed = hasKey(extract, "solve") || hasKey(extract, "index");
  return (
    strength === "flat" && !isSoft && !isMixed && recipe.adjustments.every(({ plate }) => plate !== name)
  );
}

function hasKey(value: unknown, key: string): boolean {
  if (typeof value !== "object" || value === null) return false;
  return Object.hasOwn(value, key) || Object.values(value).some((inner) => hasKey(inner, key));
}

export function inkOf(recipe: Recipe, plate: Plate): Ink {
  return recipe.inks.get(plate.ink)!;
}

/** L* up to which an ink is dark. */
export const DARK_INK = 25;

/** Plates of a print whose ink is dark. */
export function darkPlates({ recipe, plates }: Print): PrintPlate[] {
  return [...plates.values()].filter(
    ({ name }) => inkOf(recipe, recipe.plates.get(name)!).colour.lab.L <= DARK_INK,
  );
}

/** How much further than its edge a plate is drawn in (above 0) or pushed out (below 0), in mm. */
export function trapOf(recipe: Recipe, plate: string): number {
  const trap = recipe.traps.find((entry) => entry.plate === plate && entry.under === undefined);
  return trap ? (trap.way === "choke" ? trap.distanceMm : -trap.distanceMm) : 0;
}

/** Distances that differ by less are the same: a nanometre of rounding. */
export const SAME_MM = 1e-6;
