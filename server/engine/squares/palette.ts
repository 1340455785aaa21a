import type { LinearRgb } from "../colour/cielab.ts";
import { type Lab, labFromLinear } from "../colour/cielab.ts";

/** The colours that a square may have, in light, linear sRGB; the first is what shows where no ink of the set prints. */
export class Palette {
  readonly size: number;
  /** size × 3. */
  readonly light: Float64Array;
  readonly #labs: readonly Lab[];
  /** Squared, of what `nearest` found last. */
  #distance = 0;
  /** Light is carried on no further beyond the palette's own than this, for each band. */
  readonly #bounds: readonly (readonly [least: number, most: number])[];

  constructor(colours: readonly LinearRgb[]) {
    this.size = colours.length;
    this.light = Float64Array.from(colours.flatMap(({ r, g, b }) => [r, g, b]));
    this.#labs = colours.map(labFromLinear);
    this.#bounds = (["r", "g", "b"] as const).map((band) => {
      const lights = colours.map((colour) => colour[band]);
      const [low, high] = [Math.min(...lights), Math.max(...lights)];
      return [low - (high - low) / 2, high + (high - low) / 2];
    });
  }

  /** Of one band of light, what may be asked for: what no mixture reaches is not carried on for ever. */
  within(v: number, c: number): number {
    const [least, most] = this.#bounds[c]!;
    return Math.min(most, Math.max(least, v));
  }

  /** The colour that a light is, or is as good as; −1 for none: in flat art no other ink is to speckle it. */
  same(r: number, g: number, b: number): number {
    const k = this.nearest(r, g, b);
    return this.#distance < SAME ** 2 ? k : -1;
  }

  /** L* of a colour. */
  lightness(k: number): number {
    return this.#labs[k]!.L;
  }

  /** The colour that is nearest to a light in CIELAB, by squared distance (ΔE*ab); the first of equals. */
  nearest(r: number, g: number, b: number): number {
    LIGHT.r = r;
    LIGHT.g = g;
    LIGHT.b = b;
    const { L, a, b: B } = labFromLinear(LIGHT);
    let best = 0;
    let least = Number.POSITIVE_INFINITY;
    for (let k = 0; k < this.size; k++) {
      const lab = this.#labs[k]!;
      const [dL, da, db] = [lab.L - L, lab.a - a, lab.b - B];
      const distance = dL * dL + da * da + db * db;
      if (distance >= least) continue;
      least = distance;
      best = k;
    }
    this.#distance = least;
    return best;
  }
}

/** ΔE*ab up to which a colour is an ink's own. Common practice, no source. */
const SAME = 1;

const LIGHT = { r: 0, g: 0, b: 0 };
