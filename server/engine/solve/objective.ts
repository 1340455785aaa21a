import { deltaParts } from "../colour/ciede2000.ts";
import type { Lab } from "../colour/cielab.ts";
import { labFromLinear } from "../colour/cielab.ts";
import { mixingBands } from "../print/bands.ts";
import { power } from "../print/halftone.ts";

/** From mixing bands to the difference from a colour, with its slopes. */
export class Difference {
  /** Three numbers whose squares sum to ΔE00². */
  readonly parts = new Float64Array(3);
  /** `slopes[3 · part + band]`. */
  readonly slopes = new Float64Array(9);
  readonly #n: number;
  readonly #toRgb: readonly number[] | undefined;
  readonly #moved = new Float64Array(3);
  readonly #beside = new Float64Array(3);
  #target: Lab = { L: 0, a: 0, b: 0 };

  constructor(n: number) {
    this.#n = n;
    this.#toRgb = mixingBands(n).toRgb;
  }

  set(target: Lab): void {
    this.#target = target;
  }

  /** ΔE00² of the bands; writes `parts`. */
  at(bands: Float64Array): number {
    this.#write(bands[0]!, bands[1]!, bands[2]!, this.parts);
    const [p, q, r] = this.parts as unknown as [number, number, number];
    return p * p + q * q + r * r;
  }

  /** The same, and writes `slopes`. */
  withSlopes(bands: Float64Array): number {
    const squared = this.at(bands);
    for (let band = 0; band < 3; band++) {
      this.#moved.set(bands);
      const h = 1e-5 + 1e-4 * Math.abs(bands[band]!);
      this.#moved[band]! += h;
      this.#write(this.#moved[0]!, this.#moved[1]!, this.#moved[2]!, this.#beside);
      for (let part = 0; part < 3; part++) {
        this.slopes[3 * part + band] = (this.#beside[part]! - this.parts[part]!) / h;
      }
    }
    return squared;
  }

  #write(x: number, y: number, z: number, out: Float64Array): void {
    const { L, a, b } = labFromBands(x, y, z, this.#n, this.#toRgb);
    const t = this.#target;
    deltaParts(t.L, t.a, t.b, L, a, b, out);
  }
}

function labFromBands(x: number, y: number, z: number, n: number, m: readonly number[] | undefined): Lab {
  if (!m) return labFromLinear({ r: x, g: y, b: z });
  const [p, q, r] = [power(x, n), power(y, n), power(z, n)];
  return labFromLinear({
    r: m[0]! * p + m[1]! * q + m[2]! * r,
    g: m[3]! * p + m[4]! * q + m[5]! * r,
    b: m[6]! * p + m[7]! * q + m[8]! * r,
  });
}
