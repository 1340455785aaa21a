import { deltaE00 } from "../colour/ciede2000.ts";
import { type Lab, labFromLinear } from "../colour/cielab.ts";
import { memo } from "../memo.ts";
import type { DotName } from "../screen/spot-functions.ts";
import { mixingBands } from "./bands.ts";
import type { DotLattice } from "./dot-lattices.ts";
import { levelsOf, SIDE, STEPS } from "./dot-overlap.ts";
import { power } from "./halftone.ts";
import { Mixer } from "./mixer.ts";
import type { PrintModel } from "./model.ts";

/** Prints that are compared. */
export const PRINTS = 16;
/**
 * Places along a side of the cell that are looked at in each: a row is a word, a place a bit. Plates move by whole ones, so
 * that no dot changes its area.
 */
const PLACES = 32;
const STEP = SIDE / PLACES;

/**
 * How a colour changes from print to print: plates of one lattice lie otherwise upon one another in each, by draws of the
 * register that are the same for every colour. For prints of no more stations than are tabled.
 */
export class PrintToPrint {
  /** ΔE00 of each print to the mean of all, of the areas that were looked at last. */
  readonly changes = new Float64Array(PRINTS);
  readonly #print: PrintModel;
  readonly #toRgb: readonly number[] | undefined;
  readonly #n: number;
  readonly #mixer: Mixer;
  /** Rows of each lattice's cell, and where each of its stations lies in each print, in places of it. */
  readonly #lattices: readonly {
    readonly lattice: DotLattice;
    readonly rows: Uint32Array;
    readonly shifts: readonly Int32Array[];
  }[];

  /** `n` as the print's conditions have it. */
  constructor(print: PrintModel, n: number) {
    const { table, areas, lattices } = print;
    if (!table) throw new Error(`${areas.length} printing stations are too many to compare prints of`);
    this.#print = print;
    this.#toRgb = mixingBands(n).toRgb;
    this.#n = n;
    this.#mixer = new Mixer(table, areas.length);
    this.#lattices = lattices.map((lattice) => ({
      lattice,
      rows: inkedRows(lattice.dot),
      shifts: lattice.stations.map((s) => shiftsOf(s, lattice.register * PLACES)),
    }));
  }

  /** Whether halftones of one lattice meet, so that the colour changes at all. */
  meets(areas: ArrayLike<number>): boolean {
    return this.#lattices.some(({ lattice }) => halftonesOf(lattice, areas).length > 1);
  }

  /** Looks at printed areas 0–1, one a station; returns the mean of `changes`. */
  look(areas: ArrayLike<number>): number {
    const labs: Lab[] = [];
    const mean = [0, 0, 0];
    for (let draw = 0; draw < PRINTS; draw++) {
      const bands = [0, 0, 0];
      this.#mix(areas, 0, draw, 1, 0, [], bands);
      for (let k = 0; k < 3; k++) mean[k]! += bands[k]! / PRINTS;
      labs.push(this.#lab(bands));
    }
    const { L, a, b } = this.#lab(mean);
    let sum = 0;
    for (const [draw, lab] of labs.entries()) {
      this.changes[draw] = deltaE00(L, a, b, lab.L, lab.a, lab.b);
      sum += this.changes[draw]! / PRINTS;
    }
    return sum;
  }

  /** Adds the colours of one print: each overprint of a lattice by its share of the cell, and those of the next within it. */
  #mix(
    areas: ArrayLike<number>,
    next: number,
    draw: number,
    weight: number,
    base: number,
    placed: readonly number[],
    bands: number[],
  ): void {
    const nesting = this.#lattices[next];
    if (!nesting) {
      this.#rest(areas, weight, base, placed, bands);
      return;
    }
    const { lattice, rows, shifts } = nesting;
    const own = halftonesOf(lattice, areas);
    if (own.length < 2) {
      this.#mix(areas, next + 1, draw, weight, base, placed, bands);
      return;
    }
    const dots = own.map((s) => {
      const moved = shifts[lattice.stations.indexOf(s)]!;
      const step = Math.round(areas[s]! * STEPS);
      return { step, dx: moved[2 * draw]!, dy: moved[2 * draw + 1]! };
    });
    const shares = overprintShares(rows, dots);
    for (const [mask, share] of shares.entries()) {
      if (share === 0) continue;
      let solid = base;
      for (const [i, s] of own.entries()) if ((mask >> i) & 1) solid += 3 << s;
      this.#mix(areas, next + 1, draw, weight * share, solid, [...placed, ...own], bands);
    }
  }

  /** Stations that are not placed yet fall independently of all others. */
  #rest(
    areas: ArrayLike<number>,
    weight: number,
    base: number,
    placed: readonly number[],
    bands: number[],
  ): void {
    const { share, offset, mixed } = this.#mixer;
    let solid = base;
    let halftones = 0;
    for (let s = 0; s < this.#print.areas.length; s++) {
      const a = areas[s]!;
      if (a <= 0 || placed.includes(s)) continue;
      if (a >= 1) solid += 3 << s;
      else {
        share[halftones] = a;
        offset[halftones++] = 3 << s;
      }
    }
    this.#mixer.mix(solid, halftones);
    for (let k = 0; k < 3; k++) bands[k]! += weight * mixed[k]!;
  }

  #lab(bands: readonly number[]): Lab {
    const [x, y, z] = bands.map((v) => power(v, this.#n)) as [number, number, number];
    const m = this.#toRgb;
    if (!m) return labFromLinear({ r: x, g: y, b: z });
    return labFromLinear({
      r: m[0]! * x + m[1]! * y + m[2]! * z,
      g: m[3]! * x + m[4]! * y + m[5]! * z,
      b: m[6]! * x + m[7]! * y + m[8]! * z,
    });
  }
}

