import { deltaE00 } from "../../engine/colour/ciede2000.ts";
import { labFromBytes } from "../../engine/colour/cielab.ts";
import type { Point, Region } from "../../engine/plan.ts";
import type { SourceDocument } from "../../language/document.ts";
import {
  applyChanges,
  type Change,
  insertEntry,
  insertKey,
  removeAt,
  reorderEntries,
  replaceScalar,
  STEP,
} from "../../language/edit.ts";
import type { Path } from "../../language/finding.ts";
import { flowText } from "../../language/flow-text.ts";
import { lengthUnitOf } from "../../language/length-unit.ts";
import { type Fields, fieldsOf } from "../../language/partial-data.ts";
import { propertiesOf, rootSchema, schemaAt } from "../../language/schema.ts";
import { parseColour } from "../../language/values/colour.ts";
import { lengthText } from "../../language/words.ts";
import type { NamedFile, PanelEdit, PanelEditResult, Rgb } from "../../wire/panel.ts";
import { nearOf, newPlate } from "../code-actions/new-plate.ts";
import { inkOf } from "../code-actions/press-order.ts";
import { type Model, toRange } from "../model.ts";
import { plainScalar } from "../scalar.ts";
import { widened } from "./widen.ts";

/** What a panel's gesture writes into the text, or why it cannot. */
export function panelEdit(model: Model, edit: PanelEdit): PanelEditResult {
  const done = changesOf(model, edit);
  if ("refused" in done) return done;
  const { source } = model;
  return {
    edits: done.changes.map(({ newText, ...range }) => ({ range: toRange(source, range), newText })),
    did: done.did,
  };
}

/** The text as a gesture would leave it; undefined where it cannot be made. */
export function editedText(model: Model, edit: PanelEdit): string | undefined {
  const done = changesOf(model, edit);
  return "refused" in done ? undefined : applyChanges(model.source.text, done.changes);
}

type Done = { readonly changes: readonly Change[]; readonly did: string } | { readonly refused: string };

const ELSEWHERE = "an anchor or an alias stands there; change the text itself";

function changesOf(model: Model, edit: PanelEdit): Done {
  switch (edit.kind) {
    case "order":
      return ordered(model, edit.setup, edit.order);
    case "background":
      return cutOut(model, edit.to);
    case "file":
      return named(model, edit.of, edit.path);
    case "extract":
      return edit.into === undefined
        ? extractedAsPlate(model, edit.colour)
        : takenBy(model, edit.into, edit.colour);
    case "ink":
      return coloured(model, edit.ink, edit.colour);
    case "adjust":
      return adjusted(model, edit);
  }
}

function ordered({ source }: Model, setup: string, order: readonly number[]): Done {
  const changes = reorderEntries(source, ["setups", setup, "order"], order);
  return changes ? { changes, did: `order of setup ${setup}` } : { refused: ELSEWHERE };
}

function named({ source }: Model, of: NamedFile, path: string): Done {
  const at = of === "shop" ? ["shop"] : ["artwork", "file"];
  const changes = replaceScalar(source, at, plainScalar(path));
  return changes ? { changes, did: `${of} ${path}` } : { refused: `the recipe names no ${of} yet` };
}

function cutOut({ source }: Model, to: (PanelEdit & { kind: "background" })["to"]): Done {
  const at: Path = ["artwork", "background"];
  const { background } = fieldsOf(fieldsOf(source.value).artwork);
  const keys = (path: Path) => propertiesOf(schemaAt(source.kind, path) ?? {}).map(([key]) => key);
  const done = (changes: readonly Change[] | undefined, did: string): Done =>
    changes ? { changes, did } : { refused: ELSEWHERE };
  if (to === "none") return done(removeAt(source, at), "the background stays in");
  const [key, value] = "colour" in to ? ["colour", quoted(to.colour)] : ["enclosed", to.enclosed];
  const did = `background ${value.replaceAll('"', "")}${key === "enclosed" ? " where it is enclosed" : " cut out"}`;
  if (background === undefined)
    return key === "colour"
      ? done(insertKey(source, ["artwork"], "background", `{ colour: ${value} }`, keys(["artwork"])), did)
      : { refused: "nothing is cut out as background yet" };
  return Object.hasOwn(fieldsOf(background), key)
    ? done(replaceScalar(source, [...at, key], value), did)
    : done(insertKey(source, at, key, value, keys(at)), did);
}

function takenBy({ source }: Model, plate: string, colour: Rgb): Done {
  const extract = fieldsOf(fieldsOf(fieldsOf(source.value).plates)[plate]).extract;
  if (typeof extract !== "object" || extract === null)
    return { refused: `plate ${plate} has no extract yet` };
  if (Object.keys(extract).length === 1 && "artwork" in extract)
    return { refused: `plate ${plate} takes all of the artwork already` };
  const changes = widened(source, ["plates", plate, "extract"], flowText(nearOf(hexOf(colour))));
  return changes ? { changes, did: `${hexOf(colour)} into plate ${plate}` } : { refused: ELSEWHERE };
}

