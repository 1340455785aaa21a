import type { Curve } from "./adjust/curve.ts";
import type { Lab, LinearRgb } from "./colour/cielab.ts";
import type { PrintConditions, Station } from "./print/model.ts";

/** What the engine needs to know of a recipe to make its plates: names resolved, one unit for each quantity. */
export interface SeparationPlan {
  /** What is done to the whole picture before plates see it; undefined for nothing. */
  readonly preparation?: PreparationPlan | undefined;
  /** What prints all plates from files, where the artwork is what they print. */
  readonly composite?: CompositePlan | undefined;
  /** In the recipe's order; names are unique. */
  readonly plates: readonly PlatePlan[];
  /** In the recipe's order, which counts. */
  readonly adjustments: readonly AdjustmentPlan[];
  /** Free of cycles; each plate is folded at most once. */
  readonly merges: readonly { readonly fold: string; readonly into: string }[];
  /** Those of one plate are multiplied in this order, which rounding may tell. */
  readonly knockouts: readonly KnockoutPlan[];
  /** At most one a plate that is not under others. */
  readonly traps: readonly TrapPlan[];
  /** The thinnest line and gap that a plate's screen holds; at most one entry a plate, none lets all through. */
  readonly thinnest?: readonly ThinnestPlan[];
  /** Smallest printable dot, as tone 0–1; 0 lets every tone through. */
  readonly smallestDot: number;
  /** The print that solved and matched plates are made for; needed where a plate is either. */
  readonly solving?: Solving | undefined;
}

/** Before stage 1, on the whole picture: a background that is cut out, areas of flat colours. */
export interface PreparationPlan {
  readonly background?: BackgroundPlan | undefined;
  readonly flat?: FlatPlan | undefined;
  /** Steps of a byte up to which pixels beside one another are averaged; undefined for none. */
  readonly smooth?: number | undefined;
  /** The inks of an index separation. */
  readonly index?: IndexPlan | undefined;
}

/** Squares of which each carries one ink of a set, or none. */
export interface IndexPlan {
  /** Squares over the width of the whole picture. */
  readonly across: number;
  /** What a square looks like in print: without any ink of the set, and with each of them. Not clipped. */
  readonly colours: readonly LinearRgb[];
  readonly dither: "diffusion" | "blue-noise";
}

/** A print that a picture is made of. */
export interface CompositePlan {
  readonly conditions: PrintConditions;
  readonly stations: readonly (Station & { readonly plate: string })[];
}

export interface BackgroundPlan {
  /** 8-bit sRGB. */
  readonly rgb: readonly [number, number, number];
  /** ΔE00; in flat art its area decides. */
  readonly within: number;
  /** What becomes of its colour inside of the drawing; `counters-cut` keeps all but the counters of letters. */
  readonly enclosed: "kept" | "cut" | "counters-cut";
}

export interface FlatPlan {
  /** 8-bit sRGB. */
  readonly colours: readonly (readonly [number, number, number])[];
  /** Pieces of less than this square go to the area around them, in millimetres. */
  readonly speckMm: number;
}

/**
 * The print that tones are found for. All solved plates depend on one another and on everything here: on every ink
 * of the print, its garment, its gain, on merges and knockouts, and on the hand-made plates that print with them.
 */
export interface Solving extends SolvedPrint {
  /** Prints of the same plates on other garments, and how much each counts against this one, which counts 1. */
  readonly also?: readonly (SolvedPrint & { readonly weight: number })[] | undefined;
  /** Most ink that lies wet at once, as a sum of tones: 2.4 = 240 %. */
  readonly wetInk: number;
  /** How firmly neighbouring colours hold one another's tones; 1 is usual, 0 lets every colour go its own way. */
  readonly smoothness: number;
  /** How much it matters that few halftones lie upon one another; 1 is usual, 0 not at all. */
  readonly halftonePrice: number;
  /** How much of the grey in a colour the black plate takes over; undefined where black is solved as any other plate. */
  readonly process?: ProcessPlan | undefined;
  /** Whether the plates print on this garment alone, so that soft edges may be solved as they look on it. */
  readonly onlyGarment: boolean;
}

/** A print on a garment that is solved for. */
export interface SolvedPrint {
  readonly conditions: PrintConditions;
  /** What prints, in order. */
  readonly stations: readonly SolvingStation[];
}

