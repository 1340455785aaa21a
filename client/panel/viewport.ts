import type { Point } from "../../server/engine/plan.ts";
import { MM_PER_INCH } from "../../server/engine/units.ts";
import type { Crop } from "../../server/wire/preview.ts";
import type { View } from "./view.ts";

/** CSS pixels a millimetre at print size: a CSS inch has 96. */
export const PRINT_SIZE = 96 / MM_PER_INCH;
const MOST = PRINT_SIZE * 32;

/** GarmentColour shown around the print when all of it is to be seen, as a share of its longer side. */
const GARMENT = 0.045;

/** In CSS pixels, or in millimetres of the print. */
export interface ViewSize {
  readonly width: number;
  readonly height: number;
}

/** How the print lies in the window. */
export class Viewport {
  /** CSS pixels a millimetre. */
  readonly scale: number;
  /** The print's left and top edge in the window, in CSS pixels. */
  readonly left: number;
  readonly top: number;
  readonly window: ViewSize;
  readonly printMm: ViewSize;
  readonly centre: Point;

  constructor(view: Pick<View, "scale" | "centre">, window: ViewSize, printMm: ViewSize) {
    this.window = window;
    this.printMm = printMm;
    const garment = GARMENT * Math.max(printMm.width, printMm.height);
    const fit = Math.min(
      window.width / (printMm.width + 2 * garment),
      window.height / (printMm.height + 2 * garment),
    );
    this.scale = view.scale ?? Math.max(0.01, fit);
    const centre = view.scale === null ? null : view.centre;
    this.centre = centre ?? [printMm.width / 2, printMm.height / 2];
    this.left = window.width / 2 - this.centre[0] * this.scale;
    this.top = window.height / 2 - this.centre[1] * this.scale;
  }

  /** The place of the print under a place of the window. */
  toPrint(x: number, y: number): Point {
    return [(x - this.left) / this.scale, (y - this.top) / this.scale];
  }

  /** Zoomed by a factor, with one place of the window staying where it is. */
  zoomed(
    factor: number,
    x = this.window.width / 2,
    y = this.window.height / 2,
  ): Pick<View, "scale" | "centre"> {
    const smallest =
      Math.min(this.window.width / this.printMm.width, this.window.height / this.printMm.height) / 4;
    const scale = Math.min(MOST, Math.max(smallest, this.scale * factor));
    const [px, py] = this.toPrint(x, y);
    return {
      scale,
      centre: this.#held([
        px - (x - this.window.width / 2) / scale,
        py - (y - this.window.height / 2) / scale,
      ]),
    };
  }

  /** Moved by CSS pixels. */
  panned(dx: number, dy: number): Pick<View, "scale" | "centre"> {
    const [x, y] = this.centre;
    return { scale: this.scale, centre: this.#held([x - dx / this.scale, y - dy / this.scale]) };
  }

  /** The crop of the print in the window, where the screen shows more pixels than `ppi`; else undefined. */
  sharper(ppi: number, pixelRatio: number): Crop | undefined {
    const wanted = this.scale * MM_PER_INCH * pixelRatio;
    if (wanted < ppi * 1.25) return undefined;
    const [x0, y0] = this.toPrint(0, 0);
    const [x1, y1] = this.toPrint(this.window.width, this.window.height);
    const left = Math.max(0, x0);
    const top = Math.max(0, y0);
    const width = Math.min(this.printMm.width, x1) - left;
    const height = Math.min(this.printMm.height, y1) - top;
    if (!(width > 0 && height > 0)) return undefined;
    const round = (v: number) => Math.round(v * 100) / 100;
    return {
      x: round(left),
      y: round(top),
      width: round(width),
      height: round(height),
      ppi: Math.round(wanted),
    };
  }

  /** Some of the print always stays in the window. */
  #held([x, y]: Point): Point {
    const clamp = (v: number, most: number) => Math.min(most, Math.max(0, v));
    return [clamp(x, this.printMm.width), clamp(y, this.printMm.height)];
  }
}
