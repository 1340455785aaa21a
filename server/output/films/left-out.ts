import type { LostParts } from "../../engine/lost-parts.ts";
import type { Dropped } from "../../engine/screen/clean.ts";
import { counted } from "../../language/words.ts";

/** Things of one kind that are not on a film as the artwork has them, and their area. */
export interface Counted {
  readonly count: number;
  readonly mm2: number;
}

/** What the screen does not hold: under the smallest mark on film, under the thinnest line and gap on the plate. */
export interface LeftOut {
  /** Islands of ink that were left out, and holes that were filled. */
  readonly marks: Counted;
  readonly holes: Counted;
  /** Lines of solid ink that were left out, and gaps between solids that were closed. */
  readonly lines: Counted;
  readonly gaps: Counted;
}

/** What is known of films that were made. */
export interface FilmsMade {
  readonly dpi: number;
  /** Resolution of the plates that were screened. */
  readonly platePpi: number;
  /** By plate. */
  readonly leftOut: ReadonlyMap<string, LeftOut>;
}

/** What of it is known, in square millimetres; `filmMm` and `plateMm` are the sides of a pixel of either. */
export function leftOutOf(
  dropped: Dropped | undefined,
  filmMm: number,
  lost: LostParts | undefined,
  plateMm: number,
): LeftOut {
  const of = (count = 0, pixels = 0, pixelMm: number): Counted => ({
    count,
    mm2: Number((pixels * pixelMm ** 2).toFixed(2)),
  });
  return {
    marks: of(dropped?.marks, dropped?.markPixels, filmMm),
    holes: of(dropped?.holes, dropped?.holePixels, filmMm),
    lines: of(lost?.lines, lost?.linePixels, plateMm),
    gaps: of(lost?.gaps, lost?.gapPixels, plateMm),
  };
}

/** `left out 20382 marks (12.3 mm²), filled 2 holes (0.2 mm²)`; undefined where it is nothing. */
export function leftOutText({ marks, holes, lines, gaps }: LeftOut): string | undefined {
  const part = (did: string, { count, mm2 }: Counted, noun: string) => {
    const area = mm2 < 0.05 ? "under 0.1 mm²" : `${mm2.toFixed(1)} mm²`;
    return count > 0 ? [`${did} ${counted(count, noun)} (${area})`] : [];
  };
  const said = [
    ...part("left out", marks, "mark"),
    ...part("filled", holes, "hole"),
    ...part("left out", lines, "line"),
    ...part("closed", gaps, "gap"),
  ];
  return said.length > 0 ? said.join(", ") : undefined;
}
