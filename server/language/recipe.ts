import type { Point, Region } from "../engine/plan.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import type { SourceDocument } from "./document.ts";
import type * as Formats from "./generated/formats.ts";
import { type Ink, InkLibrary } from "./inks.ts";
import type { GainSource } from "./readings/gain.ts";
import type { ReadingFiles } from "./readings/reading-files.ts";
import { type Colour, parseColour } from "./values/colour.ts";
import { parseLength, parsePrintLength, parsePrintPosition } from "./values/length.ts";
import { read } from "./values/parsed.ts";
import { parseInkSum, parseMargin, parsePercentage } from "./values/percentage.ts";
import { parseMeshCount, parseResolution, parseRuling, parseSquare } from "./values/screen.ts";
import { parseFabricWeight } from "./values/weight.ts";

/** A recipe with its shop's ink library applied, every name known and every quantity in one unit. */
export interface Recipe {
  readonly title: string;
  readonly artwork: ArtworkSettings;
  readonly garments: ReadonlyMap<string, Garment>;
  readonly inks: ReadonlyMap<string, Ink>;
  /** In the order of the file. */
  readonly plates: ReadonlyMap<string, Plate>;
  readonly adjustments: readonly Adjustment[];
  readonly merges: readonly { readonly fold: string; readonly into: string }[];
  readonly knockouts: readonly Knockout[];
  readonly traps: readonly Trap[];
  /** How far plates spread under darker ones that they touch; undefined where the recipe does not ask for it. */
  readonly neighbours: { readonly distanceMm: number; readonly index: number } | undefined;
  readonly screening: Screening;
  readonly solve: SolveSettings;
  readonly process: ProcessColour | undefined;
  readonly index: IndexSettings;
  readonly setups: ReadonlyMap<string, Setup>;
  readonly press: Press | undefined;
  readonly meshes: ReadonlyMap<string, Mesh>;
  /** Width of the film device's roll. */
  readonly rollMm: number | undefined;
  readonly inkUse: InkUse;
  /** Days after which the shop takes measured figures for old. */
  readonly calibrationDays: number | undefined;
  /** The shop's notes for the press, by purpose of a plate or by step. */
  readonly pressNotes: Readonly<Partial<Record<Purpose | "flash" | "cool-down", string>>>;
}

export interface ArtworkSettings {
  /** Of artwork that is made of plates, the file of the first of them. */
  readonly file: string;
  /** The plate whose file gives the print its size, where the artwork is what plates from files print. */
  readonly madeOf: string | undefined;
  /** Printed width of the whole file: what the recipe says, and the margins that do not count in it. */
  readonly widthMm: number;
  /** Page of a PDF, where one is chosen. */
  readonly view: { readonly page: number } | undefined;
  /** Shares of the file's width and height around what prints. */
  readonly margins: Readonly<Record<"left" | "top" | "right" | "bottom", number>>;
  /** The page that is cut out of it. */
  readonly background: Background | undefined;
  /** Steps of 255 up to which neighbouring pixels are averaged; undefined for none. */
  readonly smooth: number | undefined;
  /** Colours and smallest pieces of flat art. */
  readonly flat: { readonly colours: readonly Colour[]; readonly speckMm: number } | undefined;
}

export interface Background {
  readonly colour: Colour;
  /** ΔE00. */
  readonly within: number;
  readonly enclosed: NonNullable<Formats.Background["enclosed"]>;
}

export interface Garment {
  readonly colour: Colour;
  readonly fabric: Fabric | undefined;
  /** g/m². */
  readonly weight: number | undefined;
  /** What a discharge ink leaves of its colour; undefined where it keeps it. */
  readonly discharged: Colour | undefined;
}

export type Fabric = NonNullable<Formats.Garment["fabric"]>;

export type Purpose = NonNullable<Formats.Plate["purpose"]>;
export type Strength = NonNullable<Formats.Plate["strength"]>;
export type DotShape = Formats.Dot;

export interface Plate {
  readonly name: string;
  readonly ink: string;
  readonly purpose: Purpose;
  readonly extract: Formats.Extraction;
  /** Where it comes from a file, that. */
  readonly given: GivenPlate | undefined;
  readonly strength: Strength;
  /** Name of its mesh; undefined where neither recipe nor shop says. */
  readonly mesh: string | undefined;
  /** Strokes of the squeegee. */
  readonly hits: number;
  /** The recipe's, with what the plate says otherwise. */
  readonly screening: Screening;
}

