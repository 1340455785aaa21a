import { isDeepStrictEqual } from "node:util";
import { KIND_WORDS } from "../../language/document.ts";
import {
  type Change,
  insertEntry,
  insertKey,
  removeAt,
  reorderEntries,
  replaceScalar,
} from "../../language/edit.ts";
import type { Finding, Path } from "../../language/finding.ts";
import { flowText } from "../../language/flow-text.ts";
import { blocksOf, fieldsOf, listOf } from "../../language/partial-data.ts";
import { propertiesOf, type Schema, schemaAt } from "../../language/schema.ts";
import { allNearest } from "../../language/suggest.ts";
import { nameKindAt, PRESS_STEPS } from "../../language/symbols.ts";
import { namesOf } from "../completion/values.ts";
import type { Model } from "../model.ts";
import { plainScalar } from "../scalar.ts";
import { TEMPLATES } from "../templates.ts";
import type { Fix } from "./fix.ts";
import { defaultOrder, insertionIndex, stepsOf } from "./press-order.ts";
import { addEntryFixes, addingPlate, foldPlateFixes, otherMesh, turning } from "./trade-fixes.ts";
import { correctedValues } from "./value-corrections.ts";

/** The editor's command that asks for artwork and writes a recipe for it. */
const PROPOSE_RECIPE = "platewright.proposeRecipe";

/** Every way to mend a finding that is known, the likeliest first. */
export function fixesFor(model: Model, finding: Finding): Fix[] {
  const { rule, data } = finding;
  const fixes = [
    ...replacements(model, finding),
    ...(data?.swallowed === undefined ? [] : quoting(model, finding, data.swallowed)),
    ...(data?.missing === undefined ? [] : adding(model, finding.path, [data.missing])),
    ...(rule === "schema" ? [...slips(model, finding), ...choices(model, finding)] : []),
    ...(BY_RULE[rule]?.(model, finding) ?? []),
    ...(data?.add === undefined ? [] : addEntryFixes(model, data.add)),
    ...(data?.fold === undefined ? [] : foldPlateFixes(model, data.fold)),
    ...(data?.angle === undefined ? [] : turning(model, data.angle)),
    ...(data?.plate === undefined ? [] : addingPlate(model, data.plate)),
    ...(data?.mesh === undefined ? [] : otherMesh(model, data.mesh)),
    ...(data?.redundant === undefined ? [] : takingOut(model, finding, data.redundant)),
  ];
  return fixes.filter(({ changes, command }) => changes.length > 0 || command !== undefined);
}

const BY_RULE: Readonly<Record<string, (model: Model, finding: Finding) => Fix[]>> = {
  empty: outlining,
  "unprinted-plate": printing,
  "unprinted-garment": dressing,
  "folded-plate": unfolding,
  "rising-range": swapping,
  "knockout-gap": rewriting,
  "far-ink": tuning,
  "missed-colour": tuning,
};

/** The editor's command that moves a recipe's numbers; its argument is the recipe's URI. */
const TUNE = "platewright.tune";

/** A colour that prints too far from the artwork may do so for want of better numbers. */
function tuning({ uri }: Model): Fix[] {
  return [
    {
      title: "move the recipe's numbers nearer to the artwork…",
      changes: [],
      command: { id: TUNE, arguments: [uri] },
      sure: false,
    },
  ];
}

function fix(title: string, changes: readonly Change[] | undefined, sure = false): Fix {
  return { title, changes: changes ?? [], sure };
}

/** An empty file, or one with comments alone: they stay above. */
function outlining({ source: { kind, text } }: Model): Fix[] {
  const title = `write the outline of ${kind === "order" ? "an" : "a"} ${KIND_WORDS[kind]}`;
  const newText = `${text === "" || text.endsWith("\n") ? "" : "\n"}${TEMPLATES[kind]}`;
  const outline = fix(title, [{ start: text.length, end: text.length, newText }]);
  const asked: Fix = {
    title: "start from an artwork…",
    changes: [],
    command: { id: PROPOSE_RECIPE, arguments: [] },
    sure: false,
  };
  return kind === "recipe" ? [outline, asked] : [outline];
}

