import { expect, it } from "vitest";
import { isGiven, writeGiven } from "../../../server/engine/extract/given.ts";
import type { Extraction, PlatePlan } from "../../../server/engine/plan.ts";

const plate = (extract: Extraction, name = "red"): PlatePlan => ({ name, extract, strength: { by: "flat" } });
const given = (tones?: readonly number[]): Extraction => ({ by: "given", tones, film: false });
const picture = {
  width: 3,
  height: 1,
  data: new Uint8Array(12),
  given: new Map([["red", Uint8Array.of(0, 10, 255)]]),
};
const written = (plan: PlatePlan, of: Parameters<typeof writeGiven>[0] = picture) => {
  const out = new Uint8Array(3).fill(77);
  writeGiven(of, plan, out);
  return [...out];
};

it("is a plate whose tones come with the picture", () => {
  expect([isGiven(plate(given())), isGiven(plate({ by: "artwork" }))]).toEqual([true, false]);
});

it("takes the tones that the picture carries under the plate's name, by its table where it has one", () => {
  expect(written(plate(given()))).toEqual([0, 10, 255]);
  const inverse = Array.from({ length: 256 }, (_, tone) => 255 - tone);
  expect(written(plate(given(inverse)))).toEqual([255, 245, 0]);
});

it("has no ink where the picture carries none of that name", () => {
  expect(written(plate(given(), "blue"))).toEqual([0, 0, 0]);
  expect(written(plate(given()), { width: 3, height: 1, data: picture.data })).toEqual([0, 0, 0]);
});
