import { coverOf, type Labels } from "./label.ts";

/** Ink across a line from which it is drawn whole, in pixels, and in its middle. */
const ACROSS = 0.62;
const MIDDLE = 0.3;
/** The share, of 255, that it gets: more than half. */
const RAISED = 140;

/**
 * Lines thinner than a pixel keep a pixel in every row, or they would break up: where a colour is only ever the smaller
 * share, the middle of its line becomes its own. Works in place.
 */
export function keepHairlines(labels: Labels): void {
  const { width, height, first, second, share } = labels;
  const raised: number[] = [];
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1; x < width - 1; x++) {
      const i = y * width + x;
      const k = second[i]!;
      if (k === first[i] || 255 - share[i]! < 255 * MIDDLE) continue;
      const own = 255 - share[i]!;
      for (const step of [1, width]) {
        const [before, after] = [i - step, i + step];
        const [a, b] = [coverOf(labels, before, k), coverOf(labels, after, k)];
        // Not beside a pixel whose own it is, which has more of it; of two that are alike the first one.
        if (a >= own || b > own || a + own + b < 255 * ACROSS) continue;
        raised.push(i);
        break;
      }
    }
  }
  for (const i of raised) {
    [first[i], second[i]] = [second[i]!, first[i]!];
    share[i] = RAISED;
  }
}
