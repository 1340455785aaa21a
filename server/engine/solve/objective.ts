import { deltaParts } from "../colour/ciede2000.ts";
import { cieF, type Lab, multiply, WHITE_D50, XYZ_OF_RGB } from "../colour/cielab.ts";
import { mixingBands } from "../print/bands.ts";
import { power } from "../print/halftone.ts";

/** From mixing bands to the difference from a colour, with its slopes. */
export class Difference {
  /** Three numbers whose squares sum to ΔE00². */
  readonly parts = new Float64Array(3);
  /** `slopes[3 · part + band]`. */
  readonly slopes = new Float64Array(9);
  readonly #n: number;
  /** From mixing bands to XYZ over its white, row by row. */
  readonly #toXyz: readonly number[];
  readonly #moved = new Float64Array(3);
  readonly #beside = new Float64Array(3);
  #target: Lab = { L: 0, a: 0, b: 0 };

  constructor(n: number) {
    this.#n = n;
    const toRgb = mixingBands(n).toRgb ?? [1, 0, 0, 0, 1, 0, 0, 0, 1];
    const rows = [toRgb.slice(0, 3), toRgb.slice(3, 6), toRgb.slice(6, 9)];
    const white = [WHITE_D50.X, WHITE_D50.Y, WHITE_D50.Z];
    this.#toXyz = multiply(XYZ_OF_RGB, rows).flatMap((row, i) => row.map((v) => v / white[i]!));
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
    const n = this.#n;
    const p = power(x, n);
    const q = power(y, n);
    const r = power(z, n);
    const m = this.#toXyz;
    const fx = cieF(m[0]! * p + m[1]! * q + m[2]! * r);
    const fy = cieF(m[3]! * p + m[4]! * q + m[5]! * r);
    const fz = cieF(m[6]! * p + m[7]! * q + m[8]! * r);
    const t = this.#target;
    deltaParts(t.L, t.a, t.b, 116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz), out);
  }
}
