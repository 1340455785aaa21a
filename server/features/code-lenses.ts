import type { CodeLens, Command } from "vscode-languageserver-types";
import { changesBetween } from "../language/changes/changes.ts";
import { rangeAt } from "../language/document.ts";
import type { Path } from "../language/finding.ts";
import { blocksOf, fieldsOf, listOf, textsOf } from "../language/partial-data.ts";
import type { Recipe } from "../language/recipe.ts";
import { resolveRecipe } from "../language/resolve-recipe.ts";
import { counted } from "../language/words.ts";
import { isResolvable } from "../rules/check.ts";
import { type CheckedModel, type Model, toRange } from "./model.ts";
import { setupNeeds } from "./press-load.ts";

/** The editor's command that shows a proof; its arguments are the recipe's URI and, if one is meant, a garment. */
export const OPEN_PROOF = "platewright.openProof";
/** The one that moves a recipe's own numbers; its arguments are the recipe's URI and, if one is meant, a plate. */
const TUNE = "platewright.tune";
/** The one that makes an order; its argument is the order's URI. */
const SAVE_ORDER = "platewright.saveOrder";

/**
 * Above the artwork: open the proof. Above each setup: open its first garment's proof; how many screens it takes. Above
 * plates and setups that print otherwise than in the last commit, where that is known: what changed. Above plates that
 * could come nearer, by mean ΔE00: how much, to tune them.
 */
export function codeLenses(
  model: CheckedModel,
  committed?: Recipe,
  nearer: ReadonlyMap<string, number> = new Map(),
): CodeLens[] {
  const { source, uri } = model;
  const value = fieldsOf(source.value);
  if (source.kind === "order") return orderLenses(model);
  if (source.kind !== "recipe" || Object.keys(value).length === 0) return [];
  return [
    lens(model, "artwork" in value ? ["artwork"] : [], openProof(uri)),
    ...blocksOf(value, "setups").flatMap(([name, setup]) => {
      const path = ["setups", name];
      const [garment] = textsOf(setup.garments);
      const { screens } = setupNeeds(model, setup);
      return [
        ...(garment ? [lens(model, path, openProof(uri, garment[1]))] : []),
        // A command without an id is shown as plain text.
        lens(model, path, { title: counted(screens, "screen"), command: "" }),
      ];
    }),
    ...blocksOf(value, "plates").flatMap(([name]) => {
      const gain = nearer.get(name);
      if (gain === undefined) return [];
      const title = `could come ${gain.toFixed(1)} nearer`;
      return [lens(model, ["plates", name], { title, command: TUNE, arguments: [uri, name] })];
    }),
    ...(committed && isResolvable(model.findings) ? changeLenses(model, committed) : []),
  ];
}

/** Above an order's lines: make it; how many garments. Above each print: how many garments get it. */
function orderLenses(model: Model): CodeLens[] {
  const { source, uri } = model;
  const lines = listOf(source.value, "lines").map(([, line]) => ({
    prints: textsOf(line.prints).map(([, print]) => print),
    count: Object.values(fieldsOf(line.sizes)).reduce<number>(
      (sum, n) => sum + (typeof n === "number" ? n : 0),
      0,
    ),
  }));
  if (lines.length === 0) return [];
  const sum = (of: typeof lines) => of.reduce((all, { count }) => all + count, 0);
  return [
    ...blocksOf(source.value, "prints").map(([name]) => {
      const title = counted(sum(lines.filter(({ prints }) => prints.includes(name))), "garment");
      return lens(model, ["prints", name], { title, command: "" });
    }),
    lens(model, ["lines"], { title: "make the order", command: SAVE_ORDER, arguments: [uri] }),
    lens(model, ["lines"], { title: counted(sum(lines), "garment"), command: "" }),
  ];
}

/** Longer ones push the line beneath out of sight. */
const LONGEST = 140;

/** From the two texts alone: what pixels say is the panel's and the review's. */
function changeLenses(model: Model, committed: Recipe): CodeLens[] {
  const recipe = resolveRecipe(model.source, model.shop?.source, model.readings);
  const texts = new Map<string, { readonly path: Path; readonly said: string[] }>();
  const say = (path: Path, text: string) => {
    const key = path.join("/");
    const at = texts.get(key) ?? { path, said: [] };
    if (!at.said.includes(text)) at.said.push(text);
    texts.set(key, at);
  };
  for (const { subject, plates, text, prints } of changesBetween(committed, recipe)) {
    if (!prints) continue;
    const setup = [...recipe.setups.keys()].find((name) => subject === `setup ${name}`);
    if (setup !== undefined) say(["setups", setup], text);
    // What is told of several plates, or of an ink or the screens, says by itself what it is about.
    const own = plates.length === 1 && plates[0] === subject;
    for (const plate of plates)
      if (recipe.plates.has(plate))
        say(["plates", plate], own || plates.length > 2 ? text : `${subject}: ${text}`);
  }
  return [...texts.values()].map(({ path, said }) => {
    const title = `since the last commit: ${said.join("; ")}`;
    const short = title.length > LONGEST ? `${title.slice(0, LONGEST - 1)}…` : title;
    return lens(model, path, { ...openProof(model.uri), title: short });
  });
}

function openProof(uri: string, ...garment: string[]): Command {
  return { title: "open proof", command: OPEN_PROOF, arguments: [uri, ...garment] };
}

function lens(model: Model, path: Path, command: Command): CodeLens {
  const range = path.length > 0 ? rangeAt(model.source, path, "key") : { start: 0, end: 0 };
  return { range: toRange(model.source, range), command };
}
