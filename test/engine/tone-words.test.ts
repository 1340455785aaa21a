import fc from "fast-check";
import { expect, it } from "vitest";
import { sumOfTones, wordsOf } from "../../server/engine/tone-words.ts";
import { holds } from "../property.ts";

const somewhere = fc.tuple(fc.array(fc.nat(255), { maxLength: 700 }), fc.nat(5)).map(([tones, offset]) => {
  const memory = new Uint8Array(offset + tones.length + 4).fill(200);
  memory.set(tones, offset);
  return memory.subarray(offset, offset + tones.length);
});

it("words are the tones, but for those that are left over on either side", () => {
  holds(
    fc.property(somewhere, (tones) => {
      const { words, first, end } = wordsOf(tones);
      const within = new Uint8Array(words.buffer, words.byteOffset, words.byteLength);
      expect([...within]).toEqual([...tones.subarray(first, end)]);
      expect([first <= 3, tones.length - end <= 3]).toEqual([true, true]);
    }),
  );
});

it("sums tones, solid ones too, wherever they lie", () => {
  holds(
    fc.property(somewhere, (tones) => {
      expect(sumOfTones(tones)).toBe([...tones].reduce((sum, tone) => sum + tone, 0));
    }),
  );
  expect(sumOfTones(new Uint8Array(100_003).fill(255))).toBe(255 * 100_003);
});
