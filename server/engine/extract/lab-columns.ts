import { chromaOf, hueOf } from "../colour/cielab.ts";
import { fastLab } from "../colour/fast-lab.ts";

/**
 * Colours nearer to one another than this ΔE00 are the same: a pixel's CIELAB is worked out to well within it
 * (test/reference/fast-lab.test.ts), and a colour must be near itself.
 */
export const SAME_COLOUR_DELTA_E = 0.005;

/**
 * Colours as extractions look at them: a column for each thing that they look at, so that who asks for one of these
 * over thousands of colours reads nothing else.
 */
export class LabColumns {
  readonly L: Float64Array;
  readonly a: Float64Array;
  readonly b: Float64Array;
  /** C*ab. */
  readonly chroma: Float64Array;
  /** hab in degrees, 0 up to 360. */
  readonly hue: Float64Array;
  /** The artwork's, 0–100. */
  readonly opacity: Float64Array;
  readonly #lab = new Float64Array(3);

  constructor(size: number) {
    this.L = new Float64Array(size);
    this.a = new Float64Array(size);
    this.b = new Float64Array(size);
    this.chroma = new Float64Array(size);
    this.hue = new Float64Array(size);
    this.opacity = new Float64Array(size);
  }

  get bytes(): number {
    return 6 * this.L.byteLength;
  }

  /** Puts a colour of CIELAB in place `i`; opacity 0–100. */
  set(i: number, L: number, a: number, b: number, opacity: number): void {
    const chroma = chromaOf(a, b);
    this.L[i] = L;
    this.a[i] = a;
    this.b[i] = b;
    // A grey's chroma is rounding noise; it must lie inside of a range that ends at 0.
    this.chroma[i] = chroma < SAME_COLOUR_DELTA_E ? 0 : chroma;
    this.hue[i] = hueOf(a, b);
    this.opacity[i] = opacity;
  }

  /** The same from 8-bit sRGB; alpha 0–255. */
  setRgba(i: number, r: number, g: number, b: number, alpha: number): void {
    const lab = this.#lab;
    fastLab(r, g, b, lab);
    // Divided last, so that whole percents are exact and stand on a range's end.
    this.set(i, lab[0]!, lab[1]!, lab[2]!, (alpha * 100) / 255);
  }
}
