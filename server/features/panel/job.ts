import type { LengthUnit } from "../../engine/units.ts";
import { LEVELS, standing } from "../../language/finding.ts";
import { OUTSIDE_ADVICE } from "../../language/outside.ts";
import { fieldsOf } from "../../language/partial-data.ts";
import type { Recipe } from "../../language/recipe.ts";
import { filmCurve, plateScreening } from "../../render/film-curve.ts";
import { fabricColourOf, misregistrationOf, printStations } from "../../render/plan/print-plan.ts";
import type { PanelFinding, PanelJob } from "../../wire/panel.ts";
import { hexOf } from "../colours.ts";
import { type CheckedModel, toPosition } from "../model.ts";
import { waysOutOf } from "../ways-out.ts";

/** What the panel shows of a recipe without any picture; `unknown` are inks that nothing can be shown of. */
export function jobOf(recipe: Recipe, unit: LengthUnit, unknown: ReadonlySet<string> = new Set()): PanelJob {
  const foldedInto = new Map(recipe.merges.map(({ fold, into }) => [fold, into]));
  return {
    title: recipe.title,
    widthMm: recipe.artwork.widthMm,
    unit,
    ...(recipe.artwork.background
      ? {
          background: {
            hex: hexOf(recipe.artwork.background.colour),
            enclosed: recipe.artwork.background.enclosed,
          },
        }
      : {}),
    garments: [...recipe.garments].map(([name, garment]) => ({
      name,
      colour: fabricColourOf(garment),
      hex: hexOf(garment.colour),
    })),
    plates: [...recipe.plates.values()].map((plate) => {
      const { name, ink, purpose } = plate;
      const into = foldedInto.get(name);
      const curve = filmCurve(recipe, plate);
      const mesh = plate.mesh === undefined ? undefined : recipe.meshes.get(plate.mesh);
      return {
        name,
        ink,
        purpose,
        ...(into === undefined ? {} : { foldedInto: into }),
        screening: plateScreening(recipe, plate),
        ...(mesh ? { meshCount: mesh.count } : {}),
        ...(curve.some((tone, i) => tone !== i / 255) ? { film: [...curve] } : {}),
      };
    }),
    inks: [...recipe.inks].flatMap(([name, { colour, opacity, film }]) =>
      unknown.has(name) ? [] : [{ name, colour: colour.lab, hex: hexOf(colour), opacity, film }],
    ),
    unknownInks: [...unknown],
    setups: [...recipe.setups].map(([name, setup]) => ({
      name,
      garments: setup.garments,
      order: setup.order,
      n: setup.yuleNielsen,
      gains: Object.fromEntries(
        printStations(recipe, setup).flatMap(({ plate, gain }) => (gain ? [[plate, gain]] : [])),
      ),
    })),
    compensated: recipe.screening.compensate,
    smallestDot: recipe.screening.smallestDot,
    misregistrationMm: misregistrationOf(recipe),
    filmDpi: recipe.screening.filmDpi,
    regions: recipe.adjustments.flatMap(({ plate, region }, entry) =>
      region ? [{ entry, plate, region }] : [],
    ),
  };
}

/** Keys of entries that name a plate. */
const NAMING = ["plate", "fold", "into", "from", "where"] as const;

/** The findings of a recipe and its shop file, worst first, each with the plates that it is about. */
export function panelFindings({ source, shop, findings }: CheckedModel): PanelFinding[] {
  return standing(findings)
    .map((finding): PanelFinding => {
      const { level, message, path, range, file } = finding;
      const ways = waysOutOf(finding);
      const inShop = file !== source.file;
      const doc = inShop && shop ? shop.source : source;
      return {
        level,
        message: ways.length > 0 ? message.replace(OUTSIDE_ADVICE, "") : message,
        path,
        line: toPosition(doc, range.start).line + 1,
        inShop,
        plates: inShop ? [] : platesOf(source.value, path),
        ...(ways.length > 0 ? { ways } : {}),
      };
    })
    .sort((a, b) => LEVELS.indexOf(a.level) - LEVELS.indexOf(b.level) || a.line - b.line);
}

/** The plates that a place is about: its own block, or those that its entry names. */
function platesOf(value: unknown, path: PanelFinding["path"]): string[] {
  const [section, name, list, index] = path;
  const plates = fieldsOf(fieldsOf(value).plates);
  const known = (text: unknown): string[] =>
    typeof text === "string" && Object.hasOwn(plates, text) ? [text] : [];
  if (section === "plates") return known(name);
  if (section === "setups" && list === "order") {
    const order: unknown = fieldsOf(fieldsOf(fieldsOf(value).setups)[String(name)]).order;
    return Array.isArray(order) && typeof index === "number" ? known(order[index]) : [];
  }
  const entries: unknown = typeof section === "string" ? fieldsOf(value)[section] : undefined;
  if (!Array.isArray(entries) || typeof name !== "number") return [];
  const entry = fieldsOf(entries[name]);
  return [...new Set(NAMING.flatMap((key) => known(entry[key])))];
}
