import { describe, expect, it } from "vitest";
import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { labFromLinear } from "../../../server/engine/colour/cielab.ts";
import type { SeparationPlan } from "../../../server/engine/plan.ts";
import { preparePrint } from "../../../server/engine/print/model.ts";
import type { TuneJob } from "../../../server/engine/tune/job.ts";
import { AROUND, samplePixels, sampleSpecks } from "../../../server/engine/tune/sample.ts";
import { SampledPlates } from "../../../server/engine/tune/sampled-plates.ts";
import { SampledPrint } from "../../../server/engine/tune/sampled-print.ts";
import { random } from "../../property.ts";
import { type Pixel, pictureOf } from "../pictures.ts";
import { PLAIN } from "../plans.ts";
import { jobOf } from "./job.ts";

/** Gold and leaf solid on all pixels, wet on one another; on half of them white, flashed before. */
const plan: SeparationPlan = {
  plates: [
    { name: "white", extract: { by: "lightness", from: 50, to: 100, fade: 0 }, strength: { by: "flat" } },
    { name: "gold", extract: { by: "artwork" }, strength: { by: "flat" } },
    { name: "leaf", extract: { by: "artwork" }, strength: { by: "flat" } },
  ],
  ...PLAIN,
  smallestDot: 0,
};
const picture = pictureOf(4, [
  [250, 250, 250, 255],
  [250, 250, 250, 255],
  [10, 10, 10, 255],
  [10, 10, 10, 255],
]);

it("prices ink over the limit that lies wet together, once for all garments of a setup", () => {
  const job = jobOf(plan);
  const costOf = (wetInk: number, garments: number) => {
    const prints = Array.from({ length: garments }, () => job.prints[0]!);
    const specks = sampleSpecks(picture, 10, 10);
    return new SampledPrint({ ...job, prints, wetInk }, samplePixels(picture, 10), specks, picture, 10, [])
      .cost;
  };
  // Two solids lie wet: half a tone over 150 %, at 20 ΔE00 a tone.
  expect(costOf(1.5, 1) - costOf(2, 1)).toBeCloseTo(10, 6);
  expect(costOf(1.5, 2) - costOf(2, 2)).toBeCloseTo(10, 6);
  expect(costOf(3, 1)).toBe(costOf(2, 1));
});

