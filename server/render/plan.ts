import type { Curve } from "../engine/adjust/curve.ts";
import { chromaOf, linearFromLab } from "../engine/colour/cielab.ts";
import { byteFromLinear } from "../engine/colour/srgb.ts";
import type {
  CompositePlan,
  Extraction,
  IndexPlan,
  PlatePlan,
  PreparationPlan,
  ProcessPlan,
  SeparationPlan,
  SolvedPrint,
  Solving,
  SolvingStation,
  Strength,
  ThinnestPlan,
  TrapPlan,
} from "../engine/plan.ts";
import { printedTone } from "../engine/print/gain.ts";
import type { FabricColour } from "../engine/print/ink-film.ts";
import { type PrintConditions, preparePrint, type Station } from "../engine/print/model.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import type * as Formats from "../language/generated/formats.ts";
import { dotGain, gainOf } from "../language/readings/gain.ts";
import {
  type Adjustment,
  DEFAULT_MISREGISTRATION_MM,
  type Garment,
  type GivenPlate,
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
    composite: composite(recipe),
    adjustments: recipe.adjustments.map(({ plate, curve, region }) => ({
      plate,
      curve: curvePlan(curve),
      region,
    })),
    merges: recipe.merges,
    // One order whatever the recipe's, so that rounding cannot tell them apart.
    knockouts: recipe.knockouts
      .map(({ from, where, above, chokeMm: choke }) =>
        above > 0 ? { from, where, above, choke } : { from, where, choke },
      )
      .sort((a, b) =>
        a.where < b.where ? -1 : a.where > b.where ? 1 : a.choke - b.choke || (a.above ?? 0) - (b.above ?? 0),
      ),
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
  return {
    name: plate.name,
    extract: plate.given ? givenExtraction(plate, plate.given, recipe) : extraction(plate.extract),
    strength: strength(plate, recipe),
  };
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
    ({ name, purpose, extract, given }) =>
      (purpose === "colour" || purpose === "shadow") &&
      !folded.has(name) &&
      extract.index === undefined &&
      !given?.screened,
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
  // Squares are as small as they are asked for.
  if (screening.method === "index") return [];
  const count = mesh === undefined ? undefined : meshes.get(mesh)?.count;
  const pitch = count === undefined ? 0 : MM_PER_INCH / count;
  const { smallestLineMm: line = pitch, smallestGapMm: gap = pitch } = screening;
  return line > 0 || gap > 0 ? [{ plate: name, line, gap }] : [];
}

/** What is done to the whole picture before plates see it. */
function preparation(recipe: Recipe): PreparationPlan | undefined {
  const { background, flat, smooth } = recipe.artwork;
  const index = indexPlan(recipe);
  if (!background && !flat && smooth === undefined && !index) return undefined;
  return {
    smooth,
    ...(index ? { index } : {}),
    background: background && {
      rgb: bytesOf(background.colour),
      within: background.within,
      enclosed: background.enclosed,
    },
    flat: flat && { colours: flat.colours.map(bytesOf), speckMm: flat.speckMm },
  };
}

/** The indexed plates of the print that plates are made for, in the recipe's order: their colours are numbered from 1. */
export function indexedPlates(recipe: Recipe): Plate[] {
  const order = solvedFor(recipe)?.setup.order ?? [];
  return [...recipe.plates.values()].filter(
    ({ name, extract }) =>
      extract.index !== undefined && order.some((step) => typeof step !== "string" && step.plate === name),
  );
}

/** Whether a setup prints squares, so that its colours are mixtures of theirs. */
export function mixesSquares({ plates }: Recipe, { order }: Setup): boolean {
  return order.some(
    (step) => typeof step !== "string" && plates.get(step.plate)!.extract.index !== undefined,
  );
}

/** What squares look like: solid inks one at a time, on the garment and its solid underbases. */
function indexPlan(recipe: Recipe): IndexPlan | undefined {
  const plates = indexedPlates(recipe);
  const target = solvedFor(recipe);
  if (plates.length === 0 || !target) return undefined;
  const { across, dither } = recipe.index;
  const names = new Set(plates.map(({ name }) => name));
  const stations = printStations(recipe, target.setup).filter(
    ({ plate }) => names.has(plate) || recipe.plates.get(plate)!.purpose === "underbase",
  );
  const print = preparePrint(printConditions(recipe, target.setup, target.garment), stations);
  const looks = (own: string | undefined) =>
    print.colour(stations.map(({ plate }) => (plate === own || !names.has(plate) ? 1 : 0)));
  return {
    across,
    colours: [undefined, ...plates.map(({ name }) => name)].map(looks),
    dither,
  };
}

/** 8-bit sRGB of a colour, the nearest. */
function bytesOf({ lab }: Colour): [number, number, number] {
  const { r, g, b } = linearFromLab(lab);
  return [byteFromLinear(r), byteFromLinear(g), byteFromLinear(b)];
}

/** A garment's garment as the print model takes it. */
export function fabricColourOf({ colour, discharged }: Pick<Garment, "colour" | "discharged">): FabricColour {
  return discharged ? { ...colour.lab, discharged: discharged.lab } : colour.lab;
}