/** A plate that somebody else made. */
export interface GivenPlate {
  readonly file: string;
  /** From 1. */
  readonly page: number | undefined;
  /** From 1. */
  readonly channel: number | undefined;
  readonly colorant: string | undefined;
  readonly solid: "black" | "white" | undefined;
  /** A film: it is not screened again. */
  readonly screened: boolean;
}

export interface Adjustment {
  readonly plate: string;
  /** Percent in, percent out. */
  readonly curve: readonly (readonly [number, number])[];
  readonly region: Region | undefined;
  readonly lesson?: Lesson | undefined;
}

/** What a test print taught: why an entry says what it says. */
export type Lesson = Readonly<Formats.Lesson>;

export interface Knockout {
  readonly from: string;
  readonly where: string;
  /** Tone of `where`, 0–1, above which ink is taken out. */
  readonly above: number;
  readonly chokeMm: number;
}

export interface Trap {
  /** Its place in the recipe's list. */
  readonly index: number;
  readonly plate: string;
  readonly way: "choke" | "spread";
  readonly distanceMm: number;
  /** The plate that it is spread under; undefined where everywhere. */
  readonly under: string | undefined;
}

export interface Screening {
  readonly rulingLpi: number;
  readonly angle: number;
  readonly dot: DotShape;
  /** `index` for plates that are indexed: squares, of which a grain is one. */
  readonly method: "am" | "fm" | "diffusion" | "index";
  readonly grainMm: number;
  /** Of an indexed plate: squares over the artwork's whole width, and how far each of their sides moves out on film. */
  readonly squares: { readonly across: number; readonly growMm: number } | undefined;
  readonly filmDpi: number;
  /** Tone 0–1. */
  readonly smallestDot: number;
  /** Across; undefined where it follows from the smallest dot or the grain. */
  readonly smallestMarkMm: number | undefined;
  /** Across; undefined where they follow from the plate's mesh. */
  readonly smallestLineMm: number | undefined;
  readonly smallestGapMm: number | undefined;
  /** How tones grow, for inks without a table or wedge of their own. */
  readonly gain: GainSource | undefined;
  /** Whether films are compensated for it. */
  readonly compensate: boolean;
  /** Where the gain comes from. */
  readonly lesson?: Lesson | undefined;
}

/** Plates of process colours, by name. */
export interface ProcessColour {
  readonly cyan: string;
  readonly magenta: string;
  readonly yellow: string;
  readonly black: string;
  /** Percent of grey component in, percent of black out. */
  readonly blackGeneration: readonly (readonly [number, number])[];
}

/** How plates that are indexed share the print. */
export interface IndexSettings {
  /** Side of a square. */
  readonly squareMm: number;
  /** Squares over the artwork's whole width. */
  readonly across: number;
  readonly growMm: number;
  readonly dither: "diffusion" | "blue-noise";
}

/** What plates are solved and matched for. */
export interface SolveSettings {
  /** Garments and how much each counts; undefined for the first garment of the first setup. */
  readonly garments: ReadonlyMap<string, number> | undefined;
  /** Most ink that lies wet at once: a sum of tones 0–1. */
  readonly wetInk: number;
  readonly smoothness: number;
  /** How much it matters that few halftones lie upon one another. */
  readonly halftonePrice: number;
}

export interface Setup {
  readonly garments: readonly string[];
  readonly order: readonly Step[];
  /** Yule–Nielsen's n. */
  readonly yuleNielsen: number;
}

/** What happens at one station. */
export type Step = { readonly plate: string } | "flash" | "cool-down";

export interface Press {
  readonly stations: number;
  readonly flashes: number;
  /** Largest print. */
  readonly areaMm: Size | undefined;
  /** Largest image on a screen. */
  readonly screenMm: Size | undefined;
  readonly misregistrationMm: number;
  /** Plates printed one upon another before a flash. */
  readonly wetLayers: number;
  /** Where the dark plate prints on light garments. */
  readonly darkPlate: "first" | "last";
}

/** Shares of the mesh's theoretical volume that reach the garment, and of what is delivered that is lost besides. */
export interface InkUse {
  readonly transfer: number;
  readonly spoilage: number;
}

export interface Size {
  readonly width: number;
  readonly height: number;
}

