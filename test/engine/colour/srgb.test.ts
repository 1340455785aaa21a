import { expect, it } from "vitest";
import {
  BYTE_OF_STEP,
  byteFromLinear,
  ENCODE_STEPS,
  LINEAR_OF_BYTE,
  linearFromSrgb,
  srgbFromLinear,
} from "../../../server/engine/colour/srgb.ts";

const bytes = Array.from({ length: 256 }, (_, byte) => byte);

it("goes to linear light and back", () => {
  for (let i = 0; i <= 1000; i++) expect(srgbFromLinear(linearFromSrgb(i / 1000))).toBeCloseTo(i / 1000, 7);
});

it("knows the linear light of every byte", () => {
  expect(bytes.map((byte) => LINEAR_OF_BYTE[byte])).toEqual(bytes.map((byte) => linearFromSrgb(byte / 255)));
});

it("gives every byte back from its own light, by the formula and by the table", () => {
  const step = (light: number) => (light * ENCODE_STEPS + 0.5) | 0;
  expect(bytes.map((byte) => byteFromLinear(LINEAR_OF_BYTE[byte]))).toEqual(bytes);
  expect(bytes.map((byte) => BYTE_OF_STEP[step(LINEAR_OF_BYTE[byte])])).toEqual(bytes);
});

it("clips light that no byte can hold", () => {
  expect([-0.5, 0, 1, 1.7].map(byteFromLinear)).toEqual([0, 0, 255, 255]);
});

it("rises step by step in the table, skipping no byte", () => {
  const steps = [...BYTE_OF_STEP].map((byte, i) => byte - (BYTE_OF_STEP[i - 1] ?? 0));
  expect(new Set(steps)).toEqual(new Set([0, 1]));
  expect([BYTE_OF_STEP[0], BYTE_OF_STEP[ENCODE_STEPS], BYTE_OF_STEP.length]).toEqual([
    0,
    255,
    ENCODE_STEPS + 1,
  ]);
});

it("rounds to the nearest byte in the table, to a tenth of a byte", () => {
  let worst = 0;
  for (let i = 0; i <= 100_000; i++) {
    const light = i / 100_000;
    const byte = BYTE_OF_STEP[(light * ENCODE_STEPS + 0.5) | 0];
    worst = Math.max(worst, Math.abs(byte - 255 * srgbFromLinear(light)));
  }
  expect(worst).toBeLessThan(0.61);
});