function extractedAsPlate(model: Model, colour: Rgb): Done {
  const ink = nearestInk(model, colour);
  if (ink === undefined) return { refused: "there is no ink yet to print a new plate with" };
  const made = newPlate(model, ink, hexOf(colour));
  if (!made) return { refused: ELSEWHERE };
  return { changes: made.changes, did: `plate ${made.name} for ${hexOf(colour)}` };
}

function coloured(model: Model, ink: string, colour: Rgb): Done {
  const { source } = model;
  const did = `ink ${ink} is ${hexOf(colour)}`;
  const value = fieldsOf(source.value);
  const own = fieldsOf(value.inks);
  if (Object.hasOwn(own, ink)) {
    const changes = replaceScalar(source, ["inks", ink, "colour"], quoted(colour));
    return changes ? { changes, did } : { refused: ELSEWHERE };
  }
  // The shop's shelf is shared by other jobs: this job gets an ink of its own of that name.
  const shelf = inkOf(model, ink);
  if (!shelf) return { refused: `there is no ink ${ink}` };
  const entry = `{ colour: ${quoted(colour)}, opacity: ${flowText(shelf.opacity ?? "70%")} }`;
  const changes =
    Object.keys(own).length > 0
      ? insertKey(source, ["inks"], plainScalar(ink), entry)
      : "inks" in value
        ? undefined
        : newSection(source, "inks", `${plainScalar(ink)}: ${entry}`);
  return changes ? { changes, did: `${did}, in this job` } : { refused: ELSEWHERE };
}

function adjusted(model: Model, { plate, region, middle }: PanelEdit & { kind: "adjust" }): Done {
  const { source } = model;
  const value = fieldsOf(source.value);
  const unit = lengthUnitOf(source);
  const length = (mm: number) => lengthText(mm, unit);
  const entry = `{ plate: ${plainScalar(plate)}, region: ${regionText(region, length)}, curve: [[0, 0], [50, ${Math.round(middle)}], [100, 100]] }`;
  const list: unknown = value.adjust;
  const changes = Array.isArray(list)
    ? insertEntry(source, ["adjust"], list.length, entry)
    : "adjust" in value
      ? undefined
      : newSection(source, "adjust", `- ${entry}`);
  return changes ? { changes, did: `region on plate ${plate}` } : { refused: ELSEWHERE };
}

function newSection(source: SourceDocument, key: string, line: string): readonly Change[] | undefined {
  const order = propertiesOf(rootSchema("recipe")).map(([name]) => name);
  return insertKey(source, [], key, `\n${" ".repeat(STEP)}${line}`, order);
}

function regionText(region: Region, length: (mm: number) => string): string {
  const point = ([x, y]: Point) => `[${length(x)}, ${length(y)}]`;
  const feather = region.feather > 0 ? `, feather: ${length(region.feather)}` : "";
  switch (region.shape) {
    case "polygon":
      return `{ polygon: [${region.points.map(point).join(", ")}]${feather} }`;
    case "rectangle":
      return `{ rectangle: { from: ${point(region.from)}, to: ${point(region.to)} }${feather} }`;
    case "ellipse":
      return `{ ellipse: { centre: ${point(region.centre)}, radii: ${point(region.radii)} }${feather} }`;
  }
}

function hexOf(colour: Rgb): string {
  return `#${colour.map((v) => v.toString(16).padStart(2, "0")).join("")}`;
}

function quoted(colour: Rgb): string {
  return `"${hexOf(colour)}"`;
}

/** The ink that a colour is nearest to, of the recipe and of the shop's shelf. */
function nearestInk(model: Model, [r, g, b]: Rgb): string | undefined {
  const wanted = labFromBytes(r, g, b);
  let nearest: string | undefined;
  let least = Number.POSITIVE_INFINITY;
  const known: Fields = {
    ...fieldsOf(fieldsOf(model.shop?.source.value).inks),
    ...fieldsOf(fieldsOf(model.source.value).inks),
  };
  for (const [name, fields] of Object.entries(known)) {
    const { colour } = fieldsOf(fields);
    const parsed = typeof colour === "string" ? parseColour(colour) : undefined;
    if (!parsed?.ok) continue;
    const { L, a, b: blue } = parsed.value.lab;
    const difference = deltaE00(wanted.L, wanted.a, wanted.b, L, a, blue);
    if (difference < least) [nearest, least] = [name, difference];
  }
  return nearest;
}
