import fc from "fast-check";
import { expect, it } from "vitest";
import { NO_FIGURES, plateFigures } from "../../server/render/plate-figures.ts";
import { holds } from "../property.ts";

it("are the mean tone and the smallest film that holds all ink", () => {
  const tones = fc.array(fc.oneof({ weight: 12, arbitrary: fc.constant(0) }, fc.nat(255)), {
    minLength: 1,
    maxLength: 150,
  });
  holds(
    fc.property(tones, fc.integer({ min: 1, max: 13 }), (list, width) => {
      const whole = Uint8Array.from(list.slice(0, Math.max(width, list.length - (list.length % width))));
      if (whole.length % width !== 0) return;
      const inked = [...whole.entries()].filter(([, tone]) => tone > 0).map(([i]) => i);
      const columns = inked.map((i) => i % width);
      const rows = inked.map((i) => Math.floor(i / width));
      const span = (at: number[]) => (at.length === 0 ? 0 : Math.max(...at) - Math.min(...at) + 1);
      const { coverage, filmMm } = plateFigures(whole, width, 0.5);
      expect([filmMm.width, filmMm.height]).toEqual([span(columns) / 2, span(rows) / 2]);
      expect(coverage).toBeCloseTo(whole.reduce((sum, tone) => sum + tone, 0) / 255 / whole.length, 12);
    }),
    600,
  );
});

it("are none of an empty plate", () => {
  expect(plateFigures(new Uint8Array(30), 6, 1)).toEqual(NO_FIGURES);
});
