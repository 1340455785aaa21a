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
const LEAST = 6;
const GREATEST = 7;
const NOT = 8;

const RANGES = { lightness: LIGHTNESS, chroma: CHROMA, hue: HUE, opacity: OPACITY } as const;

/** Under this C*ab the hue of a colour is noise, and its membership in a range of hues fades to nothing. */
export const LEAST_HUE_CHROMA = 2;

/**
 * Colours nearer to one another than this ΔE00 are the same: a pixel's CIELAB is worked out to well within it
 * (test/reference/fast-lab.test.ts), and a colour must be near itself.
 */
export const LEAST_DIFFERENCE = 0.005;

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
        e.of.forEach(visit);
        // Nothing at all to hold means that all of it holds; nothing to choose from means that none does.
        if (e.of.length === 0) emit(ONE, 0);
        if (e.of.length === 0 && e.by === "any") emit(NOT, 1);
        if (e.of.length > 1) emit(e.by === "all" ? LEAST : GREATEST, e.of.length, e.of.length);
        break;
      case "except":
        visit(e.of);
        emit(NOT, 1);
        break;
      default:
        emit(RANGES[e.by], 0, e.from, e.to, e.fade);
    }
  };
  visit(extraction);
  return { ops: Uint8Array.from(ops), args: Float64Array.from(args), depth };
}

/**
 * Membership 0–1 of the colour L*, a*, b* with opacity 0–100. `stack` holds at least `program.depth` numbers.
 * All takes the least and any the greatest of its parts, so that neither depends on their order or repetition.
 */
export function membership(
  { ops, args }: Program,
  L: number,
  a: number,
  b: number,
  opacity: number,
  stack: Float64Array,
): number {
  let top = 0;
  for (let i = 0, at = 0; i < ops.length; i++, at += ARGS) {
    const x = args[at]!;
    const y = args[at + 1]!;
    const z = args[at + 2]!;
    switch (ops[i]) {
      case LIGHTNESS:
        stack[top++] = inRange(L, x, y, z);
        break;
      case CHROMA:
        stack[top++] = inRange(chromaOf(a, b), x, y, z);
        break;
      case HUE: {
        const certain = Math.min(1, chromaOf(a, b) / LEAST_HUE_CHROMA);
        stack[top++] = certain * inTurn(hueOf(a, b), x, y, z);
        break;
      }
      case OPACITY:
        stack[top++] = inRange(opacity, x, y, z);
        break;
      case NEAR:
        stack[top++] = falling(deltaE00(L, a, b, z, args[at + 3]!, args[at + 4]!) - x, y);
        break;
      case ONE:
        stack[top++] = 1;
        break;
      case NOT:
        stack[top - 1] = 1 - stack[top - 1]!;
        break;
      default: {
        let result = stack[top - 1]!;
        for (let k = 2; k <= x; k++) {
          const other = stack[top - k]!;
          if (ops[i] === LEAST ? other < result : other > result) result = other;
        }
        top -= x - 1;
        stack[top - 1] = result;
      }
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
