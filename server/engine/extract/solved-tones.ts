/** Tones of plates that follow from the whole print instead of from membership alone (solve/solved-tones.ts). */
export interface SolvedTones {
  /** Whether plate `p` has its tone from here. */
  readonly solves: (p: number) => boolean;
  /**
   * Writes the tone 0–1 of every such plate to `out[p]`, for an 8-bit sRGB colour of opacity `alpha`, 1–255. What
   * comes is final: the artwork's opacity is in it.
   */
  write(r: number, g: number, b: number, alpha: number, out: Float64Array): void;
  /** Memory that it holds, about. */
  readonly bytes: number;
}
