import { deltaE00 } from "../colour/ciede2000.ts";
import type { Lab } from "../colour/cielab.ts";
import type { Extraction } from "../plan.ts";
import { type LabColumns, SAME_COLOUR_DELTA_E } from "./lab-columns.ts";
import { hueMembership, LEAST_HUE_CHROMA, smoothFalloff } from "./ranges.ts";

/** An extraction compiled to a row of instructions for a small stack machine. */
interface Program {
  readonly ops: Uint8Array;
  /** `ARGS` numbers an instruction. */
  readonly args: Float64Array;
  /** The colours that `NEAR` looks for; its third argument is the number of one. */
  readonly nears: readonly Lab[];
  readonly depth: number;
}

const ARGS = 3;

/**
 * ΔE00 of all colours of a table from one, where it is remembered: NaN for those that nobody asked about yet. ΔE00 is the
 * dearest thing to ask of a colour, and stays the same while its range is widened.
 */
export type KnownDifferences = (from: Lab) => Float64Array;

const LIGHTNESS = 0;
const CHROMA = 1;
const HUE = 2;
const OPACITY = 3;
const NEAR = 4;
const ONE = 5;
/** Of the two topmost values one stays. */
const LEAST = 6;
const GREATEST = 7;
const NOT = 8;
/** Up to the instruction in the first argument, only for colours whose topmost value does not decide yet. */
const IF_NONE = 9;
const IF_FULL = 10;

const RANGES = { lightness: LIGHTNESS, chroma: CHROMA, hue: HUE, opacity: OPACITY } as const;

function compileExtraction(extraction: Extraction): Program {
  const ops: number[] = [];
  const args: number[] = [];
  const nears: Lab[] = [];
  let height = 0;
  let depth = 0;
  const emit = (op: number, pops: number, ...values: number[]) => {
    ops.push(op);
    for (let i = 0; i < ARGS; i++) args.push(values[i] ?? 0);
    height += 1 - pops;
    depth = Math.max(depth, height);
  };
  const visit = (e: Extraction): void => {
    switch (e.by) {
      case "near":
        emit(NEAR, 0, Math.max(e.within, SAME_COLOUR_DELTA_E), e.fade, nears.push(e.colour) - 1);
        break;
      case "artwork":
        emit(ONE, 0);
        break;
      case "given":
        emit(ONE, 0);
        emit(NOT, 1);
        break;
      case "all":
      case "any":
        choose(e.by === "all", e.of);
        break;
      case "except":
        visit(e.of);
        emit(NOT, 1);
        break;
      default:
        emit(RANGES[e.by], 0, e.from, e.to, e.fade);
    }
  };
  /** All takes the least of its parts, any the greatest; what cannot change it any more is not looked at. */
  const choose = (all: boolean, parts: readonly Extraction[]): void => {
    // Nothing at all to hold means that all of it holds; nothing to choose from means that none does.
    if (parts.length === 0) emit(ONE, 0);
    if (parts.length === 0 && !all) emit(NOT, 1);
    const exits: number[] = [];
    for (const [i, part] of parts.entries()) {
      if (i > 0) {
        exits.push(args.length);
        emit(all ? IF_NONE : IF_FULL, 1);
      }
      visit(part);
      if (i > 0) emit(all ? LEAST : GREATEST, 2);
    }
    for (const at of exits) args[at] = ops.length;
  };
  visit(extraction);
  return { ops: Uint8Array.from(ops), args: Float64Array.from(args), nears, depth };
}

/** Colours looked at together. */
export const COLOURS_AT_ONCE = 1024;
const ALL = Uint32Array.from({ length: COLOURS_AT_ONCE }, (_, j) => j);

/**
 * How far an extraction takes colours. Looks at many at once, part by part of the extraction: one instruction over a
 * thousand colours costs a fraction of a thousand walks over all instructions. All takes the least and any the
 * greatest of its parts, so that neither depends on their order or repetition.
 */
export class Membership {
  readonly #program: Program;
  /** The stack: a column of values, one a colour. */
  readonly #columns: readonly Float64Array[];
  /** Colours that are still open, one list within the other, and the instruction at which each list ends. */
  readonly #open: Uint32Array[] = [ALL];
  readonly #counts: number[] = [0];
  readonly #until: number[] = [0];
  readonly #remembered: readonly (Float64Array | undefined)[];

  /** `remembered` is for one table of colours: then `of` may be asked about no other. */
  constructor(extraction: Extraction, remembered?: KnownDifferences) {
    this.#program = compileExtraction(extraction);
    this.#remembered = this.#program.nears.map((near) => remembered?.(near));
    this.#columns = Array.from({ length: this.#program.depth }, () => new Float64Array(COLOURS_AT_ONCE));
  }

  /** Membership 0–1 of the first colour alone. */
  one(colours: LabColumns): number {
    return this.of(colours, 0, 1)[0]!;
  }

