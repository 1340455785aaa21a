import type { Point, Region } from "../engine/plan.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import type { SourceDocument } from "./document.ts";
import type * as Formats from "./generated/formats.ts";
import { InkLibrary } from "./inks.ts";
import type { ReadingFiles } from "./readings/reading-files.ts";
import {
  type ArtworkSettings,
  DEFAULT_BACKGROUND,
  DEFAULT_SCREENING,
  DEFAULT_SOLVING,
  DEFAULT_SPECKS,
  type Garment,
  type IndexSettings,
  type Recipe,
  type Trap,
} from "./recipe.ts";
import {
  optionalLength,
  resolveInkUse,
  resolveMesh,
  resolvePress,
  resolveScreening,
} from "./resolve-shop.ts";
import { parseColour } from "./values/colour.ts";
import { parseLength, parsePrintLength, parsePrintPosition } from "./values/length.ts";
import { read } from "./values/parsed.ts";
import { parseInkSum, parseMargin, parsePercentage } from "./values/percentage.ts";
import { parseMeshCount, parseSquare } from "./values/screen.ts";
import { parseFabricWeight } from "./values/weight.ts";

/** Light tints without black, deep shades with as much as they take. Common practice, no source. */
const DEFAULT_BLACK_GENERATION = [
  [0, 0],
  [20, 0],
  [100, 100],
] as const;

/**
 * The recipe that the documents mean. Both must be free of errors: where a value cannot be read, that is a
 * mistake of the caller's and thrown.
 */
export function resolveRecipe(
  recipeDoc: SourceDocument,
  shopDoc?: SourceDocument,
  readings: ReadingFiles = new Map(),
): Recipe {
  const recipe = recipeDoc.value as Formats.Recipe;
  const shop = shopDoc?.value as Formats.Shop | undefined;
  const screening = { ...DEFAULT_SCREENING, ...shop?.screening, ...recipe.screening };
  const solving = { ...DEFAULT_SOLVING, ...recipe.solve };
  const shelf = new InkLibrary(recipeDoc, readings, shop?.card);
  const shopShelf = shopDoc && new InkLibrary(shopDoc, readings, shop?.card);
  // A gain of the recipe's own goes before the shop's, whichever way each is written.
  const ownGain = shelf.gain(recipe.screening ?? {});
  const gain = ownGain ?? shopShelf?.gain(shop?.screening ?? {});
  const artwork = resolveArtwork(recipe.artwork, recipe.plates);
  const index = resolveIndex(recipe, shop, artwork.widthMm);
  const lesson = recipe.screening?.lesson ?? (ownGain ? undefined : shop?.screening?.lesson);
  return {
    title: recipe.title ?? "",
    artwork,
    garments: mapValues(recipe.garments, resolveGarment),
    inks: new Map([
      ...mapValues(shop?.inks ?? {}, (ink) => shopShelf!.ink(ink)),
      ...mapValues(recipe.inks ?? {}, (ink) => shelf.ink(ink)),
    ]),
    plates: mapValues(recipe.plates, (plate, name) => ({
      name,
      ink: plate.ink,
      purpose: plate.purpose ?? "colour",
      extract: plate.extract,
      given: givenPlate(plate.extract),
      strength: plate.strength ?? "flat",
      mesh: plate.mesh ?? shop?.["usual-mesh"]?.[plate.purpose ?? "colour"],
      hits: plate.hits ?? 1,
      screening: {
        ...resolveScreening({ ...screening, ...processAngle(recipe, name), ...plate.screening }),
        gain,
        ...(plate.extract.index
          ? { method: "index", grainMm: Number(index.squareMm.toFixed(3)), squares: index }
          : {}),
      },
    })),
    adjustments: (recipe.adjust ?? []).map(({ plate, curve, region, lesson }) => ({
      plate,
      curve,
      region: region && resolveRegion(region, artwork.widthMm),
      lesson,
    })),
    merges: recipe.merges ?? [],
    knockouts: (recipe.knockouts ?? []).map(({ from, where, above, choke }) => ({
      from,
      where,
      above: above === undefined ? 0 : read(parsePercentage(above)),
      chokeMm: choke === undefined ? 0 : read(parseLength(choke)),
    })),
    traps: (recipe.traps ?? []).flatMap(({ plate, choke, spread, under, neighbours }, index): Trap[] =>
      plate === undefined || neighbours !== undefined
        ? []
        : [
            {
              index,
              plate,
              way: choke === undefined ? "spread" : "choke",
              distanceMm: read(parseLength(choke ?? spread ?? "")),
              under,
            },
          ],
    ),
    neighbours: resolveNeighbours(recipe),
    screening: { ...resolveScreening(screening), gain, lesson },
    solve: {
      garments: solvedGarments(solving),
      wetInk: read(parseInkSum(solving["wet-ink"])),
      smoothness: solving.smoothness,
      halftonePrice: solving["halftone-price"],
    },
    process: recipe.process && {
      ...recipe.process,
      blackGeneration: recipe.process["black-generation"] ?? DEFAULT_BLACK_GENERATION,
    },
    index,
    setups: mapValues(recipe.setups, ({ garments, order, "yule-nielsen": n }) => ({
      garments,
      order: order.map((step) => (step === "flash" || step === "cool-down" ? step : { plate: step })),
      yuleNielsen: n ?? 1,
    })),
    press: shop?.press && resolvePress(shop.press),
    rollMm: optionalLength(shop?.film?.roll),
    inkUse: resolveInkUse(shop?.["ink-use"]),
    pressNotes: shop?.["press-notes"] ?? {},
    calibrationDays: shop?.["calibration-days"],
    meshes: mapValues(shop?.meshes ?? {}, resolveMesh),
  };
}