export interface Mesh {
  /** Threads per inch. */
  readonly count: number;
  readonly threadMm: number | undefined;
  readonly openingMm: number | undefined;
  readonly thicknessMm: number | undefined;
}

/** Used where the shop does not say. Common practice, no source: no press maker's figure for cloth was found. */
export const DEFAULT_MISREGISTRATION_MM = 0.2;
export const DEFAULT_WET_LAYERS = 8;

/** Used where the shop does not say: the whole theoretical volume, so that no ink is missing. Common practice, no source. */
export const DEFAULT_INK_USE = { transfer: "100%", spoilage: "3%" } as const satisfies Formats.InkUse;

/** Used where neither recipe nor shop says otherwise. Common practice, no source. */
export const DEFAULT_SCREENING = {
  ruling: "45 lpi",
  angle: 22.5,
  dot: "round",
  method: "am",
  grain: "0.12 mm",
  film: "1200 dpi",
  "smallest-dot": "3%",
} as const satisfies Formats.Screening;

/** Light tints without black, deep shades with as much as they take. Common practice, no source. */
const DEFAULT_BLACK_GENERATION = [
  [0, 0],
  [20, 0],
  [100, 100],
] as const;

/** Where the recipe does not say otherwise. Common practice, no source. */
export const DEFAULT_BACKGROUND = { within: 4, enclosed: "kept" } as const;
export const DEFAULT_SPECKS = "0.2 mm";
export const DEFAULT_SOLVING = {
  "wet-ink": "300%",
  smoothness: 1,
  "halftone-price": 1,
} as const satisfies Formats.Solving;

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
    meshes: mapValues(shop?.meshes ?? {}, (mesh) => ({
      count: read(parseMeshCount(mesh.count)),
      threadMm: optionalLength(mesh.thread),
      openingMm: optionalLength(mesh.opening),
      thicknessMm: optionalLength(mesh.thickness),
    })),
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

function resolveInkUse(use: Formats.InkUse | undefined): InkUse {
  const { transfer, spoilage } = { ...DEFAULT_INK_USE, ...use };
  return { transfer: read(parsePercentage(transfer)), spoilage: read(parsePercentage(spoilage)) };
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

/** How a shop's jobs are screened where they say nothing else. The document must be free of errors. */
export function shopScreening(shop: Formats.Shop): Omit<Screening, "gain"> {
  return resolveScreening({ ...DEFAULT_SCREENING, ...shop.screening });
}

/** The shop's press, where it says one. */
export function shopPress({ press }: Formats.Shop): Press | undefined {
  return press && resolvePress(press);
}

type UsualScreening = Required<Pick<Formats.Screening, keyof typeof DEFAULT_SCREENING>> & Formats.Screening;

function resolveScreening(screening: UsualScreening): Omit<Screening, "gain"> {
  return {
    compensate: screening.compensate ?? true,
    rulingLpi: read(parseRuling(screening.ruling)),
    angle: screening.angle,
    dot: screening.dot,
    method: screening.method,
    grainMm: read(parseLength(screening.grain)),
    squares: undefined,
    filmDpi: read(parseResolution(screening.film)),
    smallestDot: read(parsePercentage(screening["smallest-dot"])),
    smallestMarkMm: optionalLength(screening["smallest-mark"]),
    smallestLineMm: optionalLength(screening["smallest-line"]),
    smallestGapMm: optionalLength(screening["smallest-gap"]),
  };
}

function resolvePress(press: Formats.Press): Press {
  return {
    stations: press.stations,
    flashes: press.flashes ?? 0,
    areaMm: press.area && resolveSize(press.area),
    screenMm: press.screen && resolveSize(press.screen),
    misregistrationMm: optionalLength(press.misregistration) ?? DEFAULT_MISREGISTRATION_MM,
    wetLayers: press["wet-layers"] ?? DEFAULT_WET_LAYERS,
    darkPlate: press["dark-plate"] ?? "first",
  };
}

function resolveSize({ width, height }: Formats.Size): Size {
  return { width: read(parseLength(width)), height: read(parseLength(height)) };
}

function optionalLength(text: string | undefined): number | undefined {
  return text === undefined ? undefined : read(parseLength(text));
}

function mapValues<T, U>(
  record: Readonly<Record<string, T>>,
  change: (value: T, key: string) => U,
): Map<string, U> {
  return new Map(Object.entries(record).map(([key, value]) => [key, change(value, key)]));
}
