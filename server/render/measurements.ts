/** What the pixels say about a recipe, from a picture of preview size. */
export interface Measurements {
  /** Effective resolution of the artwork at its printed width; undefined for drawings, which have any. */
  readonly artworkPpi: number | undefined;
  readonly plates: ReadonlyMap<string, PlateMeasurement>;
  /** Plates that are spread under others that they touch; undefined where the recipe traps no neighbours. */
  readonly trapped?: readonly TrappedPair[];
}

export interface TrappedPair {
  readonly plate: string;
  readonly under: string;
  readonly trapMm: number;
  /** Length of their common edge. */
  readonly lengthMm: number;
}

export interface PlateMeasurement {
  /** Mean tone over the whole print, 0–1. */
  readonly coverage: number;
  /** Share of the print in each tenth of the tone scale, from 0–10 % to 90–100 %; clear pixels are left out. */
  readonly histogram: readonly number[];
  /** A small picture of the plate, black = full ink, as a data URI. */
  readonly thumbnail: string;
}
