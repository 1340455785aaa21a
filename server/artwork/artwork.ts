import type { Cut } from "../engine/areas/page.ts";
import type { Picture } from "../engine/raster.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import type { Within } from "../files/boundary.ts";
import { ArtworkError } from "./artwork-error.ts";
import type { Size } from "./decoder.ts";
import { type ArtworkInfo, infoOf } from "./info.ts";
import { MAX_PICTURE_PIXELS, MAX_SVG_SIDE, megapixels, VECTOR_PPI } from "./limits.ts";
import { notesOn } from "./notes.ts";
import { openArtwork } from "./opened.ts";
import type { PlateFileInfo, PlateView } from "./plates/plates.ts";
import { sharpDecoder } from "./sharp-decoder.ts";

export { ArtworkError, type ArtworkFault } from "./artwork-error.ts";
export type { ArtworkInfo } from "./info.ts";

export interface Artwork {
  readonly picture: Picture;
  /** Pixels an inch of `picture` at the printed width. */
  readonly ppi: number;
  readonly info: ArtworkInfo;
  /** Sentences on what the user should know of this file. */
  readonly notes: readonly string[];
  /** What the files are that plates come from, by plate. */
  readonly plates?: ReadonlyMap<string, PlateFileInfo>;
  /** What the recipe cut out of it as background; undefined where it cuts none. */
  readonly cut?: Pick<Cut, "page" | "enclosed" | "enclosedCut">;
}

/** Which part of a file is the artwork, beside what all files have. */
export interface ArtworkView {
  /** Page of a PDF, from 1. */
  readonly page?: number | undefined;
  /** The file holds a plate, of whose size a clear picture is made: what is seen comes from all plates together. */
  readonly plate?: PlateView | undefined;
}

export interface ArtworkOptions extends ArtworkView {
  /** Printed width in mm, above 0. */
  readonly widthMm: number;
  /** Pixels an inch of the picture wanted, above 0. Left out: the file's own pixels, of a drawing `drawingPpi`. */
  readonly ppi?: number;
  /** The same for a drawing where `ppi` is left out, or the most over 300 that its limits allow; 300 without it. */
  readonly drawingPpi?: number;
  /** Where `ppi` is left out: pixels an inch that a coarser picture is brought up to. */
  readonly leastPpi?: number;
  /** The file's bytes, where another state of it is meant than the one on disk; `file` then only names it. */
  readonly bytes?: Uint8Array;
  /** How far the file may lie. */
  readonly within?: Within;
}

/**
 * Reads PNG, JPEG, TIFF, WebP, GIF, AVIF, SVG or PDF as a picture: first or chosen page, upright, in sRGB, 8 bit, alpha not premultiplied.
 *
 * Embedded ICC profiles are converted with the perceptual intent; RGB and grey without one count as sRGB, CMYK
 * without one goes through the decoder's general press profile, CIELAB is under D50. 16-bit samples are rounded
 * to the nearest 8-bit value after conversion. With `ppi` the picture is round(widthMm ÷ 25.4 × ppi) pixels wide,
 * its height in proportion, resampled by Lanczos on premultiplied colour. Where alpha is 0 the colour is the
 * file's own; after resampling it is 0. The same file and options give the same bytes with the native and with the
 * WebAssembly builds; of drawings that only the second renderer draws (draw.ts) the edges differ.
 *
 * A whole picture is held once, 16-bit files 3 times over while they are rounded. Throws ArtworkError for any
 * fault of the file, RangeError for a width or ppi that is not above 0. Nothing stops a decode that has begun but the
 * end of its process.
 */
