import type { Region } from "../engine/plan.ts";
import type * as Formats from "./generated/formats.ts";
import type { Ink } from "./inks.ts";
import type { GainSource } from "./readings/gain.ts";
import type { Colour } from "./values/colour.ts";

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

/** Used where the shop does not say. Common practice, no source: no press maker's figure for garment was found. */
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

/** Where the recipe does not say otherwise. Common practice, no source. */
export const DEFAULT_BACKGROUND = { within: 4, enclosed: "kept" } as const;
export const DEFAULT_SPECKS = "0.2 mm";
export const DEFAULT_SOLVING = {
  "wet-ink": "300%",
  smoothness: 1,
  "halftone-price": 1,
} as const satisfies Formats.Solving;
