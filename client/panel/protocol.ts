/** What the page and its host say to each other. Both sides import this file, and nothing else of one another. */
import type {
  LeftOver,
  PanelEdit,
  PanelPlace,
  PreviewResult,
  PrintPoint,
  ProofView,
  Reason,
  WayOut,
  WirePath,
} from "../../server/wire/panel.ts";
import type { Crop } from "../../server/wire/preview.ts";

/** What is written of a recipe as it stands on disk. */
export const OUTPUTS = ["films", "ticket", "plates", "inksTiff", "compositePdf", "reviewPage"] as const;
export type Output = (typeof OUTPUTS)[number];

/** What the page tells the extension. */
export type FromPage =
  /** The page has started and holds nothing. */
  | { readonly kind: "ready" }
  /** What it wants besides the picture of the text. */
  | { readonly kind: "want"; readonly committed: boolean; readonly crop?: Crop }
  | { readonly kind: "edit"; readonly edit: PanelEdit }
  /** Show the picture as if this were written; without an edit, as the text is. */
  | { readonly kind: "try"; readonly edit?: PanelEdit }
  | { readonly kind: "reveal"; readonly path: WirePath }
  /** A line of the shop file, from 1. */
  | { readonly kind: "revealShop"; readonly line: number }
  | { readonly kind: "why"; readonly plate: string; readonly point: PrintPoint }
  /** What keeps the prints from being nearer to the artwork? */
  | { readonly kind: "left" }
  /** Write what goes to the press: the editor asks for the rest. */
  | { readonly kind: "output"; readonly what: Output }
  | { readonly kind: "go"; readonly way: WayOut }
  | { readonly kind: "saveProof"; readonly shown: ProofView }
  | { readonly kind: "saveSheet"; readonly png: Uint8Array };

/** What the extension tells the page. */
export type ToPage =
  | { readonly kind: "preview"; readonly result: PreviewResult<Uint8Array> }
  | { readonly kind: "committed"; readonly result: PreviewResult<Uint8Array> }
  | { readonly kind: "crop"; readonly crop: Crop; readonly result: PreviewResult<Uint8Array> }
  /** Where the cursor stands in the text. */
  | { readonly kind: "place"; readonly place: PanelPlace }
  | { readonly kind: "why"; readonly plate: string; readonly reasons: readonly Reason[] }
  | { readonly kind: "left"; readonly left: LeftOver }
  /** Show this garment. */
  | { readonly kind: "show"; readonly garment: string }
  /** Save what is shown, as if the page's button had been pressed. */
  | { readonly kind: "save"; readonly what: "proof" | "sheet" }
  | { readonly kind: "said"; readonly text: string };
