import type { JobFiles } from "../jobs/open.ts";
import type { OnProgress } from "../render/progress.ts";
import type { GarmentColour } from "./job.ts";

export const STYLES = ["ranges", "solve", "index"] as const;
export type Style = (typeof STYLES)[number];

/** What a recipe is asked for. */
export interface ProposalRequest {
  /** The artwork's path, to be read. */
  readonly artworkFile: string;
  /** Where the recipe will stand; paths in it go from there. Nothing is written. */
  readonly recipeFile: string;
  readonly shopFile: string | undefined;
  /** At least one. */
  readonly garments: readonly GarmentColour[];
  /** Most plates beside the underbase; undefined for as many as are worth it. */
  readonly plates: number | undefined;
  /** Undefined for ranges in flat art and solved plates in all other. */
  readonly style: Style | undefined;
  /** Undefined for what press and artwork allow, 12 in at most. */
  readonly widthMm: number | undefined;
  /** Whether inks may be mixed where the shop has a shelf. */
  readonly freeInks: boolean;
  readonly files: JobFiles;
  readonly onProgress: OnProgress;
}

/** A request that cannot be served, with the one line to say so. */
export class ProposalError extends Error {
  constructor(message: string) {
    super(message);
    this.name = "ProposalError";
  }
}
