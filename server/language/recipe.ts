import type { Point, Region } from "../engine/plan.ts";
import type { SourceDocument } from "./document.ts";
import type * as Formats from "./generated/formats.ts";
import { type Ink, InkLibrary } from "./inks.ts";
import type { GainSource } from "./readings/gain.ts";
import type { ReadingFiles } from "./readings/reading-files.ts";
import { type Colour, parseColour } from "./values/colour.ts";
import { parseLength, parsePosition } from "./values/length.ts";
import { read } from "./values/parsed.ts";
import { parseInkSum, parseMargin, parsePercentage } from "./values/percentage.ts";
import { parseMeshCount, parseResolution, parseRuling } from "./values/screen.ts";

/** A recipe with its shop's shelf applied, every name known and every quantity in one unit. */
export interface Recipe {
  readonly title: string;
  readonly artwork: ArtworkSettings;
  readonly garments: ReadonlyMap<string, Garment>;
  readonly inks: ReadonlyMap<string, Ink>;
  /** In the order of the file. */
  readonly plates: ReadonlyMap<string, Plate>;
  readonly adjustments: readonly Adjustment[];
  readonly merges: readonly { readonly fold: string; readonly into: string }[];
  readonly knockouts: readonly { readonly from: string; readonly where: string; readonly chokeMm: number }[];
  readonly traps: readonly Trap[];
  /** How far plates spread under darker ones that they touch; undefined where the recipe does not ask for it. */
  readonly neighbours: { readonly distanceMm: number; readonly index: number } | undefined;
  readonly screening: Screening;
  readonly solve: SolveSettings;
  readonly setups: ReadonlyMap<string, Setup>;
  readonly press: Press | undefined;
  readonly meshes: ReadonlyMap<string, Mesh>;
  /** Width of the film device's roll. */
  readonly rollMm: number | undefined;
  /** Days after which the shop takes measured figures for old. */
  readonly calibrationDays: number | undefined;
  /** The shop's notes for the press, by purpose of a plate or by step. */
  readonly pressNotes: Readonly<Partial<Record<Purpose | "flash" | "cool-down", string>>>;
}

export interface ArtworkSettings {
  readonly file: string;
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
}

export type Purpose = NonNullable<Formats.Plate["purpose"]>;
export type Strength = NonNullable<Formats.Plate["strength"]>;
export type DotShape = Formats.Dot;

export interface Plate {
  readonly name: string;
  readonly ink: string;
  readonly purpose: Purpose;
  readonly extract: Formats.Extraction;
  readonly strength: Strength;
  /** Name of its mesh; undefined where neither recipe nor shop says. */
  readonly mesh: string | undefined;
  /** The recipe's, with what the plate says otherwise. */
  readonly screening: Screening;
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
  readonly method: "am" | "fm" | "diffusion";
  readonly grainMm: number;
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

/** What plates are solved and matched for. */
export interface SolveSettings {
  readonly garment: string | undefined;
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
  const lesson = recipe.screening?.lesson ?? (ownGain ? undefined : shop?.screening?.lesson);
  return {
    title: recipe.title ?? "",
    artwork: resolveArtwork(recipe.artwork),
    garments: mapValues(recipe.garments, ({ colour }) => ({ colour: read(parseColour(colour)) })),
    inks: new Map([
      ...mapValues(shop?.inks ?? {}, (ink) => shopShelf!.ink(ink)),
      ...mapValues(recipe.inks ?? {}, (ink) => shelf.ink(ink)),
    ]),
    plates: mapValues(recipe.plates, (plate, name) => ({
      name,
      ink: plate.ink,
      purpose: plate.purpose ?? "colour",
      extract: plate.extract,
      strength: plate.strength ?? "flat",
      mesh: plate.mesh ?? shop?.["usual-mesh"]?.[plate.purpose ?? "colour"],
      screening: { ...resolveScreening({ ...screening, ...plate.screening }), gain },
    })),
    adjustments: (recipe.adjust ?? []).map(({ plate, curve, region, lesson }) => ({
      plate,
      curve,
      region: region && resolveRegion(region),
      lesson,
    })),
    merges: recipe.merges ?? [],
    knockouts: (recipe.knockouts ?? []).map(({ from, where, choke }) => ({
      from,
      where,
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
      garment: solving.garment,
      wetInk: read(parseInkSum(solving["wet-ink"])),
      smoothness: solving.smoothness,
      halftonePrice: solving["halftone-price"],
    },
    setups: mapValues(recipe.setups, ({ garments, order, "yule-nielsen": n }) => ({
      garments,
      order: order.map((step) => (step === "flash" || step === "cool-down" ? step : { plate: step })),
      yuleNielsen: n ?? 1,
    })),
    press: shop?.press && resolvePress(shop.press),
    rollMm: optionalLength(shop?.film?.roll),
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

function resolveNeighbours({ traps = [] }: Formats.Recipe): Recipe["neighbours"] {
  const index = traps.findIndex(({ neighbours }) => neighbours !== undefined);
  return index < 0 ? undefined : { distanceMm: read(parseLength(traps[index]!.neighbours!)), index };
}

function resolveArtwork({
  file,
  page,
  width,
  margins,
  background,
  flat,
  smooth,
}: Formats.Artwork): ArtworkSettings {
  const share = (text: string | undefined) => (text === undefined ? 0 : read(parseMargin(text)));
  const around = {
    left: share(margins?.left),
    top: share(margins?.top),
    right: share(margins?.right),
    bottom: share(margins?.bottom),
  };
  return {
    file,
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

function resolveRegion(region: Formats.Region): Region {
  const feather = optionalLength(region.feather) ?? 0;
  if (region.polygon) return { shape: "polygon", points: region.polygon.map(point), feather };
  if (region.rectangle) {
    const { from, to } = region.rectangle;
    return { shape: "rectangle", from: point(from), to: point(to), feather };
  }
  const { centre, radii } = region.ellipse!;
  return {
    shape: "ellipse",
    centre: point(centre),
    radii: [read(parseLength(radii[0])), read(parseLength(radii[1]))],
    feather,
  };
}

function point([x, y]: Formats.Point): Point {
  return [read(parsePosition(x)), read(parsePosition(y))];
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
