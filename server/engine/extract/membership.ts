import { deltaE00 } from "../colour/ciede2000.ts";
import { chromaOf, hueOf } from "../colour/cielab.ts";
import type { Extraction } from "../plan.ts";

/**
 * Extractions compiled to a row of instructions for a small stack machine, so that evaluating one for a colour
 * neither allocates nor follows objects.
 */
export interface Program {
  readonly ops: Uint8Array;
  /** `ARGS` numbers an instruction. */
  readonly args: Float64Array;
  readonly depth: number;
}

const ARGS = 5;

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
/** To the instruction in the first argument, where the topmost value already decides. */
const IF_NONE = 9;
const IF_FULL = 10;

const RANGES = { lightness: LIGHTNESS, chroma: CHROMA, hue: HUE, opacity: OPACITY } as const;

/** Under this C*ab the hue of a colour is noise, and its membership in a range of hues fades to nothing. */
export const LEAST_HUE_CHROMA = 2;

/**
 * Colours nearer to one another than this ΔE00 are the same: a pixel's CIELAB is worked out to well within it
 * (test/reference/fast-lab.test.ts), and a colour must be near itself.
 */
export const LEAST_DIFFERENCE = 0.005;

/** SL of ISO/CIE 11664-6 at L* 0 or 100, rounded up. */
const LARGEST_SL = 1.75;

export function compileExtraction(extraction: Extraction): Program {
  const ops: number[] = [];
  const args: number[] = [];
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
        emit(NEAR, 0, Math.max(e.within, LEAST_DIFFERENCE), e.fade, e.colour.L, e.colour.a, e.colour.b);
        break;
      case "artwork":
        emit(ONE, 0);
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
  return { ops: Uint8Array.from(ops), args: Float64Array.from(args), depth };
}

/** What extractions look at in one colour, written into a buffer so that pixel loops allocate nothing. */
export const COLOUR_FIELDS = 6;
const L_ = 0;
const A_ = 1;
const B_ = 2;
const C_ = 3;
const H_ = 4;
const OPACITY_ = 5;

/** Fills `colour`, whose first three are L*, a* and b*, with C*ab, hab and the artwork's opacity 0–100. */
export function completeColour(colour: Float64Array, opacity: number): void {
  const chroma = chromaOf(colour[A_]!, colour[B_]!);
  // A grey's chroma is rounding noise; it must lie inside of a range that ends at 0.
  colour[C_] = chroma < LEAST_DIFFERENCE ? 0 : chroma;
  colour[H_] = hueOf(colour[A_]!, colour[B_]!);
  colour[OPACITY_] = opacity;
}

/**
 * Membership 0–1 of the colour (`completeColour`) that starts at `from` in `colours`. `stack` holds at least
 * `program.depth` numbers. All takes the least and any the greatest of its parts, so that neither depends on their
 * order or repetition.
 */
export function membership(program: Program, colours: Float64Array, stack: Float64Array, from = 0): number {
  const ops = program.ops;
  const args = program.args;
  let top = 0;
  for (let i = 0, at = 0; i < ops.length; i++, at += ARGS) {
    const x = args[at]!;
    const y = args[at + 1]!;
    const z = args[at + 2]!;
    switch (ops[i]) {
      case LIGHTNESS:
        stack[top++] = inRange(colours[from + L_]!, x, y, z);
        break;
      case CHROMA:
        stack[top++] = inRange(colours[from + C_]!, x, y, z);
        break;
      case HUE:
        stack[top++] =
          Math.min(1, colours[from + C_]! / LEAST_HUE_CHROMA) * inTurn(colours[from + H_]!, x, y, z);
        break;
      case OPACITY:
        stack[top++] = inRange(colours[from + OPACITY_]!, x, y, z);
        break;
      case NEAR: {
        // ΔE00 is never less than ΔL* over the largest SL: most colours are out of reach by lightness alone.
        if (Math.abs(colours[from + L_]! - z) > LARGEST_SL * (x + y)) {
          stack[top++] = 0;
          break;
        }
        const difference = deltaE00(
          colours[from + L_]!,
          colours[from + A_]!,
          colours[from + B_]!,
          z,
          args[at + 3]!,
          args[at + 4]!,
        );
        stack[top++] = falling(difference - x, y);
        break;
      }
      case ONE:
        stack[top++] = 1;
        break;
      case NOT:
        stack[top - 1] = 1 - stack[top - 1]!;
        break;
      case IF_NONE:
        if (stack[top - 1] !== 0) break;
        i = x - 1;
        at = i * ARGS;
        break;
      case IF_FULL:
        if (stack[top - 1]! < 1) break;
        i = x - 1;
        at = i * ARGS;
        break;
      case LEAST:
        top--;
        if (stack[top]! < stack[top - 1]!) stack[top - 1] = stack[top]!;
        break;
      case GREATEST:
        top--;
        if (stack[top]! > stack[top - 1]!) stack[top - 1] = stack[top]!;
        break;
    }
  }
  return stack[0]!;
}

function inRange(v: number, from: number, to: number, fade: number): number {
  return falling(v < from ? from - v : v - to, fade);
}

function inTurn(hue: number, from: number, to: number, fade: number): number {
  const inside = from <= to ? hue >= from && hue <= to : hue >= from || hue <= to;
  return inside ? 1 : falling(Math.min(arc(hue, from), arc(hue, to)), fade);
}

/** Degrees between two hues the short way round. */
function arc(a: number, b: number): number {
  const d = Math.abs(a - b);
  return d > 180 ? 360 - d : d;
}

/** 1 up to the range's end, then a smooth step down to 0 at `fade` beyond it. */
function falling(beyond: number, fade: number): number {
  if (beyond <= 0) return 1;
  if (beyond >= fade) return 0;
  const t = beyond / fade;
  return 1 - t * t * (3 - 2 * t);
}
