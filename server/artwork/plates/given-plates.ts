import type { Tones } from "../../engine/raster.ts";
import { ArtworkError } from "../artwork-error.ts";
import type { Size } from "../decoder.ts";

import { openPlates, type PlateOptions } from "./plate-file.ts";
import type { PlateFileInfo, PlateView } from "./plates.ts";

/** How far in its height a plate may be off the print's shape: rounding to whole pixels. */
const SAME_SHAPE = 0.005;

/** Plates of one file as tones of `size`, which is the print's. Throws ArtworkError, also for files of another shape. */
export async function readGivenPlates(
  file: string,
  page: number | undefined,
  views: readonly PlateView[],
  size: Size,
  options: PlateOptions,
): Promise<{ readonly info: PlateFileInfo; readonly tones: readonly Tones[] }> {
  const opened = await openPlates(file, page, options);
  const { info } = opened;
  const height = (info.height * size.width) / info.width;
  if (Math.abs(height - size.height) > Math.max(1, SAME_SHAPE * size.height))
    throw new ArtworkError(
      file,
      "format",
      `the plate has another shape than the print: it is ${(info.height / info.width).toFixed(3)} times as high as wide, the print ${(size.height / size.width).toFixed(3)} times; ask for it with the print's own edges`,
    );
  return { info, tones: (await opened.tones(views, size)).tones };
}

/** A film as it stands in its file: rows of bits, set where there is ink. */
export interface FilmBits extends Size {
  readonly bits: Uint8Array;
}

/** The film of a plate as `size` pixels: its own where they are as many, else the nearest of them. Throws ArtworkError. */
export async function readFilmBits(
  file: string,
  view: PlateView,
  size: Size,
  options: PlateOptions,
): Promise<FilmBits> {
  const opened = await openPlates(file, view.page, options);
  const { size: own, tones } = await opened.tones([view], undefined);
  const [film] = tones;
  const stride = Math.ceil(size.width / 8);
  const bits = new Uint8Array(stride * size.height);
  const columns = Uint32Array.from({ length: size.width }, (_, x) => nearest(x, size.width, own.width));
  for (let y = 0; y < size.height; y++) {
    const row = nearest(y, size.height, own.height) * own.width;
    for (let x = 0; x < size.width; x++)
      if (film![row + columns[x]!]! > 127) bits[y * stride + (x >> 3)]! |= 0x80 >> (x & 7);
  }
  return { ...size, bits };
}

function nearest(at: number, of: number, own: number): number {
  return Math.min(own - 1, Math.floor(((at + 0.5) * own) / of));
}
