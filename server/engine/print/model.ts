import type { Lab } from "../colour/cielab.ts";
import type { Tones } from "../raster.ts";

/** An ink as the print model takes it. */
export interface InkFilm {
  /** Colour of a solid print over white. */
  readonly colour: Lab;
  /** Contrast ratio 0–1, ISO 6504-3: luminance of a solid print over black ÷ over white. */
  readonly opacity: number;
}

/** One station that prints. */
export interface Impression {
  readonly ink: InkFilm;
  /** A byte a pixel, 255 = solid. */
  readonly tones: Tones;
}

/**
 * What the press is expected to give. One forward model serves proof, measurements and panel, so that they agree;
 * a better model replaces this object and nothing else.
 */
export interface PrintModel {
  /**
   * Prints the impressions, in this order, on a garment. Writes pixels `start` up to `end` as 8-bit sRGB, three
   * bytes a pixel, to `out` from its beginning.
   */
  print(garment: Lab, impressions: readonly Impression[], start: number, end: number, out: Uint8Array): void;
}