/** A misspelt key, choice or name: every word that comes as near as the nearest. */
function replacements(model: Model, { rule, path, range, data }: Finding): Fix[] {
  if (data?.replacement === undefined) return [];
  if (rule === "unknown-name") {
    const words = allNearest(valueText(model, path), namesAt(model, path));
    return words.map((word) =>
      fix(`write ${word}`, [{ ...range, newText: plainScalar(word) }], words.length === 1),
    );
  }
  if (rule !== "schema") return [];
  const written = String(path.at(-1));
  const known = Object.keys(schemaAt(model.source.kind, path.slice(0, -1))?.properties ?? {});
  const misspelt = !known.includes(written);
  const present = Object.keys(fieldsOf(valueAt(model, path.slice(0, -1))));
  // A key that stands there already cannot be meant a second time.
  const words = misspelt
    ? allNearest(written, known).filter((key) => !present.includes(key))
    : allNearest(valueText(model, path), (schemaAt(model.source.kind, path)?.enum ?? []).map(String));
  const rivals = present.filter(
    (key) =>
      misspelt && key !== written && !known.includes(key) && allNearest(key, known).includes(words[0]!),
  );
  return words.map((word) =>
    fix(`write ${word}`, [{ ...range, newText: word }], words.length === 1 && rivals.length === 0),
  );
}

function namesAt(model: Model, path: Path): string[] {
  const kind = nameKindAt(path);
  const names = kind ? namesOf(model, kind) : [];
  return path.at(-2) === "order" ? [...names, ...PRESS_STEPS] : names;
}

function quoting({ source }: Model, { range }: Finding, colour: string): Fix[] {
  const start = source.text.indexOf(colour, range.end);
  return start < 0
    ? []
    : [fix(`put ${colour} in quotes`, [{ start, end: start + colour.length, newText: `"${colour}"` }], true)];
}

/** Keys that are missing, one action for each. */
function adding(model: Model, path: Path, keys: readonly string[]): Fix[] {
  const schema = schemaAt(model.source.kind, path);
  const properties = schema ? propertiesOf(schema) : [];
  const order = properties.map(([key]) => key);
  return keys.flatMap((key) => {
    const property = properties.find(([name]) => name === key)?.[1];
    if (!property) return [];
    const value = startingValue(model, [...path, key], property);
    return fix(
      `add ${key}: ${value}`,
      insertKey(model.source, path, key, value, order),
      property.const !== undefined,
    );
  });
}

/** What a new key starts with: names that exist, or else the schema's example. */
function startingValue(model: Model, path: Path, schema: Schema): string {
  const key = path.at(-1);
  const inSetup = path[0] === "setups" && path.length === 3;
  if (inSetup && key === "order") return flowText(defaultOrder(model).map(plainScalar));
  const kind = nameKindAt(inSetup ? [...path, 0] : path);
  const beside = Object.values(fieldsOf(valueAt(model, path.slice(0, -1))));
  const names = kind ? namesAt(model, path).filter((name) => !beside.includes(name)) : [];
  // A plate is often named after its ink.
  const name = names.find((n) => n === path.at(-2)) ?? names[0];
  if (name !== undefined) return inSetup ? `[${plainScalar(name)}]` : plainScalar(name);
  return flowText(schema.const ?? schema.examples?.[0] ?? "");
}

/** A value that is nearly one: decimal comma, missing percent sign or unit, colour without its #. */
function slips(model: Model, { path, range }: Finding): Fix[] {
  const { source } = model;
  const schema = schemaAt(source.kind, path);
  const value = valueAt(model, path);
  if (/^\d+\s*[a-z%]*$/.test(String(path.at(-1))) && source.text[range.start - 1] === ",") {
    const whole = /[\d]+,$/.exec(source.text.slice(0, range.start))?.[0];
    const comma = { start: range.start - 1, end: range.start, newText: "." };
    return whole ? [fix(`write ${whole.slice(0, -1)}.${path.at(-1)}`, [comma], true)] : [];
  }
  if (!schema?.format || (typeof value !== "string" && typeof value !== "number")) return [];
  const words = correctedValues(schema.format, String(value));
  return words.map((word) =>
    fix(`write ${word}`, [{ ...range, newText: flowText(word) }], words.length === 1),
  );
}

/** Where exactly one of several keys belongs: add one, or keep one. */
function choices(model: Model, { path, data }: Finding): Fix[] {
  const oneOf = schemaAt(model.source.kind, path)?.oneOf?.flatMap(({ required }) => required) ?? [];
  if (oneOf.length === 0 || data?.missing !== undefined) return [];
  const block = valueAt(model, path);
  if (typeof block !== "object" || block === null) return [];
  const present = oneOf.filter((key) => Object.hasOwn(block, key));
  if (present.length === 0) return adding(model, path, oneOf);
  return present.flatMap((kept) => {
    const others = present.filter((key) => key !== kept);
    const changes = others.map((key) => removeAt(model.source, [...path, key]));
    if (others.length !== 1 || changes[0] === undefined) return [];
    return fix(`keep ${kept}, take out ${others[0]}`, changes[0]);
  });
}

