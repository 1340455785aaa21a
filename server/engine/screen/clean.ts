import { kernelOf } from "../kernel.ts";
import { bytesPerRow, setBits } from "./bits.ts";
import { CLEAN_MODULE } from "./generated/clean.ts";
import { RunGroups } from "./run-groups.ts";

/** What was taken off a film: islands of ink, holes that were filled, and the pixels of each. */
export interface Dropped {
  readonly marks: number;
  readonly markPixels: number;
  readonly holes: number;
  readonly holePixels: number;
}

/** The compiled loops (clean.wat). */
interface Loops {
  both(to: number, a: number, b: number, k: number, count: number): void;
  either(to: number, a: number, b: number, k: number, count: number): void;
  touched(to: number, of: number, within: number, stride: number, corners: 0 | 1, count: number): void;
  without(to: number, a: number, b: number, count: number): number;
  complement(at: number, count: number): number;
}

const loopsWith = kernelOf<Loops>(CLEAN_MODULE);

const STEP = 16;
/** Rows looked at together. */
const STRIP_ROWS = 128;
/** Pixels that are joined to what they touch before the rest is followed pixel by pixel. */
const TOUCHES = 3;
/** Widest brush: what is outside of a row, `STEP` bytes, holds it. */
const WIDEST = 100;

/**
 * Takes off a film every island of ink into which no disc of `across` pixels fits, and then fills every hole likewise.
 * Ink that touches at corners is joined, clear film is not; what lies outside of the film is clear. Works in place on rows
 * of bits (bits.ts).
 */
export function cleanBits(bits: Uint8Array, width: number, height: number, across: number): Dropped {
  const brush = discRows(Math.min(WIDEST, Math.round(across)));
  if (brush.length <= 1 || width === 0) return { marks: 0, markPixels: 0, holes: 0, holePixels: 0 };
  const film = { bits, width, height };
  const islands = groupsWithout(film, brush, 0);
  islands.eachSmall((y, from, to) => clearBits(bits, y * bytesPerRow(width), from, to));
  const holes = groupsWithout(film, brush, 255);
  holes.eachSmall((y, from, to) => setBits(bits, y * bytesPerRow(width), from, to));
  return {
    marks: islands.small,
    markPixels: islands.smallPixels,
    holes: holes.small,
    holePixels: holes.smallPixels,
  };
}

/** For each row of a disc `side` pixels across where it begins and how wide it is: all pixels centred within it. */
export function discRows(side: number): { readonly from: number; readonly width: number }[] {
  const middle = (side - 1) / 2;
  return Array.from({ length: side }, (_, y) => {
    const half = Math.sqrt(Math.max(0, (side / 2) ** 2 - (y - middle) ** 2));
    const from = Math.ceil(middle - half);
    return { from, width: side - 2 * from };
  });
}

interface Film {
  readonly bits: Uint8Array;
  readonly width: number;
  readonly height: number;
}

type Brush = ReturnType<typeof discRows>;

/** Groups of pixels of ink, or with `flip` 255 of clear film, that hold no disc. */
function groupsWithout(film: Film, brush: Brush, flip: 0 | 255): RunGroups {
  const groups = new RunGroups(flip === 0);
  const strip = new Strip(film, brush, flip);
  for (let y = 0; y < film.height; y += STRIP_ROWS)
    strip.look(y, Math.min(film.height, y + STRIP_ROWS), groups);
  return groups;
}

/** Some rows of the film in the loops' memory, with as many more as the brush sees, all with margins. */
class Strip {
  readonly #film: Film;
  readonly #brush: Brush;
  readonly #flip: 0 | 255;
  readonly #margin: number;
  readonly #stride: number;
  readonly #loops: Loops;
  readonly #bytes: Uint8Array;
  /** Planes of bits: what is looked at, what is left of it, and two to work in. */
  readonly #planes: readonly [number, number, number, number];
  readonly #size: number;

