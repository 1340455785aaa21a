import { expect, it } from "vitest";
import { joinOnce, knockOutOnce, limitTo } from "../../server/engine/tone-loops.ts";

/** Every pair of tones. */
const first = Uint8Array.from({ length: 65_536 }, (_, i) => i >> 8);
const second = Uint8Array.from({ length: 65_536 }, (_, i) => i & 255);

it("round products of all pairs of tones to the nearest 255th", () => {
  const out = new Uint8Array(65_536);
  knockOutOnce(first, second, out);
  expect(out.findIndex((tone, i) => tone !== Math.round((first[i]! * (255 - second[i]!)) / 255))).toBe(-1);
  joinOnce(first, second, out);
  const joined = (i: number) => 255 - Math.round(((255 - first[i]!) * (255 - second[i]!)) / 255);
  expect(out.findIndex((tone, i) => tone !== joined(i))).toBe(-1);
});

it("limit every tone to every dot", () => {
  for (let dot = 1; dot < 128; dot++) {
    const tones = Uint8Array.from({ length: 256 }, (_, tone) => tone);
    limitTo(dot, tones);
    const raised = (tone: number) => (tone * 2 < dot ? 0 : Math.max(tone, dot));
    for (let tone = 0; tone < 128; tone++)
      expect([tones[tone], tones[255 - tone]]).toEqual([raised(tone), 255 - raised(tone)]);
  }
});

it("take plates of any length, and nothing beyond them", () => {
  for (const length of [0, 1, 15, 16, 17, 16_383, 16_384, 16_385, 40_000]) {
    const from = Uint8Array.from({ length }, (_, i) => (i * 7) & 255);
    const holes = Uint8Array.from({ length }, (_, i) => (i * 31) & 255);
    const room = new Uint8Array(length + 20).fill(99);
    knockOutOnce(from, holes, room.subarray(3, 3 + length));
    const expected = from.map((tone, i) => Math.round((tone * (255 - holes[i]!)) / 255));
    expect(room.subarray(3, 3 + length)).toEqual(expected);
    expect([...room.subarray(0, 3), ...room.subarray(3 + length)].every((tone) => tone === 99)).toBe(true);
    // Onto itself.
    knockOutOnce(from, holes, from);
    expect(from).toEqual(expected);
  }
});
