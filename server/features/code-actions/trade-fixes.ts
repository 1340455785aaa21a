import { type Change, insertEntry, insertKey, removeAt, replaceScalar, STEP } from "../../language/edit.ts";
import type { FixData, Path } from "../../language/finding.ts";
import { fieldsOf, textsOf } from "../../language/partial-data.ts";
import { propertiesOf, rootSchema, schemaAt } from "../../language/schema.ts";
import type { Model } from "../model.ts";
import { plainScalar } from "../scalar.ts";
import type { Fix } from "./fix.ts";
import { newPlate } from "./new-plate.ts";

/** An entry that the rule knows how to write: a flash in an order, a knockout, a trap. */
export function addEntryFixes(model: Model, { list, index, text }: NonNullable<FixData["add"]>): Fix[] {
  const { source } = model;
  const entries = entriesAt(source.value, list);
  const changes =
    entries.length > 0
      ? insertEntry(source, list, index ?? entries.length, text)
      : list.length === 1
        ? addList(model, String(list[0]), text)
        : undefined;
  const after = index === undefined ? undefined : entries[index - 1];
  const title =
    text === "flash"
      ? `put a flash ${typeof after === "string" ? `after ${after}` : "first"}`
      : `add to ${list[0]}: ${text}`;
  return changes ? [{ title, changes, sure: false }] : [];
}

/** A plate folded into another: out of every order, into the merges. */
export function foldPlateFixes(model: Model, { plate, into }: NonNullable<FixData["fold"]>): Fix[] {
  const { source } = model;
  const changes: Change[] = [];
  for (const [setup, fields] of Object.entries(fieldsOf(fieldsOf(source.value).setups))) {
    for (const [i, step] of textsOf(fieldsOf(fields).order)) {
      if (step !== plate) continue;
      const removed = removeAt(source, ["setups", setup, "order", i]);
      if (!removed) return [];
      changes.push(...removed);
    }
  }
  const entry = `{ fold: ${plainScalar(plate)}, into: ${plainScalar(into)} }`;
  const merges = entriesAt(source.value, ["merges"]);
  const added =
    merges.length > 0
      ? insertEntry(source, ["merges"], merges.length, entry)
      : addList(model, "merges", entry);
  return added ? [{ title: `fold ${plate} into ${into}`, changes: [...changes, ...added], sure: false }] : [];
}

/** Another screen angle for plates: for all that follow the recipe's own in its screening, else in each one's own. */
export function turning({ source }: Model, { plates, angle }: NonNullable<FixData["angle"]>): Fix[] {
  const all = fieldsOf(fieldsOf(source.value).plates);
  const hasOwn = (plate: string) =>
    Object.hasOwn(fieldsOf(fieldsOf(fieldsOf(all)[plate]).screening), "angle");
  const following = Object.keys(all).filter((plate) => !hasOwn(plate));
  const whole = plates.length > 1 && following.every((plate) => plates.includes(plate));
  const blocks: Path[] = [
    ...(whole ? [[] as Path] : []),
    ...plates.filter((plate) => !whole || hasOwn(plate)).map((plate): Path => ["plates", plate]),
  ];
  const changes = blocks.map((path) => turned(source, path, angle));
  const what = plates.length === 1 ? plates[0] : `${plates.length} plates`;
  return changes.every((change) => change !== undefined)
    ? [{ title: `turn ${what} to ${angle}°`, changes: changes.flat(), sure: false }]
    : [];
}

/** The angle in a block's screening, or as that. */
function turned(source: Model["source"], path: Path, angle: number): readonly Change[] | undefined {
  const own = fieldsOf(path.reduce<unknown>((inner, step) => fieldsOf(inner)[step], source.value));
  const keys = (at: Path) => propertiesOf(schemaAt(source.kind, at) ?? {}).map(([key]) => key);
  if (Object.hasOwn(fieldsOf(own.screening), "angle"))
    return replaceScalar(source, [...path, "screening", "angle"], String(angle));
  return Object.hasOwn(own, "screening")
    ? insertKey(source, [...path, "screening"], "angle", String(angle), keys([...path, "screening"]))
    : insertKey(source, path, "screening", `{ angle: ${angle} }`, keys(path));
}

/** A plate for a colour that none prints yet. */
export function addingPlate(model: Model, { ink, colour }: NonNullable<FixData["plate"]>): Fix[] {
  const made = newPlate(model, ink, colour);
  return made ? [{ title: `add plate ${made.name} for ${colour}`, changes: made.changes, sure: false }] : [];
}

/** Another mesh of the shop for a plate. */
export function otherMesh({ source }: Model, { plate, mesh }: NonNullable<FixData["mesh"]>): Fix[] {
  const path: Path = ["plates", plate];
  const own = fieldsOf(fieldsOf(fieldsOf(source.value).plates)[plate]);
  const keys = propertiesOf(schemaAt(source.kind, path) ?? {}).map(([key]) => key);
  const changes = Object.hasOwn(own, "mesh")
    ? replaceScalar(source, [...path, "mesh"], plainScalar(mesh))
    : insertKey(source, path, "mesh", plainScalar(mesh), keys);
  return changes ? [{ title: `print ${plate} through mesh ${mesh}`, changes, sure: false }] : [];
}

/** A section of the recipe with its first entry, where the section belongs; an empty list is filled. */
function addList({ source }: Model, section: string, entry: string): readonly Change[] | undefined {
  if (Object.hasOwn(fieldsOf(source.value), section)) return insertEntry(source, [section], 0, entry);
  const order = propertiesOf(rootSchema(source.kind)).map(([key]) => key);
  return insertKey(source, [], section, `\n${" ".repeat(STEP)}- ${entry}`, order);
}

function entriesAt(value: unknown, path: Path): readonly unknown[] {
  const at = path.reduce<unknown>((inner, step) => fieldsOf(inner)[step], value);
  return Array.isArray(at) ? at : [];
}