  constructor(film: Film, brush: Brush, flip: 0 | 255) {
    this.#film = film;
    this.#brush = brush;
    this.#flip = flip;
    this.#margin = 2 * brush.length + TOUCHES + 1;
    this.#stride = 2 * STEP + STEP * Math.ceil(bytesPerRow(film.width) / STEP);
    this.#size = this.#stride * (STRIP_ROWS + 2 * this.#margin);
    // Shifted rows are read from before and behind a plane.
    const apart = this.#size + this.#stride * (brush.length + 1);
    const first = this.#stride * (brush.length + 1);
    this.#planes = [first, first + apart, first + 2 * apart, first + 3 * apart];
    const kernel = loopsWith(first + 4 * apart);
    this.#loops = kernel;
    this.#bytes = new Uint8Array(kernel.memory.buffer, 0, first + 4 * apart);
    this.#bytes.fill(0);
  }

  look(y0: number, y1: number, groups: RunGroups): void {
    const [all, rest] = this.#planes;
    const any = this.#load(y0, y1);
    const left = any && this.#open() ? rest : undefined;
    for (let y = y0; y < y1; y++) {
      const at = (y - y0 + this.#margin) * this.#stride + STEP;
      groups.row(
        y,
        left === undefined ? undefined : this.#rowOf(left, at),
        this.#rowOf(all, at),
        this.#rowOf(all, at - this.#stride),
      );
    }
  }

  #rowOf(plane: number, at: number): Uint8Array {
    return this.#bytes.subarray(plane + at, plane + at + bytesPerRow(this.#film.width));
  }

  /** Lays the rows out; whether any pixel is set. */
  #load(y0: number, y1: number): boolean {
    const { bits, width, height } = this.#film;
    const stride = bytesPerRow(width);
    const [all] = this.#planes;
    const rows = y1 - y0 + 2 * this.#margin;
    this.#bytes.fill(0, all, all + this.#size);
    let any = false;
    for (let row = 0; row < rows; row++) {
      const y = y0 - this.#margin + row;
      if (y < 0 || y >= height) continue;
      const from = bits.subarray(y * stride, (y + 1) * stride);
      this.#bytes.set(from, all + row * this.#stride + STEP);
      if (this.#flip === 0) any ||= from.some((byte) => byte !== 0);
    }
    return this.#flip === 0 ? any : this.#loops.complement(all, this.#size) !== 0;
  }

  /** Leaves what no disc covers, and what does not touch such parts closely; whether there is anything. */
  #open(): boolean {
    const [all, rest, one, two] = this.#planes;
    const { touched, without } = this.#loops;
    const stride = this.#stride;
    this.#erode(all, one, two);
    this.#dilate(one, rest, two);
    let [here, there] = [rest, one];
    for (let i = 0; i < TOUCHES; i++) {
      touched(there, here, all, stride, this.#flip === 0 ? 1 : 0, this.#size);
      [here, there] = [there, here];
    }
    return without(rest, all, here, this.#size) !== 0;
  }

  /** Pixels from which the whole brush, to the right and below, is set. */
  #erode(from: number, to: number, wide: number): void {
    const { both } = this.#loops;
    this.#bytes.fill(255, to, to + this.#size);
    let source = from;
    this.#eachWidth(
      (step) => {
        both(wide, source, source + (step >> 3), step & 7, this.#size);
        source = wide;
      },
      (row, dx) => both(to, to, source + row * this.#stride + (dx >> 3), dx & 7, this.#size),
    );
  }

  /** The brush laid at each of these pixels. */
  #dilate(from: number, to: number, wide: number): void {
    const { either } = this.#loops;
    this.#bytes.fill(0, to, to + this.#size);
    let source = from;
    this.#eachWidth(
      (step) => {
        either(wide, source, source - (step >> 3), step & 7, this.#size);
        source = wide;
      },
      (row, dx) => either(to, to, source - row * this.#stride - (dx >> 3), dx & 7, this.#size),
    );
  }

  /** The brush's rows from the narrowest on: widens what stands by a step after the other, and lays each row. */
  #eachWidth(widen: (step: number) => void, lay: (row: number, from: number) => void): void {
    let done = 1;
    for (const { from, width, row } of this.#brush
      .map((part, row) => ({ ...part, row }))
      .sort((a, b) => a.width - b.width)) {
      while (done < width) {
        const step = Math.min(done, width - done);
        widen(step);
        done += step;
      }
      lay(row, from);
    }
  }
}

function clearBits(bits: Uint8Array, row: number, from: number, to: number): void {
  for (let x = from; x < to; x++) bits[row + (x >> 3)]! &= ~(0x80 >> (x & 7));
}