  /**
   * Memberships 0–1 of `count` colours, at most `COLOURS_AT_ONCE`, from number `first`. What is returned is written over
   * by the next call.
   */
  of(colours: LabColumns, first: number, count: number): Float64Array {
    const { ops, args, nears } = this.#program;
    this.#counts[0] = count;
    let level = 0;
    let top = 0;
    for (let i = 0; i < ops.length; i++) {
      while (level > 0 && this.#until[level] === i) level--;
      const open = this.#open[level]!;
      const n = this.#counts[level]!;
      const op = ops[i]!;
      const at = i * ARGS;
      if (op === IF_NONE || op === IF_FULL) {
        const until = args[at]!;
        const left = this.#close(level, this.#columns[top - 1]!, op === IF_NONE ? 0 : 1);
        level++;
        this.#until[level] = until;
        // What follows up to there would be worked out for nobody.
        if (left === 0) i = until - 1;
      } else if (op === NOT) {
        const v = this.#columns[top - 1]!;
        for (let k = 0; k < n; k++) v[open[k]!] = 1 - v[open[k]!]!;
      } else if (op === LEAST || op === GREATEST) {
        top--;
        choose(op === LEAST, this.#columns[top - 1]!, this.#columns[top]!, open, n);
      } else if (op === NEAR) {
        const near = nears[args[at + 2]!]!;
        const known = this.#remembered[args[at + 2]!];
        pushNear(colours, near, known, args[at]!, args[at + 1]!, first, open, n, this.#columns[top++]!);
      } else push(op, args, at, colours, first, open, n, this.#columns[top++]!);
    }
    return this.#columns[0]!;
  }

  /** Leaves out, one level deeper, the colours whose value is decided. Returns how many are left. */
  #close(level: number, values: Float64Array, decided: number): number {
    const open = this.#open[level]!;
    const n = this.#counts[level]!;
    this.#open[level + 1] ??= new Uint32Array(COLOURS_AT_ONCE);
    const next = this.#open[level + 1]!;
    let left = 0;
    for (let k = 0; k < n; k++) {
      const j = open[k]!;
      if (values[j] !== decided) next[left++] = j;
    }
    this.#counts[level + 1] = left;
    return left;
  }
}

/** Of two values of each colour the lesser or the greater, into the first column. */
function choose(least: boolean, into: Float64Array, other: Float64Array, open: Uint32Array, n: number): void {
  for (let k = 0; k < n; k++) {
    const j = open[k]!;
    if (least ? other[j]! < into[j]! : other[j]! > into[j]!) into[j] = other[j]!;
  }
}

/** Writes what one instruction says of each open colour. */
function push(
  op: number,
  args: Float64Array,
  at: number,
  colours: LabColumns,
  first: number,
  open: Uint32Array,
  n: number,
  into: Float64Array,
): void {
  const x = args[at]!;
  const y = args[at + 1]!;
  const z = args[at + 2]!;
  switch (op) {
    case LIGHTNESS:
      pushRange(colours.L, x, y, z, first, open, n, into);
      break;
    case CHROMA:
      pushRange(colours.chroma, x, y, z, first, open, n, into);
      break;
    case OPACITY:
      pushRange(colours.opacity, x, y, z, first, open, n, into);
      break;
    case HUE:
      pushHue(colours, x, y, z, first, open, n, into);
      break;
    case ONE:
      for (let k = 0; k < n; k++) into[open[k]!] = 1;
  }
}

function pushRange(
  column: Float64Array,
  from: number,
  to: number,
  fade: number,
  first: number,
  open: Uint32Array,
  n: number,
  into: Float64Array,
): void {
  for (let k = 0; k < n; k++) {
    const j = open[k]!;
    const v = column[first + j]!;
    into[j] = smoothFalloff(v < from ? from - v : v - to, fade);
  }
}

function pushHue(
  { hue, chroma }: LabColumns,
  from: number,
  to: number,
  fade: number,
  first: number,
  open: Uint32Array,
  n: number,
  into: Float64Array,
): void {
  for (let k = 0; k < n; k++) {
    const j = open[k]!;
    const chromatic = Math.min(1, chroma[first + j]! / LEAST_HUE_CHROMA);
    into[j] = chromatic * hueMembership(hue[first + j]!, from, to, fade);
  }
}

/** SL of ISO/CIE 11664-6 at L* 0 or 100, rounded up: ΔE00 is never less than ΔL* over it. */
const LARGEST_SL = 1.75;

function pushNear(
  colours: LabColumns,
  { L, a, b }: Lab,
  known: Float64Array | undefined,
  within: number,
  fade: number,
  first: number,
  open: Uint32Array,
  n: number,
  into: Float64Array,
): void {
  for (let k = 0; k < n; k++) {
    const j = open[k]!;
    const i = first + j;
    // ΔE00 is never less than ΔL* over the largest SL: most colours are out of reach by lightness alone.
    if (Math.abs(colours.L[i]! - L) > LARGEST_SL * (within + fade)) {
      into[j] = 0;
      continue;
    }
    let difference = known ? known[i]! : Number.NaN;
    if (Number.isNaN(difference)) {
      difference = deltaE00(colours.L[i]!, colours.a[i]!, colours.b[i]!, L, a, b);
      if (known) known[i] = difference;
    }
    into[j] = smoothFalloff(difference - within, fade);
  }
}
