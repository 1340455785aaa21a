import type { Curve } from "../engine/adjust/curve.ts";
import { chromaOf, linearFromLab } from "../engine/colour/cielab.ts";
import { byteFromLinear } from "../engine/colour/srgb.ts";
import type {
  Extraction,
  PlatePlan,
  PreparationPlan,
  SeparationPlan,
  Solving,
  SolvingStation,
  Strength,
  ThinnestPlan,
  TrapPlan,
} from "../engine/plan.ts";
import type { PrintConditions, Station } from "../engine/print/model.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import type * as Formats from "../language/generated/formats.ts";
import { dotGain } from "../language/readings/gain.ts";
import {
  type Adjustment,
  DEFAULT_MISREGISTRATION_MM,
  type Plate,
  type Recipe,
  type Setup,
} from "../language/recipe.ts";
import { type Colour, parseColour } from "../language/values/colour.ts";
import { filmScreening } from "./film-curve.ts";

/** The part of a recipe that makes plates, in the engine's terms. */
export function separationPlan(recipe: Recipe): SeparationPlan {
  return {
    preparation: preparation(recipe),
    plates: [...recipe.plates.values()].map((plate) => platePlan(plate, recipe)),
    adjustments: recipe.adjustments.map(({ plate, curve, region }) => ({
      plate,
      curve: curvePlan(curve),
      region,
    })),
    merges: recipe.merges,
    // One order whatever the recipe's, so that rounding cannot tell them apart.
    knockouts: recipe.knockouts
      .map(({ from, where, chokeMm }) => ({ from, where, choke: chokeMm }))
      .sort((a, b) => (a.where < b.where ? -1 : a.where > b.where ? 1 : a.choke - b.choke)),
    traps: [
      ...recipe.traps.map(({ plate, way, distanceMm: distance, under }) =>
        under === undefined ? { plate, way, distance } : { plate, way, distance, under: [under] },
      ),
      ...neighbourTraps(recipe),
    ],
    thinnest: [...recipe.plates.values()].flatMap((plate) => thinnest(plate, recipe)),
    smallestDot: recipe.screening.smallestDot,
    solving: solving(recipe),
  };
}

/** What a plate is extracted by. */
export function platePlan(plate: Plate, recipe: Recipe): PlatePlan {
  return { name: plate.name, extract: extraction(plate.extract), strength: strength(plate, recipe) };
}

/** Tone in and out as shares. */
export function curvePlan(curve: Adjustment["curve"]): Curve {
  return curve.map(([tone, out]) => [tone / 100, out / 100] as const);
}

/** Lightness from which an ink counts as white: it is never spread over a colour. */
const WHITE = 90;

/** Plates of colours, lighter ones under darker ones; each may touch any other, which their pixels decide. */
export function neighbourTraps(recipe: Recipe): TrapPlan[] {
  const distance = recipe.neighbours?.distanceMm ?? 0;
  if (distance <= 0) return [];
  return trapPairs(recipe).map(({ plate, under }) => ({
    plate,
    way: "spread",
    distance,
    under,
    solid: true,
  }));
}

/** Each plate that may be spread, with those that it may be spread under, by the lightness of their inks. */
export function trapPairs(recipe: Recipe): { readonly plate: string; readonly under: readonly string[] }[] {
  const folded = new Set(recipe.merges.map(({ fold }) => fold));
  const lightness = ({ ink }: Plate) => recipe.inks.get(ink)!.colour.lab.L;
  const plates = [...recipe.plates.values()].filter(
    ({ name, purpose }) => (purpose === "colour" || purpose === "shadow") && !folded.has(name),
  );
  const orders = [...recipe.setups.values()].map(({ order }) =>
    order.flatMap((step) => (typeof step === "string" ? [] : [step.plate])),
  );
  /** Whether one prints with the other, and, of a white one, before it. */
  const goesUnder = (plate: Plate, other: Plate) => {
    const both = orders.filter((order) => order.includes(plate.name) && order.includes(other.name));
    const before = both.every((order) => order.indexOf(plate.name) < order.indexOf(other.name));
    return both.length > 0 && (lightness(plate) < WHITE || before);
  };
  return plates.flatMap((plate, i) => {
    const under = plates.filter((other, j) => {
      const darker = lightness(plate) - lightness(other);
      return (darker > 0 || (darker === 0 && i < j)) && goesUnder(plate, other);
    });
    return under.length > 0 ? [{ plate: plate.name, under: under.map(({ name }) => name) }] : [];
  });
}

/** What the plate's screening says, else the pitch of its mesh: a line that falls between two threads has no hold. */
function thinnest({ name, mesh, screening }: Plate, { meshes }: Recipe): ThinnestPlan[] {
  const count = mesh === undefined ? undefined : meshes.get(mesh)?.count;
  const pitch = count === undefined ? 0 : MM_PER_INCH / count;
  const { smallestLineMm: line = pitch, smallestGapMm: gap = pitch } = screening;
  return line > 0 || gap > 0 ? [{ plate: name, line, gap }] : [];
}

