import { describe, expect, it } from "vitest";
import { openMask } from "../../../server/engine/inspect/opening.ts";
import { random } from "../../property.ts";

/** By the definition: a pixel stays where some square of the mask holds it. */
function slowly(mask: Uint8Array, width: number, height: number, side: number): number[] {
  const out = new Array<number>(mask.length).fill(0);
  for (let y = 0; y + side <= height; y++)
    for (let x = 0; x + side <= width; x++) {
      const square = Array.from(
        { length: side * side },
        (_, i) => (y + Math.floor(i / side)) * width + x + (i % side),
      );
      if (square.every((at) => mask[at] !== 0)) for (const at of square) out[at] = 1;
    }
  return out;
}

describe("opening", () => {
  it.each([1, 2, 3, 5])("by a square of %i equals its definition", (side) => {
    const next = random(side);
    for (const share of [0.3, 0.7, 0.9, 1]) {
      const mask = Uint8Array.from({ length: 17 * 11 }, () => (next() < share ? 1 : 0));
      const expected = slowly(mask, 17, 11, side);
      openMask(mask, 17, 11, side);
      expect([...mask]).toEqual(expected);
    }
  });
});