/** The places of a cell that are inked at each step of tone, 0 up to STEPS: `PLACES` rows for one step after the other. */
const inkedRows = memo(8, (dot: DotName): Uint32Array => {
  const levels = levelsOf(dot);
  const rows = new Uint32Array((STEPS + 1) * PLACES);
  for (let step = 0, at = 0; step <= STEPS; step++)
    for (let y = 0; y < PLACES; y++, at++)
      for (let x = 0; x < PLACES; x++) if (levels[STEP * (y * SIDE + x)]! < step) rows[at]! |= 1 << x;
  return rows;
});

/** A halftone's step of tone, and how far its plate lies off, in places. */
interface MovedDot {
  readonly step: number;
  readonly dx: number;
  readonly dy: number;
}

/** What each overprint of some halftones covers of the cell: bit i of its number is the i-th of them. */
function overprintShares(rows: Uint32Array, dots: readonly MovedDot[]): Float64Array {
  const shares = new Float64Array(2 ** dots.length);
  const places = new Uint32Array(shares.length);
  for (let y = 0; y < PLACES; y++) {
    places[0] = 0xffffffff;
    let known = 1;
    for (const { step, dx, dy } of dots) {
      const row = rows[step * PLACES + ((y + dy) & (PLACES - 1))]!;
      const moved = (row >>> (dx & 31)) | (row << (-dx & 31));
      for (let k = 0; k < known; k++) {
        places[known + k] = places[k]! & moved;
        places[k]! &= ~moved;
      }
      known *= 2;
    }
    for (let k = 0; k < known; k++) shares[k]! += ones(places[k]!);
  }
  return shares.map((count) => count / (PLACES * PLACES));
}

/** Bits that are set, of 32 (Warren, Hacker's Delight, 5-1). */
function ones(word: number): number {
  let sum = word - ((word >>> 1) & 0x55555555);
  sum = (sum & 0x33333333) + ((sum >>> 2) & 0x33333333);
  sum = (sum + (sum >>> 4)) & 0x0f0f0f0f;
  return Math.imul(sum, 0x01010101) >>> 24;
}

function halftonesOf({ stations }: DotLattice, areas: ArrayLike<number>): number[] {
  return stations.filter((s) => areas[s]! > 0 && areas[s]! < 1);
}

/** x and y of a station in each print, in places of the cell: the same for every print of that register. */
function shiftsOf(station: number, deviation: number): Int32Array {
  const shifts = new Int32Array(2 * PRINTS);
  for (let draw = 0; draw < PRINTS; draw++) {
    const [x, y] = registerDraw(station, draw);
    shifts[2 * draw] = Math.round(x * deviation);
    shifts[2 * draw + 1] = Math.round(y * deviation);
  }
  return shifts;
}

/**
 * Where a station's plate lies in one of a row of prints, in standard deviations of the register: two numbers of a normal
 * distribution (Box & Muller 1958) from a seed, so that whoever shows or measures a print sees the same one.
 */
export function registerDraw(station: number, draw: number): [x: number, y: number] {
  const seed = (draw * 64 + station) * 2 + 1;
  const r = Math.sqrt(-2 * Math.log(uniform(seed)));
  const angle = 2 * Math.PI * uniform(seed + 1);
  return [r * Math.cos(angle), r * Math.sin(angle)];
}

/** A number over 0 and up to 1 from a seed (Steele, Lea & Flood 2014, the mixer of SplitMix in 32 bits). */
function uniform(seed: number): number {
  let z = Math.imul(seed, 0x9e3779b9) >>> 0;
  z = Math.imul(z ^ (z >>> 16), 0x85ebca6b) >>> 0;
  z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35) >>> 0;
  return (((z ^ (z >>> 16)) >>> 0) + 1) / 2 ** 32;
}