/** What is done to the whole picture before plates see it. */
function preparation({ artwork: { background, flat, smooth } }: Recipe): PreparationPlan | undefined {
  if (!background && !flat && smooth === undefined) return undefined;
  return {
    smooth,
    background: background && {
      rgb: bytesOf(background.colour),
      within: background.within,
      enclosed: background.enclosed,
    },
    flat: flat && { colours: flat.colours.map(bytesOf), speckMm: flat.speckMm },
  };
}

/** 8-bit sRGB of a colour, the nearest. */
function bytesOf({ lab }: Colour): [number, number, number] {
  const { r, g, b } = linearFromLab(lab);
  return [byteFromLinear(r), byteFromLinear(g), byteFromLinear(b)];
}

/** How a setup prints on a garment. */
export function printConditions(recipe: Recipe, setup: Setup, garment: string): PrintConditions {
  return {
    garment: recipe.garments.get(garment)!.colour.lab,
    n: setup.yuleNielsen,
    compensated: recipe.screening.compensate,
    smallestDot: recipe.screening.smallestDot,
    misregistrationMm: misregistrationOf(recipe),
  };
}

/** Largest distance between two plates in print: the shop's, else the usual. */
export function misregistrationOf({ press }: Pick<Recipe, "press">): number {
  return press?.misregistrationMm ?? DEFAULT_MISREGISTRATION_MM;
}

/** The stations of a setup that print, in order, each with its plate's name. */
export function printStations(recipe: Recipe, setup: Setup): (Station & { plate: string })[] {
  return setup.order.flatMap((step) => {
    if (typeof step === "string") return [];
    const plate = recipe.plates.get(step.plate)!;
    const ink = recipe.inks.get(plate.ink)!;
    const gain = dotGain(ink.gain ?? recipe.screening.gain, setup.yuleNielsen);
    return [{ plate: step.plate, ink: ink.film, gain, screen: filmScreening(plate.screening) }];
  });
}

/** The setup and garment that plates are solved for. */
export function solvedFor(recipe: Recipe): { readonly setup: Setup; readonly garment: string } | undefined {
  const setups = [...recipe.setups.values()];
  const garment = recipe.solve.garment ?? setups[0]?.garments[0];
  const setup = setups.find(({ garments }) => garments.includes(garment ?? ""));
  return setup && garment !== undefined ? { setup, garment } : undefined;
}

function solving(recipe: Recipe): Solving | undefined {
  const { plates, solve } = recipe;
  const target = solvedFor(recipe);
  if (!target || ![...plates.values()].some(isFound)) return undefined;
  const { setup, garment } = target;
  let wetGroup = 0;
  const groups = setup.order.flatMap((step) => {
    if (step === "flash") wetGroup++;
    return typeof step === "string" ? [] : [wetGroup];
  });
  return {
    conditions: printConditions(recipe, setup, garment),
    stations: printStations(recipe, setup).map(
      (station, i): SolvingStation => ({
        ...station,
        underbase: plates.get(station.plate)!.purpose === "underbase",
        wetGroup: groups[i]!,
      }),
    ),
    wetInk: solve.wetInk,
    smoothness: solve.smoothness,
    halftonePrice: solve.halftonePrice,
    onlyGarment: new Set([...recipe.setups.values()].flatMap(({ garments }) => garments)).size === 1,
  };
}

function isFound({ extract, strength }: Plate): boolean {
  return extract.solve !== undefined || strength === "match";
}

const RANGES = ["lightness", "chroma", "hue", "opacity"] as const;

/** One extraction of a recipe that is free of errors. */
export function extraction(e: Formats.Extraction): Extraction {
  const fade = (key: (typeof RANGES)[number] | "near") =>
    (typeof e.fade === "number" ? e.fade : e.fade?.[key]) ?? 0;
  const parts: Extraction[] = [];
  // A solved plate may print wherever the rest lets it.
  if (e.solve && Object.keys(e).length === 1) return { by: "artwork" };
  if (e.artwork) parts.push({ by: "artwork" });
  for (const by of RANGES) {
    const range = e[by];
    if (range) parts.push({ by, from: range[0], to: range[1], fade: fade(by) });
  }
  if (e.near !== undefined) {
    const colour = parseColour(e.near);
    if (!colour.ok) throw new Error(colour.problem);
    parts.push({ by: "near", colour: colour.value.lab, within: e.within ?? 0, fade: fade("near") });
  }
  if (e.all) parts.push({ by: "all", of: e.all.map(extraction) });
  if (e.any) parts.push({ by: "any", of: e.any.map(extraction) });
  if (e.except) parts.push({ by: "except", of: extraction(e.except) });
  return parts.length === 1 ? parts[0]! : { by: "all", of: parts };
}

function strength({ strength: by, ink, extract }: Plate, recipe: Recipe): Strength {
  if (extract.solve) return { by: "solve" };
  if (typeof by === "object")
    return {
      by: "curves",
      lightness: by.lightness && strengthCurve(by.lightness),
      chroma: by.chroma && strengthCurve(by.chroma),
    };
  if (by !== "chroma") return { by };
  const { a, b } = recipe.inks.get(ink)!.colour.lab;
  return { by, full: chromaOf(a, b) };
}

/** L* or C*ab stays as it is; percent becomes tone 0–1. */
function strengthCurve(pairs: Formats.StrengthCurve): Curve {
  return pairs.map(([at, tone]) => [at!, tone! / 100] as const);
}