export async function readArtwork(file: string, options: ArtworkOptions): Promise<Artwork> {
  const inches = inchesOf(options.widthMm);
  const ppi = options.ppi;
  if (ppi !== undefined && !(ppi > 0 && Number.isFinite(ppi)))
    throw new RangeError(`ppi is ${ppi}, not above 0`);
  const opened = await openArtwork(file, options);
  const info = infoOf(opened, options.widthMm);
  const { drawingPpi: asked = VECTOR_PPI, leastPpi = 0 } = options;
  const drawingPpi = Math.min(asked, Math.max(VECTOR_PPI, mostPpi(info, inches)));
  // A film's dots go onto film by themselves: what is looked at needs no more pixels than a drawing does.
  const isFilm = options.plate !== undefined && info.bits === 1 && info.ppi > drawingPpi;
  const wanted =
    ppi ??
    (info.vector || isFilm ? Math.max(drawingPpi, leastPpi) : info.ppi < leastPpi ? leastPpi : undefined);
  const size = wanted === undefined ? undefined : sizeAt(info, inches, wanted);
  refuseTooLarge(file, size ?? info, info, inches, wanted);
  const { picture, faults, profileIgnored } = await opened.decode(size);
  const notes = notesOn(info, faults, profileIgnored);
  if (ppi === undefined && wanted === drawingPpi && drawingPpi < asked) {
    const { width, height } = sizeAt(info, inches, asked);
    const limit =
      width * height > MAX_PICTURE_PIXELS
        ? `a picture may have ${megapixels(MAX_PICTURE_PIXELS)}`
        : `a drawing's side may have ${MAX_SVG_SIDE} pixels`;
    notes.push(`Drawn at ${drawingPpi} ppi instead of ${asked.toFixed(0)}: ${limit}.`);
  }
  return { picture, ppi: picture.width / inches, info, notes };
}

/**
 * What a file is, without decoding its pixels; `ppi` and `heightMm` are for a print `widthMm` wide.
 * Throws as readArtwork does, but for faults that only the pixels show.
 */
export async function probeArtwork(file: string, options: Omit<ArtworkOptions, "ppi">): Promise<ArtworkInfo> {
  inchesOf(options.widthMm);
  return infoOf(await openArtwork(file, options), options.widthMm);
}

function inchesOf(widthMm: number): number {
  if (!(widthMm > 0 && Number.isFinite(widthMm))) throw new RangeError(`widthMm is ${widthMm}, not above 0`);
  return widthMm / MM_PER_INCH;
}

function sizeAt(info: Size, inches: number, ppi: number): Size {
  const width = Math.max(1, Math.round(inches * ppi));
  return { width, height: Math.max(1, Math.round((width * info.height) / info.width)) };
}

function refuseTooLarge(
  file: string,
  size: Size,
  info: ArtworkInfo,
  inches: number,
  ppi: number | undefined,
) {
  if (fits(size, info)) return;
  const pixels = size.width * size.height;
  const now = ppi ?? size.width / inches;
  const most = mostPpi(info, inches);
  const limit =
    pixels <= MAX_PICTURE_PIXELS
      ? `a drawing's side may have ${MAX_SVG_SIDE}`
      : `the limit is ${megapixels(MAX_PICTURE_PIXELS)}`;
  throw new ArtworkError(
    file,
    "too-large",
    `at ${inches.toFixed(2)} in wide and ${now.toFixed(0)} ppi the picture has ${size.width} × ${size.height} ` +
      `pixels (${megapixels(pixels)}), ${limit}; ask for ${most < 1 ? "a smaller print" : `${most} ppi or less`}`,
  );
}

/** The finest resolution, in whole ppi, at which a picture of this shape is handed out. */
function mostPpi(info: ArtworkInfo, inches: number): number {
  const { width, height } = info;
  const across = Math.min(
    Math.sqrt((MAX_PICTURE_PIXELS * width) / height),
    (longestSide(info) * width) / Math.max(width, height),
  );
  const most = Math.floor(across / inches);
  // Both sides are rounded to pixels.
  return most > 1 && !fits(sizeAt(info, inches, most), info) ? most - 1 : most;
}

function fits({ width, height }: Size, info: ArtworkInfo): boolean {
  return width * height <= MAX_PICTURE_PIXELS && Math.max(width, height) <= longestSide(info);
}

function longestSide({ vector }: ArtworkInfo): number {
  return vector ? MAX_SVG_SIDE : Number.POSITIVE_INFINITY;
}

/** The same artwork with fewer pixels, at `ppi` or just beside it, resampled as `readArtwork` does. */
export async function reducedArtwork({ picture, ppi, ...rest }: Artwork, wanted: number): Promise<Artwork> {
  const inches = picture.width / ppi;
  const reduced = await sharpDecoder.resize(picture, sizeAt(picture, inches, wanted));
  return { ...rest, picture: reduced, ppi: reduced.width / inches };
}
