/** What a proof panel asks of the language server, and what that answers. */
import type { Lab } from "../engine/colour/cielab.ts";
import type { Region } from "../engine/plan.ts";
import type { DotGain } from "../engine/print/gain.ts";
import type { InkFilm } from "../engine/print/ink-film.ts";
import type { Screening } from "../engine/screen/halftone.ts";
import type { LengthUnit } from "../engine/units.ts";
import type { Crop, PictureKeys, Preview } from "./preview.ts";

/** A place in the recipe's structure. */
export type WirePath = readonly (string | number)[];

/** A recipe as the panel shows it; only of recipes that are free of errors. */
export interface PanelJob {
  readonly title: string;
  readonly widthMm: number;
  /** That of the recipe's width, in which all is told. */
  readonly unit: LengthUnit;
  readonly garments: readonly JobGarment[];
  /** In the recipe's order, folded ones included. */
  readonly plates: readonly JobPlate[];
  readonly inks: readonly JobInk[];
  readonly setups: readonly JobSetup[];
  /** Whether films are compensated for dot gain, and their smallest dot, tone 0–1. */
  readonly compensated: boolean;
  readonly smallestDot: number;
  /** Largest distance between two plates in print. */
  readonly misregistrationMm: number;
  readonly filmDpi: number;
  /** Inks that stand in a shop file that was not read: their plates are seen as films alone. */
  readonly unknownInks: readonly string[];
  /** What is cut out before all plates; undefined where nothing is. */
  readonly background?: { readonly hex: string; readonly enclosed: Enclosed };
  /** The entries of `adjust` that have a region. */
  readonly regions: readonly JobRegion[];
}

/** What is printed on. */
export interface JobGarment {
  readonly name: string;
  readonly colour: Lab;
  /** The nearest colour of sRGB, #rrggbb. */
  readonly hex: string;
}

/** A plate, with or without a screen of its own. */
export interface JobPlate {
  readonly name: string;
  readonly ink: string;
  readonly purpose: string;
  /** The plate that carries this one on its screen. */
  readonly foldedInto?: string;
  readonly screening: Screening;
  /** Threads to the inch of its mesh, where that is known. */
  readonly meshCount?: number;
  /** Film tone 0–1 of each plate tone 0–255, where films are compensated. */
  readonly film?: readonly number[];
}

/** An ink that a plate prints. */
export interface JobInk {
  readonly name: string;
  readonly colour: Lab;
  readonly hex: string;
  /** Contrast ratio 0–1. */
  readonly opacity: number;
  /** What the print model knows it by. */
  readonly film: InkFilm;
}

/** One order of stations, and the garments that it prints on. */
export interface JobSetup {
  readonly name: string;
  readonly garments: readonly string[];
  readonly order: readonly JobStep[];
  /** Yule–Nielsen's n. */
  readonly n: number;
  /** How the tones of its plates grow, by plate, where that was measured. */
  readonly gains: Readonly<Record<string, DotGain>>;
}

/** What happens at one station. */
export type JobStep = { readonly plate: string } | "flash" | "cool-down";

/** A part of the print in which a plate is adjusted. */
export interface JobRegion {
  /** Entry of `adjust`. */
  readonly entry: number;
  readonly plate: string;
  readonly region: Region;
}

/** A finding as the panel shows it. */
export interface PanelFinding {
  readonly level: "error" | "warning" | "note";
  readonly message: string;
  readonly path: WirePath;
  /** From 1. */
  readonly line: number;
  /** The finding's characters stand in the shop file. */
  readonly inShop: boolean;
  /** Plates that it is about. */
  readonly plates: readonly string[];
  /** What can be done about it besides changing the text. */
  readonly ways?: readonly WayOut[];
}

/** Ways out of what keeps a picture from being shown; the editor knows how to go them. */
export const WAYS_OUT = [
  "readShop",
  "addShopFolder",
  "chooseShop",
  "readArtwork",
  "addArtworkFolder",
  "chooseArtwork",
  "trust",
  "beginGit",
] as const;
export type WayOut = (typeof WAYS_OUT)[number];

