import { placeAt } from "../../language/cursor.ts";
import { type Change, insertKey, replaceScalar, STEP } from "../../language/edit.ts";
import type { Path } from "../../language/finding.ts";
import { flowText } from "../../language/flow-text.ts";
import { fieldsOf } from "../../language/partial-data.ts";
import { propertiesOf, rootSchema } from "../../language/schema.ts";
import { parseColour } from "../../language/values/colour.ts";
import type { Model } from "../model.ts";
import { plainScalar } from "../scalar.ts";
import { inkOf } from "./press-order.ts";

/**
 * For the `near` colour under the cursor: a new ink of that colour, printed by the plate that takes it. The ink is
 * named after the plate and starts with the opacity of the ink that the plate printed so far. Only for plates of
 * purpose colour, and not for what `except` leaves out: there the colour is no ink's.
 */
export function extractInk(model: Model, offset: number): { ink: string; changes: Change[] } | undefined {
  const { source } = model;
  const { path } = placeAt(source, offset);
  const plate = nearOf(path);
  const value = fieldsOf(source.value);
  if (source.kind !== "recipe" || plate === undefined) return undefined;
  const fields = fieldsOf(fieldsOf(value.plates)[plate]);
  const colour = textAt(source.value, path);
  if (colour === undefined || !parseColour(colour).ok) return undefined;
  if (typeof fields.ink !== "string" || (fields.purpose ?? "colour") !== "colour") return undefined;
  const present = inkOf(model, fields.ink);
  if (present?.colour === colour) return undefined;

  const ink = freeName(model, plate);
  const opacity = typeof present?.opacity === "string" ? present.opacity : "70%";
  const entry = flowText({ colour, opacity });
  const point = replaceScalar(source, ["plates", plate, "ink"], plainScalar(ink));
  const order = propertiesOf(rootSchema("recipe")).map(([key]) => key);
  const define =
    Object.keys(fieldsOf(value.inks)).length > 0
      ? insertKey(source, ["inks"], ink, entry)
      : "inks" in value
        ? undefined
        : insertKey(source, [], "inks", `\n${" ".repeat(STEP)}${ink}: ${entry}`, order);
  return point && define ? { ink, changes: [...define, ...point] } : undefined;
}

/** The plate whose extraction holds this `near`. */
function nearOf(path: Path): string | undefined {
  const [section, plate, extract] = path;
  if (section !== "plates" || extract !== "extract" || path.at(-1) !== "near" || path.includes("except"))
    return undefined;
  return String(plate);
}

function freeName(model: Model, name: string): string {
  if (!inkOf(model, name)) return name;
  for (let i = 2; ; i++) {
    if (!inkOf(model, `${name}-${i}`)) return `${name}-${i}`;
  }
}

function textAt(value: unknown, path: Path): string | undefined {
  const found = path.reduce<unknown>(
    (at, step) => (typeof at === "object" && at !== null ? (at as Record<string, unknown>)[step] : undefined),
    value,
  );
  return typeof found === "string" ? found : undefined;
}
