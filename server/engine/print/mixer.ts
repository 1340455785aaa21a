/**
 * Mixes tabled overprints (`neugebauerPrimaries`) of a few halftones, without allocating. Fill `share` and `offset` with
 * each halftone's area 0–1 and its place in the table (3 << station), call `mix`, read three bands from `mixed`.
 */
export class Mixer {
  readonly share: Float64Array;
  readonly offset: Uint32Array;
  readonly mixed: Float64Array;
  readonly #table: Float32Array | Float64Array;

  constructor(table: Float32Array | Float64Array, stations: number) {
    this.#table = table;
    this.share = new Float64Array(stations);
    this.offset = new Uint32Array(stations);
    this.mixed = new Float64Array(3);
  }

  /** `base` is the place in the table of the solid films' overprint, `halftones` how many entries are filled. */
  mix(base: number, halftones: number): void {
    const table = this.#table;
    const v = this.mixed;
    if (halftones === 0) {
      v[0] = table[base]!;
      v[1] = table[base + 1]!;
      v[2] = table[base + 2]!;
      return;
    }
    if (halftones === 1) {
      const a = this.share[0]!;
      const b = 1 - a;
      const on = base + this.offset[0]!;
      v[0] = b * table[base]! + a * table[on]!;
      v[1] = b * table[base + 1]! + a * table[on + 1]!;
      v[2] = b * table[base + 2]! + a * table[on + 2]!;
      return;
    }
    const offset = this.offset;
    if (halftones === 2) {
      // Two and three are the rule: written out, since loops cost more than the sums.
      const a = this.share[0]!;
      const c = this.share[1]!;
      const both = a * c;
      const first = a - both;
      const second = c - both;
      const none = 1 - a - second;
      const i = base + offset[0]!;
      const j = base + offset[1]!;
      const k = i + offset[1]!;
      v[0] = none * table[base]! + first * table[i]! + second * table[j]! + both * table[k]!;
      v[1] = none * table[base + 1]! + first * table[i + 1]! + second * table[j + 1]! + both * table[k + 1]!;
      v[2] = none * table[base + 2]! + first * table[i + 2]! + second * table[j + 2]! + both * table[k + 2]!;
      return;
    }
    if (halftones === 3) this.#three(base);
    else this.#more(base, halftones);
  }

  /** Two mixtures of one halftone less, without the last one and with it. */
  #more(base: number, halftones: number): void {
    const v = this.mixed;
    const last = halftones - 1;
    if (last === 3) this.#three(base);
    else this.#more(base, last);
    const x = v[0]!;
    const y = v[1]!;
    const z = v[2]!;
    const on = base + this.offset[last]!;
    if (last === 3) this.#three(on);
    else this.#more(on, last);
    const a = this.share[last]!;
    const b = 1 - a;
    v[0] = b * x + a * v[0]!;
    v[1] = b * y + a * v[1]!;
    v[2] = b * z + a * v[2]!;
  }

  #three(base: number): void {
    const table = this.#table;
    const v = this.mixed;
    const i = this.offset[0]!;
    const j = this.offset[1]!;
    const k = this.offset[2]!;
    const a = this.share[0]!;
    const b = this.share[1]!;
    const c = this.share[2]!;
    const p = base;
    const q = base + i;
    const r = base + j;
    const s = q + j;
    const w3 = a * b;
    const w1 = a - w3;
    const w2 = b - w3;
    const w0 = 1 - a - w2;
    const d = 1 - c;
    for (let band = 0; band < 3; band++) {
      const low =
        w0 * table[p + band]! + w1 * table[q + band]! + w2 * table[r + band]! + w3 * table[s + band]!;
      const n = k + band;
      const high = w0 * table[p + n]! + w1 * table[q + n]! + w2 * table[r + n]! + w3 * table[s + n]!;
      v[band] = d * low + c * high;
    }
  }
}
