import type { Lab, LinearRgb } from "../colour/cielab.ts";
import { BYTE_OF_STEP, ENCODE_STEPS } from "../colour/srgb.ts";
import type { Tones } from "../raster.ts";
import { mixingBands } from "./bands.ts";
import { areaTable, type Gain } from "./gain.ts";
import { power } from "./halftone.ts";
import { filmOf, groundOf, type InkFilm } from "./ink-film.ts";
import { Mixer } from "./mixer.ts";
import { mixInFull, overprintTable } from "./overprints.ts";

/** One station that prints. Wet on wet or after a flash, a film lies on the films before it: the rules are the same. */
export interface Station {
  readonly ink: InkFilm;
  /** How tones on film grow in print; without it they do not. */
  readonly gain?: Gain | undefined;
}

/** What stations print on, and how. */
export interface PrintConditions {
  readonly garment: Lab;
  /** Yule–Nielsen's n; 1 mixes by area alone. */
  readonly n: number;
  /** Whether films are compensated for dot gain. */
  readonly compensated: boolean;
  /** The film's smallest dot, tone 0–1. */
  readonly smallestDot: number;
}

/** What the press is expected to give. One forward model serves proof, solver, measurements and panel, so that they agree. */
export interface Print {
  /**
   * Prints the plates, one a station in print order, a byte a pixel, 255 = solid. Writes pixels `start` up to `end` as
   * 8-bit sRGB, three bytes a pixel, to `out` from its beginning.
   */
  print(plates: readonly Tones[], start: number, end: number, out: Uint8Array): void;
  /** The full form, for one set of printed areas 0–1; linear sRGB, not clipped. */
  colour(areas: ArrayLike<number>): LinearRgb;
  /** Printed area of each plate tone, 256 numbers a station. */
  readonly areas: readonly Float32Array[];
  /** The overprints (`overprintTable`), or undefined where there are too many stations for a table. */
  readonly table: Float32Array | undefined;
}

/** Stations whose overprints are tabled: 16,384 of them take 200 kB and a few milliseconds. */
export const MOST_TABLED = 14;

/**
 * Makes a print ready: films, their overprints, tone tables. Costs milliseconds, mostly once an ink, so an edited ink
 * is cheap; `Print.print` then allocates nothing that grows with the picture.
 */
export function preparePrint(conditions: PrintConditions, stations: readonly Station[]): Print {
  const { garment, n, compensated, smallestDot } = conditions;
  const bands = mixingBands(n);
  const ground = keptGround(garment);
  const films = stations.map(({ ink }) => keptFilm(ink));
  const areas = stations.map(({ gain }) => areaTable(gain, compensated, smallestDot));
  const table = films.length <= MOST_TABLED ? overprintTable(ground, films, bands, n) : undefined;
  const encode = encoder(bands.toRgb, n);
  const colour = (at: ArrayLike<number>) => mixInFull(ground, films, at, bands, n);
  return {
    areas,
    table,
    colour,
    print: table ? tabled(table, areas, encode) : inFull(colour, areas),
  };
}

const KEPT = 256;

/** The same function, which keeps what it made of the latest arguments. */
function kept<A, B>(make: (from: A) => B): (from: A) => B {
  const made = new Map<string, B>();
  return (from) => {
    const key = JSON.stringify(from);
    let known = made.get(key);
    if (known === undefined) {
      if (made.size >= KEPT) made.clear();
      known = make(from);
      made.set(key, known);
    }
    return known;
  };
}

const keptFilm = kept(filmOf);
const keptGround = kept(groundOf);

/** Roots are raised by table; a band is 0 up to a little over 1. */
const POWER_STEPS = 1 << 14;
const POWER_SIZE = POWER_STEPS + (POWER_STEPS >> 2);

type Encode = (x: number, y: number, z: number, out: Uint8Array, at: number) => void;

/** From mixing bands to 8-bit sRGB; what lies outside of it is clipped. */
function encoder(toRgb: readonly number[] | undefined, n: number): Encode {
  if (!toRgb) {
    return (x, y, z, out, at) => {
      out[at] = byte(x);
      out[at + 1] = byte(y);
      out[at + 2] = byte(z);
    };
  }
  const [a, b, c, d, e, f, g, h, i] = toRgb as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const raised = raisedTo(n);
  return (x, y, z, out, at) => {
    const p = raised[(x * POWER_STEPS + 0.5) | 0]!;
    const q = raised[(y * POWER_STEPS + 0.5) | 0]!;
    const r = raised[(z * POWER_STEPS + 0.5) | 0]!;
    out[at] = byte(a * p + b * q + c * r);
    out[at + 1] = byte(d * p + e * q + f * r);
    out[at + 2] = byte(g * p + h * q + i * r);
  };
}

let latest: { readonly n: number; readonly raised: Float64Array } | undefined;

/** Kept, since it stays while inks and garments are tried. */
function raisedTo(n: number): Float64Array {
  if (latest?.n !== n)
    latest = {
      n,
      raised: Float64Array.from({ length: POWER_SIZE }, (_, step) => power(step / POWER_STEPS, n)),
    };
  return latest.raised;
}

function byte(light: number): number {
  return light <= 0 ? 0 : light >= 1 ? 255 : BYTE_OF_STEP[(light * ENCODE_STEPS + 0.5) | 0]!;
}

/**
 * The fast form. A pixel's colour is linear in every single area, so Demichel's sum over the overprints is a row of
 * straight interpolations: plates that are clear or solid choose among the overprints, and only the halftones of a
 * pixel, two or three as a rule, are interpolated. Runs of one colour are mixed once.
 */
function tabled(table: Float32Array, areas: readonly Float32Array[], encode: Encode): Print["print"] {
  const count = areas.length;
  const mixer = new Mixer(table, count);
  const { share, offset, mixed } = mixer;
  const last = new Uint8Array(count);
  return (plates, start, end, out) => {
    for (let i = start, o = 0; i < end; i++, o += 3) {
      let s = 0;
      if (i > start) while (s < count && plates[s]![i] === last[s]) s++;
      if (s === count && i > start) {
        out[o] = out[o - 3]!;
        out[o + 1] = out[o - 2]!;
        out[o + 2] = out[o - 1]!;
        continue;
      }
      let base = 0;
      let halftones = 0;
      for (s = 0; s < count; s++) {
        const tone = plates[s]![i]!;
        last[s] = tone;
        if (tone === 0) continue;
        const a = areas[s]![tone]!;
        if (a >= 1) base += 3 << s;
        else if (a > 0) {
          share[halftones] = a;
          offset[halftones++] = 3 << s;
        }
      }
      mixer.mix(base, halftones);
      encode(mixed[0]!, mixed[1]!, mixed[2]!, out, o);
    }
  };
}

/** For more stations than a table can hold. */
function inFull(colour: Print["colour"], areas: readonly Float32Array[]): Print["print"] {
  const here = new Float64Array(areas.length);
  return (plates, start, end, out) => {
    for (let i = start, o = 0; i < end; i++, o += 3) {
      if (i > start && plates.every((tones) => tones[i] === tones[i - 1])) {
        out.copyWithin(o, o - 3, o);
        continue;
      }
      for (let s = 0; s < here.length; s++) here[s] = areas[s]![plates[s]![i]!]!;
      const { r, g, b } = colour(here);
      out[o] = byte(r);
      out[o + 1] = byte(g);
      out[o + 2] = byte(b);
    }
  };
}
