import type { TrapPlan } from "../../engine/plan.ts";
import type { Plate, Recipe } from "../../language/recipe.ts";

/** Lightness from which an ink counts as white: it is never spread over a colour. */
const WHITE = 90;

/** Plates of colours, lighter ones under darker ones; each may touch any other, which their pixels decide. */
export function neighbourTraps(recipe: Recipe): TrapPlan[] {
  const distance = recipe.neighbours?.distanceMm ?? 0;
  if (distance <= 0) return [];
  return trapPairs(recipe).map(({ plate, under }) => ({
    plate,
    way: "spread",
    distance,
    under,
    solid: true,
  }));
}

/** Each plate that may be spread, with those that it may be spread under, by the lightness of their inks. */
export function trapPairs(recipe: Recipe): { readonly plate: string; readonly under: readonly string[] }[] {
  const folded = new Set(recipe.merges.map(({ fold }) => fold));
  const lightness = ({ ink }: Plate) => recipe.inks.get(ink)!.colour.lab.L;
  const plates = [...recipe.plates.values()].filter(
    ({ name, purpose, extract, given }) =>
      (purpose === "colour" || purpose === "shadow") &&
      !folded.has(name) &&
      extract.index === undefined &&
      !given?.screened,
  );
  const orders = [...recipe.setups.values()].map(({ order }) =>
    order.flatMap((step) => (typeof step === "string" ? [] : [step.plate])),
  );
  /** Whether one prints with the other, and, of a white one, before it. */
  const goesUnder = (plate: Plate, other: Plate) => {
    const both = orders.filter((order) => order.includes(plate.name) && order.includes(other.name));
    const before = both.every((order) => order.indexOf(plate.name) < order.indexOf(other.name));
    return both.length > 0 && (lightness(plate) < WHITE || before);
  };
  return plates.flatMap((plate, i) => {
    const under = plates.filter((other, j) => {
      const darker = lightness(plate) - lightness(other);
      return (darker > 0 || (darker === 0 && i < j)) && goesUnder(plate, other);
    });
    return under.length > 0 ? [{ plate: plate.name, under: under.map(({ name }) => name) }] : [];
  });
}
