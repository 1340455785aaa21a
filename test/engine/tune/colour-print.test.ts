import { describe, expect, it } from "vitest";
import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { labFromBytes, labFromLinear } from "../../../server/engine/colour/cielab.ts";
import { preparePrint } from "../../../server/engine/print/model.ts";
import { bestTones, ColourPrint } from "../../../server/engine/tune/colour-print.ts";
import type { TunedPrint } from "../../../server/engine/tune/job.ts";
import { samplePixels } from "../../../server/engine/tune/sample.ts";
import { pictureOf } from "../pictures.ts";
import { BLACK_GARMENT, SHELF } from "../solve/prints.ts";

describe("the best tones", () => {
  const bowl = (at: readonly number[]) => (tones: Float64Array) =>
    at.reduce((sum, v, p) => sum + (tones[p] - v) ** 2, 0);

  it("are found to the finest step, plate by plate", () => {
    const found = bestTones(bowl([0.31, 0.77]), [Float64Array.of(0, 0)], [0, 1]);
    expect(Math.abs(found[0] - 0.31)).toBeLessThanOrEqual(0.03);
    expect(Math.abs(found[1] - 0.77)).toBeLessThanOrEqual(0.03);
  });

  it("are between nothing and solid", () => {
    expect([...bestTones(bowl([2, -1]), [Float64Array.of(0.4, 0.4)], [0, 1])]).toEqual([1, 0]);
  });

  it("move no other plates, and not the beginnings", () => {
    const start = Float64Array.of(0.2, 0.2);
    const found = bestTones(bowl([0.9, 0.9]), [start], [1]);
    expect(found[0]).toBe(0.2);
    expect(found[1]).toBeGreaterThan(0.8);
    expect([...start]).toEqual([0.2, 0.2]);
    expect([...bestTones(bowl([0.9, 0.9]), [start], [])]).toEqual([0.2, 0.2]);
  });

  it("are looked for from the two best beginnings", () => {
    // Two hollows, of which the one at 0.9 is the deeper; only what begins beside it comes there.
    const cost = ([t]: Float64Array) => Math.min((t - 0.1) ** 2, (t - 0.9) ** 2 - 0.001, 0.001);
    const from = (...starts: number[]) =>
      bestTones(
        cost,
        starts.map((t) => Float64Array.of(t)),
        [0],
      )[0];
    const [low, high] = [0.11, 0.93];
    expect(Math.abs(from(low, high) - 0.9)).toBeLessThanOrEqual(0.03);
    expect(Math.abs(from(high, low) - 0.9)).toBeLessThanOrEqual(0.03);
    const seen: number[] = [];
    const told = (tones: Float64Array) => {
      seen.push(tones[0]);
      return tones[0];
    };
    bestTones(
      told,
      [0.3, 0.1, 0.2].map((t) => Float64Array.of(t)),
      [],
    );
    // All three are rated, then the two least looked from.
    expect(seen.slice(-2)).toEqual([0.1, 0.2]);
  });
});

describe("a print, a colour at a time", () => {
  const curve = [
    [0, 0],
    [0.5, 0.7],
    [1, 1],
  ] as const;
  const print: TunedPrint = {
    garment: "black",
    setup: "dark",
    conditions: { garment: BLACK_GARMENT, n: 1.4, compensated: false, smallestDot: 0 },
    stations: [0, 1, 3].map((i) => ({
      plate: `plate-${i}`,
      ink: { colour: SHELF[i][0], opacity: SHELF[i][1] },
      gain: { tones: curve },
      wetGroup: 0,
    })),
    weight: 1,
  };
  const picture = pictureOf(2, [
    [200, 90, 60],
    [30, 120, 200],
  ]);
  const sample = samplePixels(picture, 2);

  it("is as far from the artwork as the print in full, with its gain", () => {
    // Stations' tones stand at 3, 0 and 2 of those that are asked for.
    const of = new ColourPrint(print, [3, 0, 2], sample);
    const model = preparePrint(print.conditions, print.stations);
    for (const tones of [
      [0.4, 9, 0.2, 0.8],
      [1, 9, 0, 1],
      [0, 9, 1, 0.5],
    ]) {
      const areas = [3, 0, 2].map((p, s) => {
        const x = tones[p] * 255;
        const [low, high] = [model.areas[s][Math.floor(x)], model.areas[s][Math.ceil(x)]];
        return low + (high - low) * (x - Math.floor(x));
      });
      const found = labFromLinear(model.colour(areas));
      for (const i of [0, 1]) {
        const [r, g, b] = picture.data.slice(4 * i, 4 * i + 3);
        const target = labFromBytes(r, g, b);
        expect(of.at(Float64Array.from(tones), i)).toBeCloseTo(
          deltaE00(target.L, target.a, target.b, found.L, found.a, found.b),
          2,
        );
      }
    }
  });

  it("is of no more stations than a table has room for", () => {
    const many = { ...print, stations: Array.from({ length: 15 }, () => print.stations[0]) };
    expect(
      () =>
        new ColourPrint(
          many,
          many.stations.map(() => 0),
          sample,
        ),
    ).toThrow("15 printing stations are too many to tune");
  });
});
