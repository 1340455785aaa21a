import { blocksOf, type Fields, fieldsOf, listOf, textsOf } from "../language/partial-data.ts";
import { PRESS_STEPS } from "../language/symbols.ts";
import type { Model } from "./model.ts";

/** How full the press is. */
export interface PressLoad {
  /** Stations of the shop's press, where a shop file says. */
  readonly press?: number;
  /** In the recipe's order; screens to expose, and stations with flashes and cool-downs. */
  readonly setups: readonly { readonly name: string; readonly screens: number; readonly stations: number }[];
}

/** Of every setup of a recipe, half-written as it may be; a shop file has none. */
export function pressLoad(model: Model): PressLoad {
  const { stations } = fieldsOf(fieldsOf(model.shop?.source.value).press);
  const setups = blocksOf(model.source.kind === "recipe" ? model.source.value : undefined, "setups");
  return {
    ...(typeof stations === "number" ? { press: stations } : {}),
    setups: setups.map(([name, setup]) => ({ name, ...setupNeeds(model, setup) })),
  };
}

/** What a setup takes up: screens to expose, and stations of the press. A folded plate has no screen. */
export function setupNeeds(model: Model, setup: Fields): { screens: number; stations: number } {
  const folded = new Set(listOf(model.source.value, "merges").map(([, { fold }]) => fold));
  const steps = textsOf(setup.order).map(([, step]) => step);
  // A plate that prints twice needs a screen for each of the two stations.
  const screens = steps.filter((step) => !PRESS_STEPS.includes(step) && !folded.has(step)).length;
  return { screens, stations: steps.length };
}
