import { type Fields, listOf, textsOf } from "../language/partial-data.ts";
import { PRESS_STEPS } from "../language/symbols.ts";
import type { Model } from "./model.ts";

/** What a setup takes up: screens to expose, and stations of the press. A folded plate has no screen. */
export function setupNeeds(model: Model, setup: Fields): { screens: number; stations: number } {
  const folded = new Set(listOf(model.source.value, "merges").map(([, { fold }]) => fold));
  const steps = textsOf(setup.order).map(([, step]) => step);
  // A plate that prints twice needs a screen for each of the two stations.
  const screens = steps.filter((step) => !PRESS_STEPS.includes(step) && !folded.has(step)).length;
  return { screens, stations: steps.length };
}
