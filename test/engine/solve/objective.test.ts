import { expect, it } from "vitest";
import { deltaE00, deltaParts } from "../../../server/engine/colour/ciede2000.ts";
import { labFromBytes, labFromLinear } from "../../../server/engine/colour/cielab.ts";
import { linearOfBands, mixingBands } from "../../../server/engine/print/bands.ts";
import { power } from "../../../server/engine/print/halftone.ts";
import { Difference } from "../../../server/engine/solve/objective.ts";
import { random } from "../../property.ts";

it.each([1, 1.7])("is ΔE00² of what the bands mix to, with the slopes that small steps show, n = %d", (n) => {
  const next = random(21);
  const difference = new Difference(n);
  for (let i = 0; i < 50; i++) {
    const target = labFromBytes(next() * 255, next() * 255, next() * 255);
    const bands = Float64Array.from({ length: 3 }, () => 0.02 + 0.95 * next());
    difference.set(target);
    const squared = difference.withSlopes(bands);
    const [p, q, r] = [...bands].map((band) => power(band, n)) as [number, number, number];
    const { L, a, b } = labFromLinear(linearOfBands(mixingBands(n), p, q, r));
    expect(Math.sqrt(squared)).toBeCloseTo(deltaE00(target.L, target.a, target.b, L, a, b), 8);
    expect(difference.at(bands)).toBe(squared);
    expect(Math.hypot(...difference.parts) ** 2).toBeCloseTo(squared, 8);

    const slopes = difference.slopes.slice();
    for (let band = 0; band < 3; band++) {
      const h = 1e-5;
      const [up, down] = [h, -h].map((by) => {
        difference.at(bands.with(band, bands[band] + by));
        return difference.parts.slice();
      });
      for (let part = 0; part < 3; part++) {
        const slope = (up[part] - down[part]) / (2 * h);
        // ΔE00's hue turns sharply at some blues: a step there is no slope.
        expect(Math.abs(slopes[3 * part + band] - slope)).toBeLessThan(0.5 + 0.02 * Math.abs(slope));
      }
    }
  }
});

it("follows slopes of what is ΔE00 exactly", () => {
  const next = random(1);
  const parts = new Float64Array(3);
  for (let i = 0; i < 500; i++) {
    const [x, y] = [0, 1].map(() => [next() * 100, next() * 160 - 80, next() * 160 - 80] as const);
    deltaParts(...x, ...y, parts);
    expect(Math.hypot(...parts)).toBeCloseTo(deltaE00(...x, ...y), 9);
  }
});
