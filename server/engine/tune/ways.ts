import type { Dial } from "./job.ts";

/** Numbers that are moved as one, all of one plate. */
export interface Way {
  readonly plate: number;
  readonly step: number;
  readonly parts: readonly { readonly dial: number; readonly way: 1 | -1 }[];
}

/** Each number by itself, then those that go together. */
export function waysOf(dials: readonly Dial[]): Way[] {
  return [
    ...dials.map(({ plate, step }, dial): Way => ({ plate, step, parts: [{ dial, way: 1 }] })),
    ...dials.flatMap(({ plate, step, together = [] }, dial) =>
      together.map((other): Way => ({ plate, step, parts: [{ dial, way: 1 }, other] })),
    ),
  ];
}

/** Values of dials with some of them moved; undefined where that makes no sound recipe, or changes nothing. */
export function moved(
  dials: readonly Dial[],
  values: readonly number[],
  steps: readonly (readonly [dial: number, by: number])[],
): number[] | undefined {
  const next = [...values];
  for (const [d, by] of steps) {
    const { low, high, turn } = dials[d]!;
    const to = next[d]! + by;
    next[d] = turn ? ((to % 360) + 360) % 360 : Math.min(high, Math.max(low, to));
  }
  if (next.every((value, d) => value === values[d])) return undefined;
  return steps.every(([d]) => isSound(dials, d, next, values)) ? next : undefined;
}

/** Whether a dial's value goes with those that it is tied to; `from` are the values that it comes from. */
export function isSound(
  dials: readonly Dial[],
  d: number,
  values: readonly number[],
  from: readonly number[],
): boolean {
  const { over, under, turn } = dials[d]!;
  const value = values[d]!;
  if (over !== undefined && value < values[over]!) return false;
  if (under !== undefined && value > values[under]!) return false;
  if (!turn) return true;
  // Ends that pass one another would turn a narrow range into all but that range.
  const width = (of: readonly number[]) => {
    const [low, high] = turn.lower ? [of[d]!, of[turn.other]!] : [of[turn.other]!, of[d]!];
    return (high - low + 360) % 360;
  };
  return Math.abs(width(values) - width(from)) < 90 && width(values) <= 340;
}
