import { expect, it } from "vitest";
import { labFromLinear } from "../../../server/engine/colour/cielab.ts";
import { Palette } from "../../../server/engine/squares/palette.ts";
import { random } from "../../property.ts";
import { LIGHTS } from "./inks.ts";

const palette = new Palette(LIGHTS);

it("has colours in the order in which they are given", () => {
  expect(palette.size).toBe(5);
  expect([...palette.light.subarray(6, 9)]).toEqual([0.6, 0.02, 0.03]);
  expect(palette.lightness(1)).toBeCloseTo(labFromLinear(LIGHTS[1]!).L, 12);
});

it("finds the nearest in CIELAB, the first of equals", () => {
  const next = random(13);
  for (let n = 0; n < 300; n++) {
    const [r, g, b] = [next(), next(), next()];
    const { L, a, b: B } = labFromLinear({ r, g, b });
    const far = LIGHTS.map((light) => {
      const other = labFromLinear(light);
      return Math.hypot(other.L - L, other.a - a, other.b - B);
    });
    expect(palette.nearest(r, g, b)).toBe(far.indexOf(Math.min(...far)));
  }
  const twins = new Palette([LIGHTS[0]!, LIGHTS[2]!, LIGHTS[2]!]);
  expect(twins.nearest(0.6, 0.02, 0.03)).toBe(1);
});

it("tells that a light is one of them, or as good as: less than a ΔE*ab away", () => {
  const { r, g, b } = LIGHTS[3]!;
  expect(palette.same(r, g, b)).toBe(3);
  const own = labFromLinear(LIGHTS[3]!);
  // Lighter in steps, on either side of one.
  for (let k = 1; k < 1.06; k += 0.003) {
    const other = labFromLinear({ r: k * r, g: k * g, b: k * b });
    const far = Math.hypot(other.L - own.L, other.a - own.a, other.b - own.b);
    expect(palette.same(k * r, k * g, k * b), `${far}`).toBe(far < 1 ? 3 : -1);
  }
});

it("carries light on no further than half of its own range beyond it, in each band", () => {
  const two = new Palette([
    { r: 0.2, g: 0.1, b: 0.5 },
    { r: 0.6, g: 0.3, b: 0.5 },
  ]);
  // 0.2 to 0.6: half of it is 0.2.
  expect([-1, 0.1, 0.79, 2].map((v) => two.within(v, 0))).toEqual(
    [0, 0.1, 0.79, 0.8].map((v) => expect.closeTo(v, 12)),
  );
  expect([-1, 2].map((v) => two.within(v, 1))).toEqual([0, 0.4].map((v) => expect.closeTo(v, 12)));
  expect([-1, 2].map((v) => two.within(v, 2))).toEqual([0.5, 0.5]);
});
