import type { GivenPlate } from "../../language/recipe.ts";
import type { Size } from "../decoder.ts";
import type { ArtworkFormat } from "../format.ts";

/** Which plate of a file is meant, and how its greys are taken. */
export type PlateView = Omit<GivenPlate, "file">;

/** What a page of a file of plates is. */
export interface PlateFileInfo extends Size {
  readonly format: Exclude<ArtworkFormat, "svg">;
  /** Size that the file says it prints at, in mm; undefined where it does not say. */
  readonly sizeMm: Size | undefined;
  readonly pages: number;
  /** Names of its inks, in its own order; of channels without names there are none. */
  readonly colorants: readonly string[];
  readonly channels: number;
  /** Dots or lines alone, ink or none. */
  readonly oneBit: boolean;
  /** CIELAB (D50) or other colours of the colorants, as far as the file says: sRGB, 0–255 each, by name. */
  readonly looks: ReadonlyMap<string, readonly [number, number, number]>;
}

/** A page of a file of plates, its head read. */
export interface OpenPlates {
  readonly info: PlateFileInfo;
  /** Tones of some of its plates, 255 = solid ink; at `size`, or in the file's own pixels. Throws ArtworkError. */
  tones(views: readonly PlateView[], size: Size | undefined): Promise<{ size: Size; tones: Uint8Array[] }>;
}
