import type { Tones } from "../raster.ts";
import { MM_PER_INCH } from "../units.ts";
import { bytesPerRow, type Window } from "./bits.ts";
import { Diffusion } from "./diffusion.ts";
import { FilmRows } from "./film-rows.ts";
import { DotMask, GrainMask, type Mask } from "./mask.ts";
import type { DotName } from "./spot-functions.ts";
import { SquareFilm } from "./square-film.ts";

/** How tones become dots. */
export type Screening =
  /** Dots in rows that grow with the tone. */
  | { readonly method: "am"; readonly rulingLpi: number; readonly angle: number; readonly dot: DotName }
  /** Grains of one size that stand the closer the darker: by a blue-noise mask, or by error diffusion. */
  | {
      readonly method: "fm" | "diffusion";
      readonly grainMm: number;
      /** Number of the plate's own mask, so that grains of several plates do not fall on one another by construction; 0 without. */
      readonly mask?: number;
    }
  /** Squares of an index separation, so many over the plate's width; each side moves out by `growMm`. */
  | {
      readonly method: "index";
      readonly across: number;
      readonly growMm: number;
      readonly grainMm: number;
    };

/** A plate on its way to film. */
export interface ScreenedPlate {
  readonly tones: Tones;
  /** Of `tones`, in pixels. */
  readonly width: number;
  readonly height: number;
  /** Film tone 0–1 of each plate tone 0–255; begins with 0, ends with 1, never falls. */
  readonly curve: Float64Array;
}

/**
 * Turns plates into dots at one resolution of film. The plate is laid over the film's pixels and read between its own
 * pixels; where it goes from nothing to solid at once it is drawn as an edge, without dots. A window gives the same bits
 * as the whole film does there, so strips can be worked on apart, but for error diffusion, whose windows must be the
 * film's full width and come in order from the top.
 */
export class Halftone {
  readonly filmWidth: number;
  readonly filmHeight: number;
  readonly #plate: ScreenedPlate;
  readonly #mask: Mask | undefined;
  readonly #squares: SquareFilm | undefined;

  /** `filmDpi` and the film's size in pixels, over the plate's whole picture. */
  constructor(
    plate: ScreenedPlate,
    screening: Screening,
    filmDpi: number,
    filmWidth: number,
    filmHeight: number,
  ) {
    this.filmWidth = filmWidth;
    this.filmHeight = filmHeight;
    this.#plate = plate;
    if (screening.method === "index")
      this.#squares = new SquareFilm(plate, screening, filmDpi, filmWidth, filmHeight);
    else this.#mask = maskOf(screening, filmDpi, plate.curve, filmWidth);
  }

  /** Writes a window's bits to `out`, which must be clear: rows of `bytesPerRow(window.width)` bytes. */
  draw(window: Window, out: Uint8Array): void {
    const mask = this.#mask;
    if (!mask) {
      this.#squares!.draw(window, out);
      return;
    }
    const film = new FilmRows(this.#plate, this, window);
    const stride = bytesPerRow(window.width);
    const toneAt = (x: number) => film.toneAt(x);
    for (let row = 0; row < window.height; row++) {
      const y = window.y + row;
      film.goTo(y);
      if (film.empty && !mask.carries) continue;
      out.set(film.dots(mask.row(y, toneAt)), row * stride);
    }
  }
}

function maskOf(
  screening: Exclude<Screening, { readonly method: "index" }>,
  filmDpi: number,
  curve: Float64Array,
  filmWidth: number,
): Mask {
  if (screening.method === "am") {
    const { rulingLpi, angle, dot } = screening;
    return new DotMask(filmDpi, rulingLpi, angle, dot, curve);
  }
  const grain = Math.max(1, Math.round((screening.grainMm * filmDpi) / MM_PER_INCH));
  const mask = screening.mask ?? 0;
  return screening.method === "fm"
    ? new GrainMask(grain, curve, mask)
    : new Diffusion(grain, curve, filmWidth, mask);
}