/** What the cursor in the text stands in. */
export interface PanelPlace {
  readonly plate?: string;
  readonly garment?: string;
  readonly setup?: string;
  /** Entry of `adjust`. */
  readonly region?: number;
}

/** A place in the print, in millimetres from the artwork's left and top edge, and the artwork's colour there. */
export interface PrintPoint {
  readonly x: number;
  readonly y: number;
  readonly rgba: readonly [r: number, g: number, b: number, a: number];
}

/** A proof to be saved: a garment after some stations of a setup, with some plates left out for a look. */
export interface ProofView {
  readonly garment: string;
  readonly setup: string;
  /** Stations that have printed; undefined for all. */
  readonly stations: number | undefined;
  readonly without: readonly string[];
}

/** A place in the text that put ink, or took it, where the panel was asked. */
export interface Reason {
  readonly says: string;
  readonly path: WirePath;
  /** From 1. */
  readonly line: number;
}

/** What the panel writes into the recipe. Lengths in millimetres, colours as 8-bit sRGB. */
export type PanelEdit =
  | { readonly kind: "order"; readonly setup: string; readonly order: readonly number[] }
  /** What is cut out of the artwork as its background. */
  | {
      readonly kind: "background";
      readonly to: "none" | { readonly colour: Rgb } | { readonly enclosed: Enclosed };
    }
  /** Another file in place of the artwork or the shop file, by its path from the recipe. */
  | { readonly kind: "file"; readonly of: NamedFile; readonly path: string }
  | { readonly kind: "extract"; readonly colour: Rgb; readonly into: string | undefined }
  | { readonly kind: "ink"; readonly colour: Rgb; readonly ink: string }
  | {
      readonly kind: "adjust";
      readonly plate: string;
      readonly region: Region;
      /** Percent that 50 % becomes. */
      readonly middle: number;
    };

/** What becomes of parts of the background's colour that the drawing encloses. */
export const ENCLOSED = ["kept", "cut", "counters-cut"] as const;
export type Enclosed = (typeof ENCLOSED)[number];

/** A file that a recipe names. */
export type NamedFile = "artwork" | "shop";

/** 8-bit sRGB. */
export type Rgb = readonly [r: number, g: number, b: number];

/** Lines and UTF-16 units from 0, as LSP counts them. */
export interface PanelRange {
  readonly start: { readonly line: number; readonly character: number };
  readonly end: { readonly line: number; readonly character: number };
}

/** Changes of the text, or why there are none. */
export type PanelEditResult =
  | {
      readonly edits: readonly { readonly range: PanelRange; readonly newText: string }[];
      /** What was written, in a few words. */
      readonly did: string;
    }
  | { readonly refused: string };

/** Of the request `platewright/preview`. */
export interface PreviewParams {
  readonly uri: string;
  /** What the page holds: artwork and plates that bear these keys are not sent again. */
  readonly held: PictureKeys;
  /** Part of the print, sharper; without it the whole at preview size. */
  readonly crop?: Crop;
  /** Less, and sooner: what the text says without any picture, or few pixels unless all plates are made already. */
  readonly quick?: "job" | "lowResolution" | undefined;
  /** As if this were written into the text already. */
  readonly trial?: PanelEdit | undefined;
  /** The recipe as the last commit has it, instead of the text in the editor. */
  readonly committed?: boolean;
}

/** What is shown of a recipe: without a job where it has errors, without a picture where there is none. */
export interface PreviewResult<Bytes> {
  /** Of the text that this was made from. */
  readonly version: number;
  readonly findings: readonly PanelFinding[];
  /** Undefined where the text has errors. */
  readonly job?: PanelJob;
  readonly picture?: Preview<Bytes>;
  /** Why there is no picture, in one line, and what can be done. */
  readonly problem?: string;
  readonly ways?: readonly WayOut[];
  /** The whole name of the commit, where one was asked for. */
  readonly commit?: string;
}

/** What keeps the prints from being nearer to the artwork. */
export interface LeftOver {
  /** In what parts each garment's mean ΔE00 falls; empty where there is no saying. */
  readonly garments: readonly { readonly garment: string; readonly text: string }[];
  /** The ink or the screen more that would bring most, or why there is no saying. */
  readonly most?: string | undefined;
}
