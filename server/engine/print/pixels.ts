import { BYTE_OF_STEP, ENCODE_STEPS } from "../colour/srgb.ts";
import { kernelOf } from "../kernel.ts";
import { memo } from "../memo.ts";
import type { Tones } from "../raster.ts";
import type { MixingBands } from "./bands.ts";
import type { DotLattice } from "./dot-lattices.ts";
import type { DotOverlap } from "./dot-overlap.ts";
import { PIXELS_MODULE } from "./generated/pixels.ts";
import { power } from "./halftone.ts";

/** The compiled loops (pixels.wat). */
interface Loops {
  take(
    halftones: number,
    plates: number,
    stations: number,
    sorted: number,
    table: number,
    areas: number,
    bytes: number,
    lastByte: number,
    raised: number,
    lastRaised: number,
    toRgb: number,
  ): void;
  print(
    tones: number,
    stride: number,
    stations: number,
    count: number,
    first: number,
    out: number,
    pitch: number,
    colour: number,
  ): number;
}

const loopsWith = kernelOf<Loops>(PIXELS_MODULE);

/** Prints plates from `start` up to `end` to `out`, `pitch` bytes a pixel: 8-bit sRGB, and of four the last is 255. */
export type PrintPixels = (
  plates: readonly Tones[],
  start: number,
  end: number,
  out: Uint8Array | Uint8ClampedArray,
  pitch?: 3 | 4,
) => void;

/** What pixels are printed from. */
export interface Tabled {
  /** The overprints (`neugebauerPrimaries`). */
  readonly table: Float32Array;
  /** Printed area of each tone, 256 numbers a station. */
  readonly areas: readonly Float32Array[];
  readonly lattices: readonly DotLattice[];
  readonly bands: Pick<MixingBands, "toRgb">;
  /** Yule–Nielsen's n. */
  readonly n: number;
}

/** Pixels printed at a time. */
const PIECE = 1 << 12;
/** What lies before a plate's tones: room for the tone of the pixel before. */
const ROOM = 16;
const STRIDE = ROOM + PIECE;

/** Where things lie in the loops' memory; the larger tables, of a print's own size, last. */
const HALFTONES = 0;
const PLATES = HALFTONES + 16 * 16;
const STATIONS = PLATES + 16 * 16;
const SORTED = STATIONS + 16 * 16;
const TO_RGB = SORTED + 32 * 16;
const OUT = TO_RGB + 3 * 16;
const BYTES = OUT + 4 * PIECE + 16;
const RAISED = 4 * Math.ceil((BYTES + BYTE_OF_STEP.length) / 4);
/** Bands lie a little over 1 at most, in the steps of `BYTE_OF_STEP`. */
const RAISED_STEPS = ENCODE_STEPS + (ENCODE_STEPS >> 2);
const TABLES = 16 * Math.ceil((RAISED + 4 * RAISED_STEPS) / 16);

/**
 * The fast form. A pixel's colour is linear in every single area, so Demichel's sum over the overprints (`neugebauerPrimaries`)
 * is a row of straight interpolations: plates that are clear or solid choose among the overprints, and only the halftones
 * of a pixel, two or three as a rule, are interpolated: once, or in each ring where their dots nest (`eachRing`). Runs of one
 * colour are mixed once.
 */
export function pixelPrinter({ table, areas, lattices, bands: { toRgb }, n }: Tabled): PrintPixels {
  const areasAt = TABLES + (16 * table.length) / 3;
  const overlapsAt = areasAt + 1024 * areas.length;
  const { overlaps, stations } = overlapsBetween(lattices, areas);
  const bothAt = OVERLAP_BYTES * overlaps.length;
  const tonesAt = overlapsAt + 2 * bothAt;
  const size = tonesAt + STRIDE * areas.length + ROOM;
  const lay = (loops: ReturnType<typeof loopsWith>): void => {
    const { buffer } = loops.memory;
    const overprints = new Float32Array(buffer, TABLES);
    for (let from = 0, to = 0; from < table.length; from += 3, to += 4) {
      overprints[to] = table[from]!;
      overprints[to + 1] = table[from + 1]!;
      overprints[to + 2] = table[from + 2]!;
    }
    for (const [s, tones] of areas.entries()) new Float32Array(buffer, areasAt + 1024 * s).set(tones);
    for (const [i, { shared, both }] of overlaps.entries()) {
      new Float32Array(buffer, overlapsAt + OVERLAP_BYTES * i).set(shared);
      new Float32Array(buffer, overlapsAt + bothAt + OVERLAP_BYTES * i).set(both);
    }
    for (const [s, { table, place, lattice }] of stations.entries()) {
      const row = overlapsAt + OVERLAP_BYTES * table;
      new Int32Array(buffer, STATIONS + 16 * s).set([row, OVERLAP_BYTES * place, lattice, bothAt]);
    }
    new Uint8Array(buffer, BYTES).set(BYTE_OF_STEP);
    if (toRgb) {
      new Float32Array(buffer, RAISED).set(raisedTo(n));
      const columns = new Float32Array(buffer, TO_RGB, 12);
      for (let i = 0; i < 9; i++) columns[4 * (i % 3) + Math.floor(i / 3)] = toRgb[i]!;
    }
    const last = RAISED_STEPS - 1;
    const nest = lattices.length > 0 ? STATIONS : 0;
    const rgb = toRgb ? TO_RGB : 0;
    loops.take(HALFTONES, PLATES, nest, SORTED, TABLES, areasAt, BYTES, ENCODE_STEPS, RAISED, last, rgb);
  };
  const tables = { lay };
  return (plates, start, end, out, pitch = 3) => {
    const loops = loopsWith(size, tables);
    const memory = new Uint8Array(loops.memory.buffer);
    let colour = 0;
    for (let from = start; from < end; from += PIECE) {
      const count = Math.min(PIECE, end - from);
      const first = from === start ? 1 : 0;
      // The tone before the first pixel is of no account, and may lie outside of the plate.
      const before = from - 1 + first;
      for (let s = 0; s < areas.length; s++)
        memory.set(plates[s]!.subarray(before, from + count), tonesAt + STRIDE * s + ROOM - 1 + first);
      colour = loops.print(tonesAt + ROOM, STRIDE, areas.length, count, first, OUT, pitch, colour);
      out.set(memory.subarray(OUT, OUT + pitch * count), pitch * (from - start));
    }
  };
}

