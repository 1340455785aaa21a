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
    const meeting = this.#meetingDots(areas);
    const nested = meeting.flatMap(({ stations }) => stations);
    const { share, offset } = this.#mixer;
    let solid = 0;
    let halftones = 0;
    // Stations whose dots meet no others of their lattice fall independently of all.
    for (let s = 0; s < this.#print.areas.length; s++) {
      const a = areas[s]!;
      if (a <= 0 || nested.includes(s)) continue;
      if (a >= 1) solid += 3 << s;
      else {
        share[halftones] = a;
        offset[halftones++] = 3 << s;
      }
    }
    const labs: Lab[] = [];
    const mean = [0, 0, 0];
    for (let draw = 0; draw < PRINTS; draw++) {
      const bands = [0, 0, 0];
      this.#mix(meeting, 0, draw, 1, solid, halftones, bands);
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

  #meetingDots(areas: ArrayLike<number>): MeetingDots[] {
    return this.#lattices.flatMap(({ lattice, rows, shifts }) => {
      const stations = halftonesOf(lattice, areas);
      if (stations.length < 2) return [];
      const dots = stations.map((s) => ({
        step: Math.round(areas[s]! * STEPS),
        moved: shifts[lattice.stations.indexOf(s)]!,
      }));
      return [{ stations, rows, dots }];
    });
  }

  /** Adds the colours of one print: each overprint of a lattice by its share of the cell, and those of the next within it. */
  #mix(
    meeting: readonly MeetingDots[],
    next: number,
    draw: number,
    weight: number,
    solid: number,
    halftones: number,
    bands: number[],
  ): void {
    const here = meeting[next];
    if (!here) {
      this.#mixer.mix(solid, halftones);
      for (let k = 0; k < 3; k++) bands[k]! += weight * this.#mixer.mixed[k]!;
      return;
    }
    const counts = overprintPlaces(here, draw);
    for (let mask = 0; mask < counts.length; mask++) {
      if (counts[mask] === 0) continue;
      let base = solid;
      for (const [i, s] of here.stations.entries()) if ((mask >> i) & 1) base += 3 << s;
      const share = counts[mask]! / (PLACES * PLACES);
      this.#mix(meeting, next + 1, draw, weight * share, base, halftones, bands);
    }
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

/** Halftones of one lattice, two or more. */
interface MeetingDots {
  readonly stations: readonly number[];
  readonly rows: Uint32Array;
  /** Each one's step of tone, and x and y of its plate in each print, in places. */
  readonly dots: readonly { readonly step: number; readonly moved: Int32Array }[];
}

/** In how many places each overprint of some halftones lies in a print: bit i of its number is the i-th of them. */
function overprintPlaces({ rows, dots }: MeetingDots, draw: number): Uint32Array {
  const counts = new Uint32Array(2 ** dots.length);
  const places = new Uint32Array(counts.length);
  for (let y = 0; y < PLACES; y++) {
    places[0] = 0xffffffff;
    let known = 1;
    for (const { step, moved } of dots) {
      const row = rows[step * PLACES + ((y + moved[2 * draw + 1]!) & (PLACES - 1))]!;
      const x = moved[2 * draw]! & (PLACES - 1);
      const inked = (row >>> x) | (row << -x);
      for (let k = 0; k < known; k++) {
        places[known + k] = places[k]! & inked;
        places[k]! &= ~inked;
      }
      known *= 2;
    }
    for (let k = 0; k < known; k++) counts[k]! += ones(places[k]!);
  }
  return counts;
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
