import { RegionMask } from "../../engine/adjust/region.ts";
import { LabColumns } from "../../engine/extract/lab-columns.ts";
import { Membership } from "../../engine/extract/membership.ts";
import { sourcesOf } from "../../engine/merge.ts";
import type { Region } from "../../engine/plan.ts";
import { rangeAt } from "../../language/document.ts";
import type * as Formats from "../../language/generated/formats.ts";
import type { Recipe } from "../../language/recipe.ts";
import { percentage } from "../../language/words.ts";
import { extraction } from "../../render/plan/plate-plan.ts";
import type { PrintPoint, Reason, WirePath } from "../../wire/panel.ts";
import { type Model, toPosition } from "../model.ts";

/** The lines that put a plate's ink at a point, or kept it away: what extracted it, folded it in, adjusted it. */
export function reasonsFor(model: Model, recipe: Recipe, plate: string, point: PrintPoint): Reason[] {
  if (!recipe.plates.has(plate)) return [];
  const sources = sourcesOf(recipe.merges).get(plate) ?? [];
  const found: Omit<Reason, "line">[] = [];
  for (const name of [plate, ...sources]) {
    const { given } = recipe.plates.get(name)!;
    if (given) {
      const whose = name === plate ? "" : `${name}: `;
      found.push({ says: `${whose}comes from ${given.file}`, path: ["plates", name, "extract", "plate"] });
      found.push(...adjustments(recipe, name, point));
      continue;
    }
    const parts = matching(recipe.plates.get(name)!.extract, ["plates", name, "extract"], point.rgba);
    if (parts.share === 0) continue;
    const whose = name === plate ? "" : `${name}: `;
    for (const { path, share } of parts.decisive) {
      found.push({ says: `${whose}extract takes this colour, ${percentage(share)}`, path });
    }
    if (name !== plate) found.push(...foldings(recipe, name));
    found.push(...adjustments(recipe, name, point));
  }
  for (const [i, { from, where }] of recipe.knockouts.entries()) {
    if (from === plate)
      found.push({ says: `ink is knocked out where ${where} prints`, path: ["knockouts", i] });
  }
  for (const trap of recipe.traps) {
    if (trap.plate === plate)
      found.push({ says: `its edge is moved by a ${trap.way}`, path: ["traps", trap.index] });
  }
  return found.map((reason) => ({ ...reason, line: lineOf(model, reason.path) }));
}

interface Matching {
  /** Membership 0–1. */
  readonly share: number;
  /** The parts that decide it. */
  readonly decisive: readonly { readonly path: WirePath; readonly share: number }[];
}

/** How far an extraction takes a colour; of an `any`, the part that takes most of it decides. */
function matching(extract: Formats.Extraction, path: WirePath, rgba: PrintPoint["rgba"]): Matching {
  const share = memberOf(extract, rgba);
  const branches = (extract.any ?? []).map((part, i) => matching(part, [...path, "any", i], rgba));
  const best = branches.reduce<Matching | undefined>((a, b) => (a && a.share >= b.share ? a : b), undefined);
  const onlyChoice = Object.keys(extract).every((key) => key === "any");
  const own = onlyChoice && best ? [] : [{ path, share }];
  return { share, decisive: [...own, ...(best && best.share > 0 ? best.decisive : [])] };
}

function memberOf(extract: Formats.Extraction, [r, g, b, a]: PrintPoint["rgba"]): number {
  if (a === 0) return 0;
  const colour = new LabColumns(1);
  colour.setRgba(0, r, g, b, a);
  return new Membership(extraction(extract)).one(colour);
}

function foldings({ merges }: Recipe, plate: string): Omit<Reason, "line">[] {
  const found: Omit<Reason, "line">[] = [];
  let at = plate;
  for (const _ of merges) {
    const i = merges.findIndex(({ fold }) => fold === at);
    if (i < 0) break;
    const { fold, into } = merges[i]!;
    found.push({ says: `${fold} prints on ${into}'s screen`, path: ["merges", i] });
    at = into;
  }
  return found;
}

function adjustments(
  { adjustments: list }: Recipe,
  plate: string,
  { x, y }: PrintPoint,
): Omit<Reason, "line">[] {
  return list.flatMap((adjustment, i) => {
    if (adjustment.plate !== plate) return [];
    const share = adjustment.region ? coverage(adjustment.region, x, y) : 1;
    if (share === 0) return [];
    const where = adjustment.region ? ` in its region${share < 1 ? `, ${percentage(share)}` : ""}` : "";
    return { says: `${plate}'s tone is adjusted${where}`, path: ["adjust", i] };
  });
}

/** Tenths of a millimetre are fine enough for a point that a hand chose. */
const PER_MM = 10;

function coverage(region: Region, x: number, y: number): number {
  const mask = new RegionMask(region, { width: 1, height: 1 }, PER_MM);
  return mask.weight(x * PER_MM - 0.5, y * PER_MM - 0.5);
}

function lineOf({ source }: Model, path: WirePath): number {
  const part = typeof path.at(-1) === "number" ? "value" : "key";
  return toPosition(source, rangeAt(source, path, part).start).line + 1;
}
