import { blocksOf, fieldsOf } from "../language/partial-data.ts";
import type { Model } from "./model.ts";
import { setupNeeds } from "./setup-needs.ts";

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