/** Process colour: black generation. The plates are solved, by name. */
export interface ProcessPlan {
  /** Cyan, magenta and yellow. */
  readonly chromatic: readonly [string, string, string];
  readonly black: string;
  /** Tone of black for each grey component: the least of the three tones that print a colour without black; both 0–1. */
  readonly blackGeneration: Curve;
}

/** A station of the print that is solved for. */
export interface SolvingStation extends Station {
  readonly plate: string;
  readonly underbase: boolean;
  /** Stations of one number print wet-on-wet; a flash begins the next. */
  readonly wetGroup: number;
}

/** How a plate is extracted; its name is unique. */
export interface PlatePlan {
  readonly name: string;
  readonly extract: Extraction;
  readonly strength: Strength;
}

/** Which parts of the artwork a plate takes; membership 0–1 of a colour. */
export type Extraction =
  | {
      /** L* 0–100, C*ab, hab in degrees (from > to wraps), or the artwork's opacity 0–100. */
      readonly by: "lightness" | "chroma" | "hue" | "opacity";
      readonly from: number;
      readonly to: number;
      /** Fades to nothing this far beyond each end, in the same unit. */
      readonly fade: number;
    }
  | { readonly by: "near"; readonly colour: Lab; readonly within: number; readonly fade: number }
  | { readonly by: "artwork" }
  /** Not of the artwork: tones that the picture carries under the plate's name (`Picture.given`). */
  | {
      readonly by: "given";
      /** The plate's tone for each of them, 256 numbers; undefined where it is the same. */
      readonly tones: readonly number[] | undefined;
      /** A film, which no stage changes. */
      readonly film: boolean;
    }
  | { readonly by: "all" | "any"; readonly of: readonly Extraction[] }
  | { readonly by: "except"; readonly of: Extraction };

/** How membership becomes tone. */
export type Strength =
  | { readonly by: "flat" | "lightness" | "darkness" }
  /** Full tone where the artwork's C*ab reaches this one, the ink's. */
  | { readonly by: "chroma"; readonly full: number }
  /** Tones 0–1 over the artwork's L* and C*ab, multiplied; at least one of the two. */
  | { readonly by: "curves"; readonly lightness?: Curve | undefined; readonly chroma?: Curve | undefined }
  /** The tone of this ink, alone on its underbase, that comes nearest to the artwork. */
  | { readonly by: "match" }
  /** Solved together with all other plates that are; membership is the most that it may reach. */
  | { readonly by: "solve" }
  /** Solid in the squares that carry this colour of the preparation's index. */
  | { readonly by: "index"; readonly colour: number };

/** A curve on one plate, everywhere without a region. */
export interface AdjustmentPlan {
  readonly plate: string;
  readonly curve: Curve;
  readonly region: Region | undefined;
}

/** In millimetres from the artwork's left and top edge; the edge fades over `feather`, half of it on each side. */
export type Region = { readonly feather: number } & (
  | { readonly shape: "polygon"; readonly points: readonly Point[] }
  | { readonly shape: "rectangle"; readonly from: Point; readonly to: Point }
  | { readonly shape: "ellipse"; readonly centre: Point; readonly radii: Point }
);
/** Millimetres from the artwork's left and top edge. */
export type Point = readonly [x: number, y: number];

/** Ink taken out of `from` where `where` prints, inside of its edge by `choke`. */
export interface KnockoutPlan {
  readonly from: string;
  readonly where: string;
  /** Tone of `where`, 0–1, up to which nothing is taken out; at full tone all is, between them evenly. 0 if left out. */
  readonly above?: number;
  /** Millimetres. */
  readonly choke: number;
}

/** Millimetres; 0 lets every line or gap through. */
export interface ThinnestPlan {
  readonly plate: string;
  readonly line: number;
  readonly gap: number;
}

/** A plate's edge drawn in or pushed out. */
export interface TrapPlan {
  readonly plate: string;
  readonly way: "choke" | "spread";
  /** Millimetres. */
  readonly distance: number;
  /** Spread under these plates alone. */
  readonly under?: readonly string[];
  /** Of such a spread: solid edges alone, under what is solid. */
  readonly solid?: boolean;
}
