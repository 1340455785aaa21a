import { type Change, insertEntry, insertKey } from "../../language/edit.ts";
import { flowText } from "../../language/flow-text.ts";
import { blocksOf, fieldsOf } from "../../language/partial-data.ts";
import type { Model } from "../model.ts";
import { plainScalar } from "../scalar.ts";
import { insertionIndex, stepsOf } from "./press-order.ts";

/** How much around a picked colour belongs to it, in ΔE00: what most flat parts of an artwork vary by. */
const WITHIN = 8;
const FADE = 6;

/** What takes a colour of the artwork, as hex. */
export function nearOf(near: string) {
  return { near, within: WITHIN, fade: FADE };
}

/**
 * A plate in this ink for a colour of the artwork, named after the ink and printed in every setup. Undefined where an anchor
 * or an alias stands in the plates' place.
 */
export function newPlate(
  model: Model,
  ink: string,
  colour: string,
): { readonly name: string; readonly changes: readonly Change[] } | undefined {
  const { source } = model;
  const plates = fieldsOf(fieldsOf(source.value).plates);
  let name = ink;
  for (let i = 2; Object.hasOwn(plates, name); i++) name = `${ink}-${i}`;
  const entry = `{ ink: ${plainScalar(ink)}, extract: ${flowText(nearOf(colour))} }`;
  const define = insertKey(source, ["plates"], plainScalar(name), entry);
  if (!define) return undefined;
  const orders = blocksOf(source.value, "setups").flatMap(([setup, fields]) => {
    const steps = stepsOf(fields);
    const at = steps && insertionIndex(model, name, steps);
    return at === undefined
      ? []
      : (insertEntry(source, ["setups", setup, "order"], at, plainScalar(name)) ?? []);
  });
  return { name, changes: [...define, ...orders] };
}
