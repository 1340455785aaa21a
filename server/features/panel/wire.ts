/**
 * What the server tells a proof panel, and what it asks. Types alone, and of the engine alone, so that the page,
 * which knows neither Node nor the editor, can share them.
 */
import type { Lab } from "../../engine/colour/cielab.ts";
import type { Region } from "../../engine/plan.ts";
import type { Gain } from "../../engine/print/gain.ts";
import type { InkFilm } from "../../engine/print/ink-film.ts";
import type { Screening } from "../../engine/screen/halftone.ts";

/** A place in the recipe's structure. */
export type WirePath = readonly (string | number)[];

/** A recipe as the panel shows it; only of recipes that are free of errors. */
export interface Job {
  readonly title: string;
  readonly widthMm: number;
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
  /** The entries of `adjust` that have a region. */
  readonly regions: readonly JobRegion[];
}

export interface JobGarment {
  readonly name: string;
  readonly colour: Lab;
  /** The nearest colour of sRGB, #rrggbb. */
  readonly hex: string;
}

export interface JobPlate {
  readonly name: string;
  readonly ink: string;
  readonly purpose: string;
  /** The plate that carries this one on its screen. */
  readonly foldedInto?: string;
  readonly screening: Screening;
  /** Film tone 0–1 of each plate tone 0–255, where films are compensated. */
  readonly film?: readonly number[];
}

export interface JobInk {
  readonly name: string;
  readonly colour: Lab;
  readonly hex: string;
  /** Contrast ratio 0–1. */
  readonly opacity: number;
  /** What the print model knows it by. */
  readonly film: InkFilm;
}

export interface JobSetup {
  readonly name: string;
  readonly garments: readonly string[];
  readonly order: readonly JobStep[];
  /** Yule–Nielsen's n. */
  readonly n: number;
  /** How the tones of its plates grow, by plate, where that was measured. */
  readonly gains: Readonly<Record<string, Gain>>;
}

/** What happens at one station. */
export type JobStep = { readonly plate: string } | "flash" | "cool-down";

export interface JobRegion {
  /** Entry of `adjust`. */
  readonly entry: number;
  readonly plate: string;
  readonly region: Region;
}

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
}

/** What the cursor in the text stands in. */
export interface PanelPlace {
  readonly plate?: string;
  readonly garment?: string;
  readonly setup?: string;
  /** Entry of `adjust`. */
  readonly region?: number;
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
  | { readonly kind: "extract"; readonly colour: Rgb; readonly into: string | undefined }
  | { readonly kind: "ink"; readonly colour: Rgb; readonly ink: string }
  | {
      readonly kind: "adjust";
      readonly plate: string;
      readonly region: Region;
      /** Percent that 50 % becomes. */
      readonly middle: number;
    };
export type Rgb = readonly [r: number, g: number, b: number];

export interface PanelRange {
  readonly start: { readonly line: number; readonly character: number };
  readonly end: { readonly line: number; readonly character: number };
}

export type PanelEditAnswer =
  | {
      readonly edits: readonly { readonly range: PanelRange; readonly newText: string }[];
      /** What was written, in a few words. */
      readonly did: string;
    }
  | { readonly refused: string };

/** Artwork and plates at one size, with their `bytes` as in server/render/preview.ts. */
export interface WirePicture<Bytes> {
  readonly artwork: {
    readonly key: string;
    readonly width: number;
    readonly height: number;
    readonly ppi: number;
    readonly xMm: number;
    readonly yMm: number;
    readonly heightMm: number;
    readonly ownPpi: number | undefined;
    readonly notes: readonly string[];
    readonly bytes?: Bytes;
  };
  readonly plates: readonly {
    readonly name: string;
    readonly key: string;
    readonly figures: {
      readonly coverage: number;
      readonly filmMm: { readonly width: number; readonly height: number };
    };
    readonly bytes?: Bytes;
    readonly differsFrom?: string;
  }[];
  /** Of few pixels; a better one follows. */
  readonly glance?: true;
}

export interface PreviewQuestion {
  readonly uri: string;
  readonly held: { readonly artwork?: string | undefined; readonly plates: Readonly<Record<string, string>> };
  /** Millimetres, and pixels an inch wished for; without it the whole print at preview size. */
  readonly piece?: WirePiece;
  /** Less, and sooner: what the text says without any picture, or a picture of few pixels unless there is a better one. */
  readonly quick?: "job" | "glance" | undefined;
  /** The recipe as the last commit has it, instead of the text in the editor. */
  readonly committed?: boolean;
}

export interface WirePiece {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  readonly ppi: number;
}

export interface PreviewAnswer<Bytes> {
  /** Of the text that this was made from. */
  readonly version: number;
  readonly findings: readonly PanelFinding[];
  /** Undefined where the text has errors. */
  readonly job?: Job;
  readonly picture?: WirePicture<Bytes>;
  /** Why there is no picture, in one line. */
  readonly problem?: string;
  /** The whole name of the commit, where one was asked for. */
  readonly commit?: string;
}
