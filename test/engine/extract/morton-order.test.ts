import { expect, it } from "vitest";
import { mortonOrder } from "../../../server/engine/extract/morton-order.ts";
import { random } from "../../property.ts";

it("names each colour once, and has neighbours that are alike", () => {
  const next = random(8);
  const count = 20_000;
  const colours = Uint32Array.from({ length: count }, () => Math.floor(next() * 2 ** 32));
  const order = mortonOrder(colours);
  expect([...order].sort((a, b) => a - b)).toEqual(Array.from({ length: count }, (_, i) => i));
  /** Mean difference from one colour to the next, over red, green and blue. */
  const step = (sorted: Uint32Array) => {
    const rgba = new Uint8Array(sorted.buffer);
    let sum = 0;
    for (let i = 4; i < rgba.length; i++) if (i % 4 !== 3) sum += Math.abs(rgba[i]! - rgba[i - 4]!);
    return sum / count;
  };
  expect(step(order.map((i) => colours[i]!))).toBeLessThan(0.25 * step(colours));
});

it("keeps the order of colours that it takes for alike", () => {
  // They differ in opacity alone, and in the lowest bits.
  const colours = Uint32Array.of(0xff_20_20_20, 0x10_20_20_20, 0xff_21_22_23);
  expect([...mortonOrder(colours)]).toEqual([0, 1, 2]);
});
