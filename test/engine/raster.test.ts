import { expect, it } from "vitest";
import { share, wholeWords } from "../../server/engine/raster.ts";

it("shows bytes four at a time, also of a Node buffer at an odd place in memory, and leaves out what is left over", () => {
  const bytes = [1, 2, 3, 4, 5, 6, 7, 8, 9];
  for (const at of [0, 1, 2, 3]) {
    const whole = Buffer.from(new ArrayBuffer(16), at, 9);
    whole.set(bytes);
    const words = wholeWords(whole);
    expect([...new Uint8Array(words.buffer, words.byteOffset, words.byteLength)]).toEqual(bytes.slice(0, 8));
  }
});

it("is a view where bytes lie on whole words, and no copy", () => {
  const bytes = new Uint8Array(8);
  const words = wholeWords(bytes);
  bytes[4] = 7;
  expect(words[1]).not.toBe(0);
});

it("multiplies bytes as shares of 255, rounded to the nearest", () => {
  for (let a = 0; a < 256; a += 5)
    for (let b = 0; b < 256; b++) expect(share(a, b)).toBe(Math.round((a * b) / 255));
});
