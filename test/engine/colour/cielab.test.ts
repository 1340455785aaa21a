import fc from "fast-check";
import { expect, it } from "vitest";
import {
  chromaOf,
  hueOf,
  labFromBytes,
  labFromLinear,
  linearFromLab,
} from "../../../server/engine/colour/cielab.ts";
import { fastLab } from "../../../server/engine/colour/fast-lab.ts";
import { byteFromLinear } from "../../../server/engine/colour/srgb.ts";
import { holds } from "../../property.ts";

const byte = fc.nat(255);
const light = fc.double({ min: 0, max: 1, noNaN: true });

it("gives 8-bit colours back from CIELAB", () => {
  holds(
    fc.property(byte, byte, byte, (...colour) => {
      const { r, g, b } = linearFromLab(labFromBytes(...colour));
      expect([r, g, b].map(byteFromLinear)).toEqual(colour);
    }),
    1000,
  );
});

it("gives linear light back from CIELAB", () => {
  holds(
    fc.property(light, light, light, (r, g, b) => {
      const back = linearFromLab(labFromLinear({ r, g, b }));
      for (const [seen, wanted] of [
        [back.r, r],
        [back.g, g],
        [back.b, b],
      ])
        expect(seen).toBeCloseTo(wanted, 12);
    }),
    500,
  );
});

it("is smooth where the cube root gives way to a straight line", () => {
  // Y = ε = 216 / 24389 is L* = 8.
  const at = (Y: number) => labFromLinear({ r: Y, g: Y, b: Y }).L;
  const ε = 216 / 24389;
  expect(at(ε)).toBeCloseTo(8, 9);
  expect(at(ε * 1.0001) - at(ε)).toBeCloseTo(at(ε) - at(ε * 0.9999), 6);
  expect(linearFromLab({ L: 8, a: 0, b: 0 }).g).toBeCloseTo(ε, 12);
});

it("keeps greys neutral", () => {
  for (let grey = 0; grey < 256; grey++) {
    const { a, b } = labFromBytes(grey, grey, grey);
    expect(chromaOf(a, b)).toBeLessThan(1e-10);
  }
});

it("measures chroma as length and hue as angle, 0 up to 360 degrees", () => {
  expect(chromaOf(-3, 4)).toBe(5);
  expect([hueOf(1, 0), hueOf(0, 1), hueOf(-1, 0), hueOf(0, -1), hueOf(1, -1)]).toEqual([
    0, 90, 180, 270, 315,
  ]);
  expect(hueOf(0, 0)).toBe(0);
});

it("writes the pixel loops' CIELAB where it is told, and nowhere else", () => {
  const out = new Float64Array(6).fill(-1);
  fastLab(255, 255, 255, out, 2);
  expect([...out].map((v) => Math.round(v * 1e6) / 1e6 + 0)).toEqual([-1, -1, 100, 0, 0, -1]);
});