/**
 * Angles 22.5° apart, at which no two beat; of such sets this one beats least with meshes of 3.5 to 5.5 threads to a row
 * (engine/press/moire.ts). The lightest ink stands nearest to the threads.
 */
const PROCESS_ANGLES = { yellow: 5, cyan: 27.5, black: 50, magenta: 72.5 } as const;

function processAngle({ process, screening }: Formats.Recipe, plate: string): { readonly angle?: number } {
  if (!process) return {};
  const part = (Object.keys(PROCESS_ANGLES) as (keyof typeof PROCESS_ANGLES)[]).find(
    (key) => process[key] === plate,
  );
  if (part) return { angle: PROCESS_ANGLES[part] };
  // There is no fifth angle that beats with none of them: underbase and spot inks nest with yellow, which shows least.
  return screening?.angle === undefined ? { angle: PROCESS_ANGLES.yellow } : {};
}

/** Squares an inch: as many as the coarsest mesh of an indexed plate has threads for, within what shops use. */
const SQUARES = { least: 120, most: 200, usual: 150, threads: 1.5 } as const;

function solvedGarments({ garment, garments }: Formats.Solving): ReadonlyMap<string, number> | undefined {
  if (garments) return new Map(Object.entries(garments));
  return garment === undefined ? undefined : new Map([[garment, 1]]);
}

function resolveIndex(
  recipe: Formats.Recipe,
  shop: Formats.Shop | undefined,
  widthMm: number,
): IndexSettings {
  const { grid, dither = "diffusion", grow } = recipe.index ?? {};
  const squareMm = grid === undefined ? usualSquare(recipe, shop) : read(parseSquare(grid));
  const across = Math.max(1, Math.round(widthMm / squareMm));
  return { squareMm, across, growMm: optionalLength(grow) ?? 0, dither };
}

function usualSquare(recipe: Formats.Recipe, shop: Formats.Shop | undefined): number {
  const counts = Object.values(recipe.plates).flatMap(({ extract, mesh, purpose }) => {
    const name = mesh ?? shop?.["usual-mesh"]?.[purpose ?? "colour"];
    const count = name === undefined ? undefined : shop?.meshes?.[name]?.count;
    return extract.index && count !== undefined ? [read(parseMeshCount(count))] : [];
  });
  const wanted = counts.length > 0 ? Math.min(...counts) / SQUARES.threads : SQUARES.usual;
  const perInch = Math.round(Math.min(SQUARES.most, Math.max(SQUARES.least, wanted)));
  return MM_PER_INCH / perInch;
}

function resolveNeighbours({ traps = [] }: Formats.Recipe): Recipe["neighbours"] {
  const index = traps.findIndex(({ neighbours }) => neighbours !== undefined);
  return index < 0 ? undefined : { distanceMm: read(parseLength(traps[index]!.neighbours!)), index };
}

/** The file that an extraction takes a plate from. */
function givenPlate({ plate: file, page, channel, colorant, solid, screened }: Formats.Extraction) {
  return file === undefined
    ? undefined
    : { file, page, channel, colorant, solid, screened: screened ?? false };
}

function resolveArtwork(
  { file, page, width, margins, background, flat, smooth }: Formats.Artwork,
  plates: Formats.Recipe["plates"],
): ArtworkSettings {
  const madeOf = file === undefined ? Object.keys(plates)[0] : undefined;
  const share = (text: string | undefined) => (text === undefined ? 0 : read(parseMargin(text)));
  const around = {
    left: share(margins?.left),
    top: share(margins?.top),
    right: share(margins?.right),
    bottom: share(margins?.bottom),
  };
  return {
    file: file ?? plates[madeOf!]?.extract.plate ?? "",
    madeOf,
    widthMm: read(parseLength(width)) / (1 - around.left - around.right),
    view: page === undefined ? undefined : { page },
    margins: around,
    smooth,
    background: background && {
      colour: read(parseColour(background.colour)),
      within: background.within ?? DEFAULT_BACKGROUND.within,
      enclosed: background.enclosed ?? DEFAULT_BACKGROUND.enclosed,
    },
    flat: flat && {
      colours: flat.colours.map((colour) => read(parseColour(colour))),
      speckMm: read(parseLength(flat.specks ?? DEFAULT_SPECKS)),
    },
  };
}

function resolveGarment({ colour, fabric, weight, discharged }: Formats.Garment): Garment {
  return {
    colour: read(parseColour(colour)),
    fabric,
    weight: weight === undefined ? undefined : read(parseFabricWeight(weight)),
    discharged: discharged === undefined ? undefined : read(parseColour(discharged)),
  };
}

/** In a print of which the artwork, margins included, is as wide as that. */
function resolveRegion(region: Formats.Region, widthMm: number): Region {
  const point = ([x, y]: Formats.Point): Point => [
    read(parsePrintPosition(x, widthMm)),
    read(parsePrintPosition(y, widthMm)),
  ];
  const length = (text: string) => read(parsePrintLength(text, widthMm));
  const feather = region.feather === undefined ? 0 : length(region.feather);
  if (region.polygon) return { shape: "polygon", points: region.polygon.map(point), feather };
  if (region.rectangle) {
    const { from, to } = region.rectangle;
    return { shape: "rectangle", from: point(from), to: point(to), feather };
  }
  const { centre, radii } = region.ellipse!;
  return {
    shape: "ellipse",
    centre: point(centre),
    radii: [length(radii[0]), length(radii[1])],
    feather,
  };
}

function mapValues<T, U>(
  record: Readonly<Record<string, T>>,
  change: (value: T, key: string) => U,
): Map<string, U> {
  return new Map(Object.entries(record).map(([key, value]) => [key, change(value, key)]));
}
