/** Six numbers of a transformation, as PDF writes them: x' = a x + c y + e, y' = b x + d y + f (ISO 32000-1, 8.3.3). */
export type Matrix = readonly [a: number, b: number, c: number, d: number, e: number, f: number];

/** In points from the page's origin. */
export interface Box {
  readonly left: number;
  readonly bottom: number;
  readonly right: number;
  readonly top: number;
}

/** An operand: a number, a name with its slash, or a list; of strings and dictionaries nothing is kept. */
type Operand = number | string | readonly Operand[] | undefined;

/** What somebody who reads a page's content hears of it, operator by operator. */
export type OnOperator = (operator: string, operands: readonly Operand[]) => void;

const SPACE = /[\0\t\n\f\r ]+|%[^\r\n]*/y;
const NUMBER = /[+-]?(?:\d+\.?\d*|\.\d+)/y;
const NAME = /\/[^\0\t\n\f\r ()<>[\]{}/%]*/y;
const WORD = /[^\0\t\n\f\r ()<>[\]{}/%]+/y;
const HEX = /<[0-9A-Fa-f\0\t\n\f\r ]*>/y;

/** Most operands of one operator, and most levels of lists. */
const MOST_OPERANDS = 4096;
const MOST_LEVELS = 32;

/**
 * Reads a content stream (ISO 32000-1, 7.8.2), its bytes as Latin-1. False where it holds what is not read here: pictures
 * within the text, or what is no content.
 */
export function readContent(text: string, onOperator: OnOperator): boolean {
  let at = 0;
  let operands: Operand[] = [];
  const match = (pattern: RegExp) => {
    pattern.lastIndex = at;
    const found = pattern.exec(text);
    if (found) at = pattern.lastIndex;
    return found?.[0];
  };
  const string = () => {
    let depth = 0;
    do {
      const sign = text[at++];
      if (sign === "\\") at++;
      else if (sign === "(") depth++;
      else if (sign === ")") depth--;
    } while (depth > 0 && at < text.length);
  };
  const value = (level: number): { readonly value: Operand } | undefined => {
    if (level > MOST_LEVELS) return undefined;
    const sign = text[at];
    const name = sign === "/" ? match(NAME) : undefined;
    if (name !== undefined) return { value: unescaped(name) };
    const number = match(NUMBER);
    if (number !== undefined) return { value: Number(number) };
    if (sign === "(") {
      string();
      return { value: undefined };
    }
    if (sign === "[" || text.startsWith("<<", at)) {
      const end = sign === "[" ? "]" : ">>";
      at += end.length;
      const list: Operand[] = [];
      for (;;) {
        while (match(SPACE) !== undefined);
        if (text.startsWith(end, at)) break;
        if (at >= text.length || list.length > MOST_OPERANDS) return undefined;
        const item = value(level + 1) ?? (match(WORD) === undefined ? undefined : { value: undefined });
        if (!item) return undefined;
        list.push(item.value);
      }
      at += end.length;
      return { value: sign === "[" ? list : undefined };
    }
    return match(HEX) === undefined ? undefined : { value: undefined };
  };
  for (;;) {
    while (match(SPACE) !== undefined);
    if (at >= text.length) return true;
    const operand = value(0);
    if (operand) {
      if (operands.push(operand.value) > MOST_OPERANDS) return false;
      continue;
    }
    const operator = match(WORD);
    if (operator === undefined || operator === "BI") return false;
    onOperator(operator, operands);
    operands = [];
  }
}

/** A name's bytes, as Latin-1, #xx as what they stand for (7.3.5). */
function unescaped(name: string): string {
  return name.replaceAll(/#([0-9a-f]{2})/gi, (_, hex: string) =>
    String.fromCharCode(Number.parseInt(hex, 16)),
  );
}

/** The one after the other: first `inner`, then `outer`. */
export function times(inner: Matrix, outer: Matrix): Matrix {
  const [a, b, c, d, e, f] = inner;
  const [A, B, C, D, E, F] = outer;
  return [a * A + b * C, a * B + b * D, c * A + d * C, c * B + d * D, e * A + f * C + E, e * B + f * D + F];
}

export function placed([a, b, c, d, e, f]: Matrix, x: number, y: number): readonly [number, number] {
  return [a * x + c * y + e, b * x + d * y + f];
}

/** The box of some points, x and y in turn. */
export function boxOf(points: readonly number[]): Box {
  let [left, bottom, right, top] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < points.length; i += 2) {
    left = Math.min(left, points[i]!);
    right = Math.max(right, points[i]!);
    bottom = Math.min(bottom, points[i + 1]!);
    top = Math.max(top, points[i + 1]!);
  }
  return { left, bottom, right, top };
}

/** Whether two boxes have more than an edge in common. */
export function meet(a: Box, b: Box): boolean {
  const least = 1e-3;
  return (
    Math.min(a.right, b.right) - Math.max(a.left, b.left) > least &&
    Math.min(a.top, b.top) - Math.max(a.bottom, b.bottom) > least
  );
}

/** Whether one box lies within another, but for a hair. */
export function liesWithin(inner: Box, outer: Box): boolean {
  const hair = 0.02;
  return (
    inner.left >= outer.left - hair &&
    inner.right <= outer.right + hair &&
    inner.bottom >= outer.bottom - hair &&
    inner.top <= outer.top + hair
  );
}
