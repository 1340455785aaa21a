import type { ArtworkView } from "../artwork/artwork.ts";
import type { Within } from "../files/boundary.ts";
import type { ReadingFiles } from "../language/readings/reading-files.ts";
import type { Measurements } from "../render/measurements.ts";
import type { PlateSource } from "../render/plate-sources.ts";
import type { PreviewRequest } from "../render/preview.ts";
import type { PixelMark } from "../rules/rule.ts";
import type { ProofView } from "../wire/panel.ts";

/** What the pixels say: in numbers, and by the rules that look at them. */
export interface Measured {
  readonly measurements: Measurements;
  readonly marks: readonly PixelMark[];
  /** Why the artwork, as the recipe names it, could not be looked at. */
  readonly problem?: { readonly artwork: string | undefined; readonly message: string };
}

/** Texts of a recipe and of what it names, and the file of its artwork. */
export interface MeasureRequest {
  readonly recipe: string;
  readonly shop: string | undefined;
  readonly readings: ReadingFiles | undefined;
  readonly artworkFile: string;
  /** Files of plates, by the path that the recipe has for them. */
  readonly plateFiles?: Readonly<Record<string, string>>;
  /** How far all these may lie. */
  readonly within?: Within;
}

/** A preview with the artwork as it is on disk, or as a commit holds it. */
export interface PreviewWork extends Omit<PreviewRequest, "source"> {
  readonly artwork: {
    readonly file: string;
    readonly within?: Within;
    readonly blob?: string | undefined;
    readonly view?: ArtworkView | undefined;
    readonly plates?: readonly PlateOnWire[];
  };
}

/** A plate's file, as it is on disk, or as a commit holds it. */
export interface PlateOnWire extends Pick<PlateSource, "name" | "file" | "view"> {
  readonly blob?: string | undefined;
}

/** A proof at print size. */
export interface ProofWork extends MeasureRequest, ProofView {}

/** What the server tells the process; `id` is the server's, one a request. */
export type WorkMessage =
  | { readonly kind: "measure"; readonly id: number; readonly work: MeasureRequest }
  | { readonly kind: "preview"; readonly id: number; readonly work: PreviewWork }
  | { readonly kind: "proof"; readonly id: number; readonly work: ProofWork }
  | { readonly kind: "nearer" | "left"; readonly id: number; readonly work: MeasureRequest }
  | { readonly kind: "cancel"; readonly id: number };

/** The answer to the request of that `id`: a result, or an error in one line. */
export type WorkResult =
  | { readonly id: number; readonly result: unknown }
  | { readonly id: number; readonly error: string };