describe("what a print costs", () => {
  const WIDTH = 24;
  const next = random(71);
  /** Patches of colour with single pixels of others, so that some plates print specks. */
  const art = pictureOf(
    WIDTH,
    Array.from({ length: WIDTH * 16 }, (_, i): Pixel => {
      const patch = Math.floor((i % WIDTH) / 6) + 4 * Math.floor(i / WIDTH / 8);
      const at = next() < 0.1 ? next() * 8 : patch;
      const byte = (v: number) => Math.floor((v % 220) + 36 * next());
      return [byte(at * 70), byte(at * 110 + 40), byte(at * 50), 255];
    }),
  );
  const PER_MM = 2;
  const names = ["white", "gold", "leaf", "black"];
  /** Leaf is folded into gold; gold prints up to a chroma, black up to a lightness; on black and, thrice as much, on red. */
  const separation: SeparationPlan = {
    plates: names.map((name) => ({ name, extract: { by: "artwork" }, strength: { by: "flat" } })),
    adjustments: [],
    merges: [{ fold: "leaf", into: "gold" }],
    knockouts: [{ from: "white", where: "black", choke: 0 }],
    traps: [],
    smallestDot: 0,
  };
  const [dark] = jobOf(separation).prints;
  const job: TuneJob = {
    ...jobOf(separation),
    wetInk: 1.2,
    prints: [
      dark!,
      {
        ...dark!,
        setup: "light",
        conditions: { ...dark!.conditions, garment: { L: 40, a: 50, b: 30 } },
        stations: dark!.stations.slice(1).map((station) => ({ ...station, wetGroup: 0 })),
        weight: 3,
      },
    ],
    plateAt: (p, values) => ({
      extract: {
        by: p === 1 ? "chroma" : "lightness",
        from: p === 0 ? values[0]! : 0,
        to: p === 0 ? 100 : values[p]!,
        fade: 12,
      },
      strength: { by: "flat" },
      curves: [],
    }),
  };
  const sample = samplePixels(art, 200);
  const specks = sampleSpecks(art, PER_MM, 100);
  const printAt = (values: readonly number[]) => new SampledPrint(job, sample, specks, art, PER_MM, values);

  /** The same worked out anew: ΔE00 of each print, ink of each plate, and what it costs beside what grows worse. */
  function twin(values: readonly number[]) {
    const { final, screenOf } = new SampledPlates(job, sample, art, PER_MM, values);
    const screens = names.flatMap((_, p) => (screenOf[p] === p ? [p] : []));
    const shares = [0.25, 0.75];
    const pixels = [...sample.x.keys()];
    const mean = (of: (i: number) => number) => pixels.reduce((sum, i) => sum + of(i), 0) / pixels.length;
    const off = job.prints.map(({ conditions, stations }) => {
      const model = preparePrint(conditions, stations);
      const art = sample.on(conditions.garment);
      return pixels.map((i) => {
        const areas = stations.map(({ plate }, s) => model.areas[s]![final[names.indexOf(plate)]![i]!]!);
        const { L, a, b } = labFromLinear(model.colour(areas));
        return deltaE00(art[3 * i]!, art[3 * i + 1]!, art[3 * i + 2]!, L, a, b);
      });
    });
    const tints = mean((i) => screens.filter((p) => final[p]![i]! > 0 && final[p]![i]! < 0.08 * 255).length);
    // White by itself; gold and black on it; the same two on red.
    const wet = mean((i) =>
      [[0], [1, 3]].reduce((sum, of) => {
        const ink = of.reduce((sum, p) => sum + final[p]![i]! / 255, 0);
        return sum + Math.max(0, ink - job.wetInk);
      }, 0),
    );
    const { final: speckTones } = new SampledPlates(job, specks.sample, art, PER_MM, values);
    let speckShare = 0;
    for (const p of screens)
      for (const [k, share] of specks.shares.entries()) {
        const [own, ...around] = speckTones[p]!.slice(k * (1 + AROUND), (k + 1) * (1 + AROUND));
        if (own! > 0 && around.filter((tone) => tone > 0).length <= 1) speckShare += share;
      }
    return {
      means: off.map((of) => mean((i) => of[i]!)),
      ink: names.map((_, p) => (screens.includes(p) ? mean((i) => final[p]![i]!) : 0)),
      speckShare,
      tints,
      wet,
      cost:
        shares.reduce(
          (sum, share, g) => sum + share * mean((i) => off[g]![i]! + 0.03 * off[g]![i]! ** 2),
          0,
        ) +
        0.15 * tints +
        20 * wet +
        30 * speckShare,
    };
  }

  const START = [40, 60, 30, 40];

  it("is how far off it is, what is far off counted more, and tints, wet ink and specks", () => {
    const [print, wanted] = [printAt(START), twin(START)];
    // All of it is there to be seen.
    expect(Math.min(wanted.tints, wanted.wet, wanted.speckShare)).toBeGreaterThan(0);
    expect(print.cost).toBeCloseTo(wanted.cost, 2);
    for (const [g, mean] of print.means.entries()) expect(mean).toBeCloseTo(wanted.means[g]!, 2);
    expect(print.mean).toBeCloseTo(0.25 * wanted.means[0]! + 0.75 * wanted.means[1]!, 2);
  });

  it("is that of plates made otherwise, one after the other, with a price on garments and plates that suffer", () => {
    const [print, first] = [printAt(START), twin(START)];
    const values = [...START];
    const suffered = { garments: 0, plates: 0 };
    for (const [p, to] of [
      [0, 55],
      [3, 15],
      [1, 100],
      [2, 60],
      [3, 70],
      [0, 92],
      [3, 2],
      [1, 10],
      [2, 0],
      [0, 20],
    ] as const) {
      const cost = print.tryPlate(p, job.plateAt(p, values.with(p, to)));
      values[p] = to;
      const wanted = twin(values);
      const worse = wanted.means.reduce((sum, mean, g) => sum + 4 * Math.max(0, mean - first.means[g]!), 0);
      const emptied = wanted.ink.reduce(
        (sum, ink, q) => sum + (first.ink[q]! > 0 ? 3 * Math.max(0, 1 - ink / (0.4 * first.ink[q]!)) : 0),
        0,
      );
      if (worse > 0) suffered.garments++;
      if (emptied > 0) suffered.plates++;
      expect(cost).toBeCloseTo(wanted.cost + worse + emptied, 1);
      print.keep();
      expect(print.cost).toBe(cost);
      for (const [g, mean] of print.means.entries()) expect(mean).toBeCloseTo(wanted.means[g]!, 2);
    }
    expect(suffered.garments).toBeGreaterThan(2);
    expect(suffered.plates).toBeGreaterThan(2);
  });

  it("stays where a trial is not kept", () => {
    const print = printAt(START);
    const before = [print.cost, ...print.means];
    print.tryPlate(0, job.plateAt(0, [90, 0, 0, 0]));
    expect([print.cost, ...print.means]).toEqual(before);
    expect(print.tryPlate(0, job.plateAt(0, START))).toBeCloseTo(before[0]!, 9);
  });

  it("is that of a plate that was empty at first, which cannot be emptied", () => {
    const none = { extract: { by: "any", of: [] }, strength: { by: "flat" }, curves: [] } as const;
    const without: TuneJob = { ...job, plateAt: (p, values) => (p === 3 ? none : job.plateAt(p, values)) };
    const print = new SampledPrint(without, sample, specks, art, PER_MM, START);
    expect(print.tryPlate(3, none)).toBeCloseTo(print.cost, 9);
    const printed = print.tryPlate(3, job.plateAt(3, START));
    print.keep();
    expect(print.cost).toBe(printed);
    expect(print.tryPlate(3, none)).toBeLessThan(Number.POSITIVE_INFINITY);
  });

  it("is not worked out to its end where it is too much, and then cannot be kept", () => {
    const print = printAt(START);
    const making = job.plateAt(3, [0, 0, 0, 90]);
    const cost = print.tryPlate(3, making);
    expect(print.tryPlate(3, making, cost + 1e-6)).toBe(cost);
    print.keep();
    const other = printAt(START);
    expect(other.tryPlate(3, making, 1)).toBeGreaterThanOrEqual(1);
    expect(() => other.keep()).toThrow("nothing was tried that can be kept");
    expect(() => printAt(START).keep()).toThrow("nothing was tried that can be kept");
    other.tryPlate(3, making);
    other.keep();
    expect(() => other.keep()).toThrow();
  });

  it("is work: what changed is printed for each garment, the rest looked at for an eighth", () => {
    const print = printAt(START);
    expect(print.printed).toBe(0);
    print.tryPlate(0, job.plateAt(0, START));
    const look = sample.count / 8 + specks.sample.count / 8;
    expect(print.printed).toBeCloseTo(look, 9);
    // Without white at all: every pixel where it printed.
    const { final } = new SampledPlates(job, sample, art, PER_MM, START);
    print.tryPlate(0, { extract: { by: "any", of: [] }, strength: { by: "flat" }, curves: [] });
    const printed = final[0]!.filter((tone) => tone > 0).length;
    expect(print.printed).toBeCloseTo(2 * look + 2 * printed, 9);
  });

  it("is of no more stations than a table has room for", () => {
    const many = { ...dark!, stations: Array.from({ length: 15 }, () => dark!.stations[0]!) };
    expect(() => new SampledPrint({ ...job, prints: [many] }, sample, specks, art, PER_MM, START)).toThrow(
      "15 printing stations are too many to tune",
    );
  });
});
