import { MM_PER_INCH } from "../units.ts";

/** A film's page in its own pixels: the same for all films of a setup. */
export interface FilmPage {
  readonly dpi: number;
  readonly width: number;
  readonly height: number;
  /** Where the print lies. Its left edge stands on a whole byte of bits. */
  readonly art: { readonly x: number; readonly y: number; readonly width: number; readonly height: number };
  /** Where the step wedge lies, if there is one. */
  readonly wedge:
    | { readonly x: number; readonly y: number; readonly width: number; readonly height: number }
    | undefined;
}

/** Room around the print, in mm, for marks; below it also for a line of text. */
const MARGIN = 16;
const BOTTOM = 21;
/** Patches of the step wedge, in percent of tone. */
export const WEDGE_TONES = [2, 5, 10, 20, 30, 40, 50, 60, 70, 80, 90, 95, 98, 100] as const;
const PATCH = 6;
/** Longest side in mm: 200 in, the longest of a PDF's page (ISO 32000-1, annex C). */
const LONGEST = 5080;

/** A page that does not hold the print, with the one line to say so. */
export class PageError extends Error {}

/**
 * The page for a print of this size in mm. `page` asks for a size of its own, as of cut film; the print stands in its
 * middle. Throws PageError where it does not fit, or would be longer than any film.
 */
export function filmPage(
  widthMm: number,
  heightMm: number,
  dpi: number,
  {
    page,
    wedge = false,
  }: { readonly page?: { readonly width: number; readonly height: number }; readonly wedge?: boolean } = {},
): FilmPage {
  const pixels = (mm: number) => Math.round((mm * dpi) / MM_PER_INCH);
  const art = { width: Math.max(1, pixels(widthMm)), height: Math.max(1, pixels(heightMm)) };
  const margin = pixels(MARGIN);
  const bottom = pixels(BOTTOM) + (wedge ? pixels(PATCH + 3) : 0);
  const least = { width: art.width + 2 * margin, height: art.height + margin + bottom };
  const size = page ? { width: pixels(page.width), height: pixels(page.height) } : least;
  if (size.width < least.width || size.height < least.height) {
    const mm = (px: number) => Math.ceil((px * MM_PER_INCH) / dpi);
    throw new PageError(
      `a page of ${page!.width.toFixed(0)} × ${page!.height.toFixed(0)} mm is too small for the print with its marks; it needs ${mm(least.width)} × ${mm(least.height)} mm`,
    );
  }
  const longest = (Math.max(size.width, size.height) * MM_PER_INCH) / dpi;
  if (longest > LONGEST) {
    throw new PageError(
      `the film would be ${(longest / 1000).toFixed(1)} m long, the longest is ${LONGEST / 1000} m; is the artwork's width, or its picture, what was meant?`,
    );
  }
  const x = Math.floor((size.width - art.width) / 2 / 8) * 8;
  const y = margin + Math.floor((size.height - least.height) / 2);
  const patches = Math.min(pixels(PATCH * WEDGE_TONES.length), art.width);
  return {
    dpi,
    ...size,
    art: { x, y, ...art },
    wedge: wedge
      ? { x, y: y + art.height + pixels(BOTTOM), width: patches, height: pixels(PATCH) }
      : undefined,
  };
}
