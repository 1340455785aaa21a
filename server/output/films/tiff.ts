import {
  LONG,
  RATIONAL,
  SHORT,
  tiffField,
  tiffFile,
  tiffRational,
  tiffText,
} from "../../artwork/tiff/write.ts";

/** A film as TIFF 6.0: one bit a pixel, Group 4, 0 = clear film, with its resolution. */
export interface TiffFilm {
  readonly width: number;
  readonly height: number;
  readonly dpi: number;
  readonly rowsPerStrip: number;
  /** Group 4 strips from the top. */
  readonly strips: readonly Uint8Array[];
  readonly description: string;
  readonly software: string;
}

export function tiffOf(film: TiffFilm): Uint8Array {
  return tiffFile(
    [
      tiffField(254, LONG, [0]),
      tiffField(256, LONG, [film.width]),
      tiffField(257, LONG, [film.height]),
      tiffField(258, SHORT, [1]),
      // Group 4; white is zero; bits from the highest; upright.
      tiffField(259, SHORT, [4]),
      tiffField(262, SHORT, [0]),
      tiffField(266, SHORT, [1]),
      tiffText(270, film.description),
      tiffField(274, SHORT, [1]),
      tiffField(277, SHORT, [1]),
      tiffField(278, LONG, [film.rowsPerStrip]),
      tiffField(282, RATIONAL, tiffRational(film.dpi)),
      tiffField(283, RATIONAL, tiffRational(film.dpi)),
      tiffField(293, LONG, [0]),
      tiffField(296, SHORT, [2]),
      tiffText(305, film.software),
    ],
    film.strips,
  );
}
