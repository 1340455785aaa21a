/** What the page and its host say to each other. Both sides import this file, and nothing else of one another. */
import type {
  PanelEdit,
  PanelPlace,
  PreviewAnswer,
  Reason,
  WirePath,
  WirePiece,
} from "../../server/features/panel/wire.ts";

export interface PointOnPrint {
  /** Millimetres from the artwork's left and top edge. */
  readonly x: number;
  readonly y: number;
  /** The artwork's colour there. */
  readonly rgba: readonly [r: number, g: number, b: number, a: number];
}

/** What the composite shows, for saving it at print size. */
export interface ShownProof {
  readonly garment: string;
  readonly setup: string;
  /** Stations that have printed. */
  readonly stations: number;
  readonly without: readonly string[];
}

export type FromPage =
  /** The page has started and holds nothing. */
  | { readonly kind: "ready" }
  /** What it wants besides the picture of the text. */
  | { readonly kind: "want"; readonly committed: boolean; readonly piece?: WirePiece }
  | { readonly kind: "edit"; readonly edit: PanelEdit }
  | { readonly kind: "reveal"; readonly path: WirePath }
  /** A line of the shop file, from 1. */
  | { readonly kind: "revealShop"; readonly line: number }
  | { readonly kind: "why"; readonly plate: string; readonly point: PointOnPrint }
  | { readonly kind: "saveProof"; readonly shown: ShownProof }
  | { readonly kind: "saveSheet"; readonly png: Uint8Array };

export type ToPage =
  | { readonly kind: "preview"; readonly answer: PreviewAnswer<Uint8Array> }
  | { readonly kind: "committed"; readonly answer: PreviewAnswer<Uint8Array> }
  | { readonly kind: "piece"; readonly piece: WirePiece; readonly answer: PreviewAnswer<Uint8Array> }
  /** Where the cursor stands in the text. */
  | { readonly kind: "place"; readonly place: PanelPlace }
  | { readonly kind: "why"; readonly plate: string; readonly reasons: readonly Reason[] }
  /** Show this garment. */
  | { readonly kind: "show"; readonly garment: string }
  /** Save what is shown, as if the page's button had been pressed. */
  | { readonly kind: "save"; readonly what: "proof" | "sheet" }
  | { readonly kind: "said"; readonly text: string };
