import { expect, it } from "vitest";
import { coloursOf, writeAreas } from "../../../server/engine/extract/areas.ts";

const areas = {
  colours: Uint8Array.of(1, 2, 3, 255, 9, 9, 9, 255, 0, 0, 0, 0),
  first: Uint8Array.of(0, 1, 0, 1),
  second: Uint8Array.of(0, 1, 1, 2),
  share: Uint8Array.of(255, 255, 128, 204),
};

it("has the colours of flat art as a row of pixels", () => {
  expect(coloursOf(areas)).toEqual({ width: 3, height: 1, data: areas.colours });
});

it("gives each pixel the tones of its two colours by their shares", () => {
  const out = new Uint8Array(4);
  writeAreas(areas, Uint8Array.of(255, 0, 250), out);
  // All of the first and of the second; 128 of 255 of the first; 51 of 255 of the third.
  expect([...out]).toEqual([255, 0, 128, 50]);
  writeAreas(areas, Uint8Array.of(200, 200, 7), out);
  // Two colours of one tone stay at it.
  expect([...out]).toEqual([200, 200, 200, 161]);
});
