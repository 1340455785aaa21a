/** Fills nodes of a lattice when they are first looked at. */
export interface Needed {
  /** Not 0 where a node has its values. */
  readonly filled: Uint8Array;
  fill(node: number): void;
}

/**
 * A lattice of colours over the sRGB cube: `side` nodes an axis, 0 and 255 included, each with `count` values.
 * Node (r, g, b) has index (r · side + g) · side + b.
 */
export class Lattice {
  readonly side: number;
  readonly count: number;
  readonly values: Float32Array;

  constructor(side: number, count: number) {
    this.side = side;
    this.count = count;
    this.values = new Float32Array(side ** 3 * count);
  }

  get nodes(): number {
    return this.side ** 3;
  }

  /** sRGB 0–255 of a node on one axis. */
  place(step: number): number {
    return (255 * step) / (this.side - 1);
  }

  read(node: number, out: Float64Array): void {
    const from = node * this.count;
    for (let j = 0; j < this.count; j++) out[j] = this.values[from + j]!;
  }

  write(node: number, tones: Float64Array): void {
    this.values.set(tones, node * this.count);
  }

  /**
   * Values between nodes, tetrahedral: the cube's six tetrahedra that share its grey diagonal, so that neutrals mix
   * neutrals only. Nodes that `need` has not filled are
   * filled before they are looked at.
   */
  interpolate(r: number, g: number, b: number, out: Float64Array, need?: Needed): void {
    const { side, count, values } = this;
    const last = side - 2;
    const x = (r * (side - 1)) / 255;
    const y = (g * (side - 1)) / 255;
    const z = (b * (side - 1)) / 255;
    const i = Math.min(last, Math.floor(x));
    const j = Math.min(last, Math.floor(y));
    const k = Math.min(last, Math.floor(z));
    const fx = x - i;
    const fy = y - j;
    const fz = z - k;
    const stepR = side * side;
    const stepG = side;
    const first = (i * side + j) * side + k;
    // The path from the near corner to the far one goes along the axis of the largest fraction first.
    let second = stepR;
    let third = stepR + stepG;
    let high = fx;
    let middle = fy;
    let low = fz;
    if (fx >= fy) {
      if (fz > fx) {
        second = 1;
        third = stepR + 1;
        high = fz;
        middle = fx;
        low = fy;
      } else if (fz > fy) {
        third = stepR + 1;
        middle = fz;
        low = fy;
      }
    } else if (fz > fy) {
      second = 1;
      third = stepG + 1;
      high = fz;
      low = fx;
    } else {
      second = stepG;
      high = fy;
      if (fz > fx) {
        third = stepG + 1;
        middle = fz;
        low = fx;
      } else middle = fx;
    }
    const fourth = stepR + stepG + 1;
    if (need) {
      const { filled } = need;
      if (filled[first] === 0) need.fill(first);
      if (high > 0 && filled[first + second] === 0) need.fill(first + second);
      if (middle > 0 && filled[first + third] === 0) need.fill(first + third);
      if (low > 0 && filled[first + fourth] === 0) need.fill(first + fourth);
    }
    const w0 = 1 - high;
    const w1 = high - middle;
    const w2 = middle - low;
    const at0 = first * count;
    const at1 = (first + second) * count;
    const at2 = (first + third) * count;
    const at3 = (first + fourth) * count;
    for (let c = 0; c < count; c++) {
      out[c] = w0 * values[at0 + c]! + w1 * values[at1 + c]! + w2 * values[at2 + c]! + low * values[at3 + c]!;
    }
  }
}
