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

  /** sRGB 0–255 of a node. */
  colourOf(node: number): [r: number, g: number, b: number] {
    const { side } = this;
    return [
      this.place(Math.floor(node / (side * side))),
      this.place(Math.floor(node / side) % side),
      this.place(node % side),
    ];
  }

  /** The four nodes around the colour that was looked at last, and their weights, which sum to 1. */
  readonly around = new Uint32Array(4);
  readonly weights = new Float64Array(4);

  get tetrahedra(): number {
    return (this.side - 1) ** 3 * 6;
  }

  /**
   * Looks at a colour: finds `around` and `weights`. Cells are cut into the six tetrahedra that share their grey
   * diagonal, so that neutrals mix neutrals only. Returns the number of the colour's tetrahedron, below `tetrahedra`.
   */
  look(r: number, g: number, b: number): number {
    const { side, around, weights } = this;
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
    // The path from the near corner to the far one goes along the axis of the largest fraction first.
    let second = stepR;
    let third = stepR + stepG;
    let high = fx;
    let middle = fy;
    let low = fz;
    let order = 0;
    if (fx >= fy) {
      if (fz > fx) {
        second = 1;
        third = stepR + 1;
        high = fz;
        middle = fx;
        low = fy;
        order = 1;
      } else if (fz > fy) {
        third = stepR + 1;
        middle = fz;
        low = fy;
        order = 2;
      }
    } else if (fz > fy) {
      second = 1;
      third = stepG + 1;
      high = fz;
      low = fx;
      order = 3;
    } else {
      second = stepG;
      high = fy;
      if (fz > fx) {
        third = stepG + 1;
        middle = fz;
        low = fx;
        order = 4;
      } else {
        middle = fx;
        order = 5;
      }
    }
    const first = (i * side + j) * side + k;
    around[0] = first;
    around[1] = first + second;
    around[2] = first + third;
    around[3] = first + stepR + stepG + 1;
    weights[0] = 1 - high;
    weights[1] = high - middle;
    weights[2] = middle - low;
    weights[3] = low;
    return ((i * (side - 1) + j) * (side - 1) + k) * 6 + order;
  }

  /** Mixes the values around the colour that was looked at last. */
  mix(out: Float64Array): void {
    const { count, values, around, weights } = this;
    const [w0, w1, w2, w3] = weights as unknown as [number, number, number, number];
    const at0 = around[0]! * count;
    const at1 = around[1]! * count;
    const at2 = around[2]! * count;
    const at3 = around[3]! * count;
    for (let c = 0; c < count; c++) {
      out[c] = w0 * values[at0 + c]! + w1 * values[at1 + c]! + w2 * values[at2 + c]! + w3 * values[at3 + c]!;
    }
  }

  /** Values between nodes. Nodes that `need` has not filled are filled before they are looked at. */
  interpolate(r: number, g: number, b: number, out: Float64Array, need?: Needed): void {
    this.look(r, g, b);
    if (need) this.fillAround(need);
    this.mix(out);
  }

  /** Fills the nodes around the colour that was looked at last, as far as they have any weight. */
  fillAround({ filled, fill }: Needed): void {
    const { around, weights } = this;
    for (let v = 0; v < 4; v++) if (weights[v]! > 0 && filled[around[v]!] === 0) fill(around[v]!);
  }
}