/** A table of 256 × 256 overlaps: of each tone of one station's with each of another's. */
const OVERLAP_BYTES = 4 * 256 * 256;

/**
 * The overlaps of stations that share a lattice, by tone: one table for each two curves of printed areas that meet in it.
 * `stations` has for each where its tables begin, which of them is that with a station of its own curve, and its
 * lattice's number; a station alone has a lattice of its own.
 */
function overlapsBetween(lattices: readonly DotLattice[], areas: readonly Float32Array[]) {
  const overlaps: Overlaps[] = [];
  const stations = areas.map((_, s) => ({ table: 0, place: 0, lattice: lattices.length + s }));
  for (const [number, lattice] of lattices.entries()) {
    const curves = [...new Set(lattice.stations.map((s) => areas[s]!))];
    for (const s of lattice.stations) {
      const place = curves.indexOf(areas[s]!);
      stations[s] = { table: overlaps.length + place * curves.length, place, lattice: number };
    }
    for (const own of curves)
      for (const other of curves) overlaps.push(overlapTable(lattice.overlap, own, other));
  }
  return { overlaps, stations };
}

/** Of two curves of printed areas, by the tones of both. */
interface Overlaps {
  /** What one dot shares with the other. */
  readonly shared: Float32Array;
  /** What both cover in print where no other halftone meets them: the sum over their rings. */
  readonly both: Float32Array;
}

type ByArea<T> = WeakMap<Float32Array, T>;
const tabled = new WeakMap<DotOverlap, ByArea<ByArea<Overlaps>>>();

/** Kept as long as what it is made of, since inks are tried one after the other on the same screens. */
function overlapTable(overlap: DotOverlap, own: Float32Array, other: Float32Array): Overlaps {
  const ofOverlap = entry(tabled, overlap, () => new WeakMap());
  const ofOwn = entry(ofOverlap, own, () => new WeakMap());
  return entry(ofOwn, other, () => {
    const shared = new Float32Array(256 * 256);
    const both = new Float32Array(256 * 256);
    const alone = (areas: Float32Array) => areas.map((a) => overlap.at(a, a));
    const [ownAlone, otherAlone] = [alone(own), alone(other)];
    for (let i = 0, at = 0; i < 256; i++)
      for (let j = 0; j < 256; j++, at++) {
        const [a, b] = [own[i]!, other[j]!];
        shared[at] = overlap.at(a, b);
        both[at] =
          a <= b
            ? coveredByBoth(a, b, ownAlone[i]!, otherAlone[j]!, shared[at]!)
            : coveredByBoth(b, a, otherAlone[j]!, ownAlone[i]!, shared[at]!);
      }
    return { shared, both };
  });
}

/** Of areas a ≤ b, from what each shares with its own dot and with the other's: `eachRing` for a pair. */
function coveredByBoth(a: number, b: number, aAlone: number, bAlone: number, shared: number): number {
  let sum = 0;
  if (a > 0) sum += (aAlone * shared) / a;
  if (b - a > 1e-6) sum += ((shared - aAlone) * (bAlone - shared)) / (b - a);
  if (b < 1) sum += ((a - shared) * (b - bAlone)) / (1 - b);
  return sum;
}

function entry<K extends object, V>(map: WeakMap<K, V>, key: K, make: () => V): V {
  let known = map.get(key);
  if (known === undefined) {
    known = make();
    map.set(key, known);
  }
  return known;
}

/** It stays while inks and garments are tried. */
const raisedTo = memo(1, (n: number) =>
  Float32Array.from({ length: RAISED_STEPS }, (_, step) => power(step / ENCODE_STEPS, n)),
);