/** How a setup prints on a garment. */
export function printConditions(recipe: Recipe, setup: Setup, garment: string): PrintConditions {
  return {
    garment: fabricColourOf(recipe.garments.get(garment)!),
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

/** A print that plates are solved for. */
export interface SolvedFor {
  readonly setup: Setup;
  readonly garment: string;
  /** How much it counts against the others. */
  readonly weight: number;
}

/** The first print that plates are solved for. */
export function solvedFor(recipe: Recipe): SolvedFor | undefined {
  return allSolvedFor(recipe)[0];
}

/** All of them, in the order of `solve.garments`. */
export function allSolvedFor({ setups, solve }: Recipe): SolvedFor[] {
  const all = [...setups.values()];
  const first = all[0]?.garments[0];
  const garments = solve.garments ?? new Map(first === undefined ? [] : [[first, 1]]);
  return [...garments].flatMap(([garment, weight]) => {
    const setup = all.find((one) => one.garments.includes(garment));
    return setup ? [{ setup, garment, weight }] : [];
  });
}

function solving(recipe: Recipe): Solving | undefined {
  const { plates, solve } = recipe;
  const [first, ...others] = allSolvedFor(recipe);
  if (!first || ![...plates.values()].some(isFound)) return undefined;
  return {
    ...solvedPrint(recipe, first),
    also: others.map((print) => ({ ...solvedPrint(recipe, print), weight: print.weight / first.weight })),
    wetInk: solve.wetInk,
    smoothness: solve.smoothness,
    halftonePrice: solve.halftonePrice,
    process: processPlan(recipe),
    onlyGarment: new Set([...recipe.setups.values()].flatMap(({ garments }) => garments)).size === 1,
  };
}

function solvedPrint(recipe: Recipe, { setup, garment }: SolvedFor): SolvedPrint {
  return {
    conditions: printConditions(recipe, setup, garment),
    stations: wetStations(recipe, setup).map(
      (station): SolvingStation => ({
        ...station,
        underbase: recipe.plates.get(station.plate)!.purpose === "underbase",
      }),
    ),
  };
}

/** The stations of a setup that print, in order, with what lies wet together. */
export function wetStations(
  recipe: Recipe,
  setup: Setup,
): (Station & { plate: string; readonly wetGroup: number })[] {
  let wetGroup = 0;
  const groups = setup.order.flatMap((step) => {
    if (step === "flash") wetGroup++;
    return typeof step === "string" ? [] : [wetGroup];
  });
  return printStations(recipe, setup).map((station, i) => ({ ...station, wetGroup: groups[i]! }));
}

function processPlan({ process }: Recipe): ProcessPlan | undefined {
  if (!process) return undefined;
  const { cyan, magenta, yellow, black, blackGeneration } = process;
  return {
    chromatic: [cyan, magenta, yellow],
    black,
    blackGeneration: blackGeneration.map(([grey, tone]) => [grey / 100, tone / 100] as const) satisfies Curve,
  };
}

function isFound({ extract, strength }: Plate): boolean {
  return extract.solve !== undefined || strength === "match";
}

const RANGES = ["lightness", "chroma", "hue", "opacity"] as const;

/** A plate from a file. A film's tones become those that it prints, as far as its film would be compensated. */
function givenExtraction(plate: Plate, { screened }: GivenPlate, recipe: Recipe): Extraction {
  const { compensate, gain } = plate.screening;
  const table = gainOf(recipe.inks.get(plate.ink)!.gain ?? gain);
  const printed = table && screened && compensate ? printedTone(table) : undefined;
  return {
    by: "given",
    film: screened,
    tones: printed && Array.from({ length: 256 }, (_, tone) => Math.round(255 * printed(tone / 255))),
  };
}

/** What the artwork is made of where plates from files are all that there is: the first setup on its first garment. */
function composite(recipe: Recipe): CompositePlan | undefined {
  const [setup] = recipe.setups.values();
  const garment = setup?.garments[0];
  if (recipe.artwork.madeOf === undefined || !setup || garment === undefined) return undefined;
  return { conditions: printConditions(recipe, setup, garment), stations: printStations(recipe, setup) };
}

/** One extraction of a recipe that is free of errors. */
export function extraction(e: Formats.Extraction): Extraction {
  const fade = (key: (typeof RANGES)[number] | "near") =>
    (typeof e.fade === "number" ? e.fade : e.fade?.[key]) ?? 0;
  const parts: Extraction[] = [];
  if (e.plate !== undefined) return { by: "given", tones: undefined, film: e.screened ?? false };
  // A solved plate may print wherever the rest lets it.
  if ((e.solve || e.index) && Object.keys(e).length === 1) return { by: "artwork" };
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

function strength({ name, strength: by, ink, extract }: Plate, recipe: Recipe): Strength {
  if (extract.solve) return { by: "solve" };
  if (extract.index)
    return { by: "index", colour: indexedPlates(recipe).findIndex((plate) => plate.name === name) + 1 };
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
