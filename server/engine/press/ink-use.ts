/** What one plate lays on one garment. */
export interface InkLaid {
  /** Ink on its film. */
  readonly filmCm2: number;
  /** The mesh's theoretical ink volume, cm³/m². */
  readonly volume: number;
  /** Strokes of the squeegee. */
  readonly hits: number;
  /** Share of the theoretical volume that reaches the garment, 0–1. */
  readonly transfer: number;
}

const CM2_PER_M2 = 10_000;

/**
 * Ink in cm³: film area × theoretical ink volume (mesh makers' tables) × transfer × strokes. Each stroke is taken to lay
 * as much as the first: common practice, no source.
 */
export function inkOnGarment({ filmCm2, volume, hits, transfer }: InkLaid): number {
  return (filmCm2 / CM2_PER_M2) * volume * transfer * hits;
}
