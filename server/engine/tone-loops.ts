import { TONES_MODULE } from "./generated/tones.ts";
import { kernelOf } from "./kernel.ts";
import type { Tones } from "./raster.ts";

/** The compiled loops (tones.wat). */
interface Loops {
  limit(at: number, dot: number, count: number): void;
  knockOut(at: number, holes: number, count: number): void;
  join(at: number, guests: number, count: number): void;
}

const loopsWith = kernelOf<Loops>(TONES_MODULE);

/** Tones taken into the loops' memory at a time: two pieces stay in a processor's own. */
const PIECE = 1 << 14;

/** Tones under a dot, 1–127, go to nothing or to it, whichever is nearer; nearly solid ones likewise. In place. */
export function limitTo(dot: number, tones: Tones): void {
  eachPiece(tones, undefined, tones, (loops, count) => loops.limit(0, dot, count));
}

/** tone · (1 − hole), rounded to the nearest 255th, to `out`, which may be `tones`. */
export function knockOutOnce(tones: Tones, holes: Tones, out: Tones): void {
  eachPiece(tones, holes, out, (loops, count) => loops.knockOut(0, PIECE, count));
}

/** 1 − (1 − tone) · (1 − guest), rounded to the nearest 255th, to `out`, which may be `tones`. */
export function joinOnce(tones: Tones, guests: Tones, out: Tones): void {
  eachPiece(tones, guests, out, (loops, count) => loops.join(0, PIECE, count));
}

function eachPiece(
  tones: Tones,
  others: Tones | undefined,
  out: Tones,
  work: (loops: Loops, count: number) => void,
): void {
  const loops = loopsWith(2 * PIECE);
  const memory = new Uint8Array(loops.memory.buffer, 0, 2 * PIECE);
  for (let from = 0; from < out.length; from += PIECE) {
    const to = Math.min(out.length, from + PIECE);
    memory.set(tones.subarray(from, to));
    if (others) memory.set(others.subarray(from, to), PIECE);
    // In whole steps: what lies beyond the last tone is not read again.
    work(loops, to - from);
    out.set(memory.subarray(0, to - from), from);
  }
}
