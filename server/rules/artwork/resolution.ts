import { MM_PER_INCH } from "../../engine/units.ts";
import type { Print } from "../../render/print.ts";
import type { Mark, PixelRule } from "../rule.ts";
import { figure } from "../words.ts";

const SOURCE =
  "Newspaper production guide: size × ruling × 2 pixels, coarse under 1.5 ×; 150 to 200 ppi as the floor and 300 as the aim for garments are common practice, no source.";

function resolutionRule(
  about: Pick<PixelRule, "id" | "level" | "why">,
  ppi: number,
  rows: number,
  above: { readonly ppi: number; readonly rows: number },
  consequence: string,
): PixelRule {
  return {
    ...about,
    looksAt: "pixels",
    source: SOURCE,
    example: {
      fails: `# a picture ${(ppi - 10) * 10} pixels wide\nartwork: { file: art.png, width: 10 in }`,
      passes: `# a picture ${ppi * 10} pixels wide\nartwork: { file: art.png, width: 10 in }`,
    },
    *check(print: Print): Iterable<Mark> {
      const { info } = print.artwork;
      if (info.vector) return;
      const ruling = Math.max(
        print.recipe.screening.rulingLpi,
        ...[...print.recipe.plates.values()].map(({ screening }) => screening.rulingLpi),
      );
      const bound = Math.max(ppi, rows * ruling);
      // The coarser rule speaks for itself.
      if (info.ppi >= bound || info.ppi < Math.max(above.ppi, above.rows * ruling)) return;
      const inches = print.recipe.artwork.widthMm / MM_PER_INCH;
      yield {
        path: ["artwork", "width"],
        message: `the artwork has ${figure(info.ppi)} ppi at this width, under ${figure(bound)}: ${consequence}; ask for a larger picture, or print it ${figure((inches * info.ppi) / bound)} in wide or less`,
      };
    },
  };
}

/** Pixels show as steps. */
export const artworkCoarse: PixelRule = resolutionRule(
  {
    id: "artwork-coarse",
    level: "warning",
    why: "A picture with few pixels prints stepped edges and soft type, however good the screens are.",
  },
  150,
  1.5,
  { ppi: 0, rows: 0 },
  "edges will be stepped and small type soft",
);

/** Two pixels to a row of dots. */
export const artworkSoft: PixelRule = resolutionRule(
  {
    id: "artwork-soft",
    level: "note",
    why: "Under two pixels to a row of dots, or 200 ppi, fine detail is softer than the screens could print it.",
  },
  200,
  2,
  { ppi: 150, rows: 1.5 },
  "fine detail will be soft",
);

/** What a separator asks the customer for. */
export const artworkUnderAim: PixelRule = resolutionRule(
  {
    id: "artwork-under-aim",
    level: "note",
    why: "Type and hard edges want 300 ppi at print size, since they go to film finer than any halftone.",
  },
  300,
  0,
  { ppi: 200, rows: 2 },
  "type and hard edges could be sharper",
);