function takingOut(model: Model, { rule, message }: Finding, path: Path): Fix[] {
  const list = path.slice(0, -1);
  const entries = valueAt(model, list);
  const index = path.at(-1);
  const twin =
    Array.isArray(entries) &&
    typeof index === "number" &&
    entries.slice(0, index).some((entry) => isDeepStrictEqual(entry, entries[index]));
  // A plate printed twice may be meant; an entry that says the same again cannot be.
  const sure = twin && (rule === "repeated-entry" || message.includes("already folded"));
  return [
    fix(
      twin ? "take out the repetition" : (TITLES[rule] ?? "take it out"),
      removeAt(model.source, path),
      sure,
    ),
  ];
}

const TITLES: Readonly<Record<string, string>> = {
  "unused-ink": "take the ink out",
  "merge-cycle": "take this merge out",
  "folded-plate": "take this merge out",
  "self-knockout": "take this knockout out",
};

/** The ends of a range, where they stand. */
function swapping({ source }: Model, { path, data }: Finding): Fix[] {
  return [fix(`write ${data?.replacement}`, reorderEntries(source, path, [1, 0]), true)];
}

/** A length that is too short. */
function rewriting({ source }: Model, { path, data }: Finding): Fix[] {
  return data?.replacement === undefined
    ? []
    : [fix(`write ${data.replacement}`, replaceScalar(source, path, data.replacement))];
}

/** A plate that no setup prints: into one order, or into all. */
function printing(model: Model, { path }: Finding): Fix[] {
  const plate = String(path.at(-1));
  const into = blocksOf(model.source.value, "setups").flatMap(([setup, fields]) => {
    const steps = stepsOf(fields);
    if (!steps) return [];
    const at = insertionIndex(model, plate, steps);
    const changes = insertEntry(model.source, ["setups", setup, "order"], at, plainScalar(plate));
    return changes ? [{ setup, changes }] : [];
  });
  const single = into.map(({ setup, changes }) => fix(`print it in setup ${setup}`, changes));
  if (into.length < 2) return single;
  return [
    ...single,
    fix(
      "print it in every setup",
      into.flatMap(({ changes }) => changes),
    ),
  ];
}

/** A garment that no setup prints on. */
function dressing(model: Model, { path }: Finding): Fix[] {
  const garment = plainScalar(String(path.at(-1)));
  return blocksOf(model.source.value, "setups").flatMap(([setup, { garments }]) =>
    Array.isArray(garments)
      ? fix(
          `print on it with setup ${setup}`,
          insertEntry(model.source, ["setups", setup, "garments"], garments.length, garment),
        )
      : [],
  );
}

/** A folded plate where only one with a screen can stand: the plate that it went into, or a screen again. */
function unfolding(model: Model, { path, range }: Finding): Fix[] {
  if (path[0] === "merges") return [];
  const merges = listOf(model.source.value, "merges");
  const name = valueText(model, path);
  const target = finalTarget(
    merges.map(([, fields]) => fields),
    name,
  );
  const merge = merges.find(([, { fold }]) => fold === name);
  const list = valueAt(model, path.slice(0, -1));
  const there = Array.isArray(list) && list.includes(target);
  return [
    ...(target === undefined
      ? []
      : there
        ? [fix(`take it out: ${target} already prints here`, removeAt(model.source, path))]
        : [fix(`write ${target}`, [{ ...range, newText: plainScalar(target) }])]),
    ...(merge
      ? [fix("give it its own screen: take the merge out", removeAt(model.source, ["merges", merge[0]]))]
      : []),
  ];
}

/** Where a chain of merges ends; undefined where it is a ring. */
function finalTarget(merges: readonly Readonly<Record<string, unknown>>[], name: string): string | undefined {
  let at = name;
  for (const _ of merges) {
    const merge = merges.find(({ fold }) => fold === at);
    if (!merge) return at;
    if (typeof merge.into !== "string") return undefined;
    at = merge.into;
  }
  return merges.some(({ fold }) => fold === at) ? undefined : at;
}

function valueText(model: Model, path: Path): string {
  return String(valueAt(model, path) ?? "");
}

function valueAt(model: Model, path: Path): unknown {
  return path.reduce<unknown>(
    (at, step) => (typeof at === "object" && at !== null ? (at as Record<string, unknown>)[step] : undefined),
    model.source.value,
  );
}
