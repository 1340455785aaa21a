import type { Difference } from "../../server/engine/print/difference.ts";
import type { WorstPlace } from "./pixels/worst-places.ts";

/** Of the large picture that was painted last, as the store's event "painted" tells it. */
export interface Painted {
  readonly edition: number;
  /** ΔE00, where the picture is about differences. */
  readonly difference: Difference | undefined;
  /** Where its scale ends. */
  readonly end: number;
  readonly worst: readonly WorstPlace[];
}
