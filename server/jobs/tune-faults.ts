import { specksOf } from "../engine/inspect/specks.ts";
import type { Review } from "../output/review/review.ts";
import type { Print } from "../render/print.ts";

/** Something that a recipe must not come to, and the plate that it comes from, where one does. */
export interface Fault {
  readonly plate: string | undefined;
  readonly text: string;
}

/** A garment's mean that reads the same. */
const SAME = 0.005;
/** What is left of a plate's ink where it is emptied. */
const EMPTIED = 0.3;
/** Pieces smaller than this, in mm², are specks; so many more than before are too many. */
const SPECK_MM2 = 1;
const MORE_SPECKS = { share: 1.5, more: 50 };
/** Names the largest of the colours that print far off: others, once those come nearer. The garments' figures count them all. */
const MEASURED = "missed-colour";

/** What a print's plates are held against: their ink, and their specks, counted where they are asked for. */
export class PlateMarks {
  readonly #print: Print;
  readonly #specks = new Map<string, number>();

  constructor(print: Print) {
    this.#print = print;
  }

  /** Plates that in `after` are all but emptied, or full of specks. */
  faults(after: Print): Fault[] {
    const { plates } = this.#print;
    return [...after.plates.values()].flatMap(({ name: plate, histogram }): Fault[] => {
      const was = plates.get(plate);
      // As many pixels of each tone: the plate was not touched.
      if (!was || was.histogram.every((pixels, tone) => pixels === histogram[tone])) return [];
      if (inkOf(histogram) < EMPTIED * inkOf(was.histogram))
        return [{ plate, text: `${plate} would hardly print` }];
      const [few, many] = [this.#specksOf(plate), specksIn(after, plate)];
      if (many <= few * MORE_SPECKS.share + MORE_SPECKS.more) return [];
      return [{ plate, text: `${plate} would print ${many} specks in place of ${few}` }];
    });
  }

  #specksOf(plate: string): number {
    const known = this.#specks.get(plate) ?? specksIn(this.#print, plate);
    this.#specks.set(plate, known);
    return known;
  }
}

/** Findings that were not there before. */
export function newFindings({ findings, figures }: Review): Fault[] {
  if (!figures) return [{ plate: undefined, text: "the moved recipe cannot be made" }];
  return findings.come.flatMap(({ path, message, rule }): Fault[] => {
    if (rule === MEASURED) return [];
    const plate = path[0] === "plates" ? String(path[1]) : undefined;
    return [{ plate, text: `${message} [${rule}]` }];
  });
}

/** Garments whose proof is further off. */
export function garmentFaults({ figures }: Review): Fault[] {
  return (figures?.garments ?? []).flatMap(({ garment, before: was, after: is }): Fault[] =>
    was && is && is.mean > was.mean + SAME
      ? [
          {
            plate: undefined,
            text: `${garment} would be further off, ΔE00 ${was.mean.toFixed(2)} → ${is.mean.toFixed(2)}`,
          },
        ]
      : [],
  );
}

function inkOf(histogram: Uint32Array): number {
  return histogram.reduce((sum, pixels, tone) => sum + pixels * tone, 0);
}

function specksIn(print: Print, plate: string): number {
  return specksOf(print.plates.get(plate)!.tones, print.picture, SPECK_MM2 / print.pixelMm ** 2);
}
