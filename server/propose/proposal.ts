import type { CurvePoint } from "../engine/propose/choose.ts";
import type { Style } from "./request.ts";

/** A recipe for an artwork, with what led to it. */
export interface Proposal {
  readonly text: string;
  readonly kind: "flat" | "greyscale" | "tones";
  readonly style: Style;
  readonly widthMm: number;
  /** Plates beside the underbase, and screens in all. */
  readonly plates: number;
  readonly screens: number;
  /** How near so many plates come; empty for flat art. */
  readonly curve: readonly CurvePoint[];
  /** The proof against the artwork, a garment each, at preview size. */
  readonly proofs: readonly {
    readonly garment: string;
    readonly setup: string;
    readonly mean: number;
    readonly p95: number;
  }[];
  /** What cannot be printed well, and why. */
  readonly notes: readonly string[];
}
