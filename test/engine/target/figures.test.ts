import { describe, expect, it } from "vitest";
import { type Lab, labFromLinear } from "../../../server/engine/colour/cielab.ts";
import { preparePrint } from "../../../server/engine/print/model.ts";
import { pressFigures, type Reading } from "../../../server/engine/target/figures.ts";
import { sampleOf } from "../../../server/engine/target/samples.ts";

const read = (name: string, value: Lab | number, line = 1): Reading => ({
  sample: sampleOf(name)!,
  ...(typeof value === "number" ? { mm: value } : { colour: value }),
  line,
});
const grey = (R: number) => labFromLinear({ r: R, g: R, b: R });
/** A halftone in Murray–Davies of black on white. */
const tint = (area: number) => grey(0.9 - 0.85 * area);
const ramp = (pairs: readonly (readonly [number, number])[]) =>
  pairs.map(([film, printed], i) => read(`ember 45lpi ${film} over garment`, tint(printed / 100), i + 10));
const figuresOf = (readings: Reading[]) => pressFigures(readings, "murray-davies");

describe("a ramp", () => {
  it("is the gain, and says the dots that stand and the holes that are open", () => {
    const { figures, contradictions } = figuresOf(
      ramp([
        [0, 0],
        [1, 0],
        [2, 0.2],
        [3, 4],
        [50, 66],
        [97, 99.5],
        [98, 99.95],
        [99, 100],
        [100, 100],
      ]),
    );
    expect(contradictions).toEqual([]);
    const found = figures.inks.get("ember")!.ramps.get("45lpi")!;
    expect(found.gain.value.map(([f, p]) => [f, Number(p.toFixed(3))])).toEqual([
      [0, 0],
      [0.02, 0.002],
      [0.03, 0.04],
      [0.5, 0.66],
      [0.97, 0.995],
      [1, 1],
    ]);
    expect(found.smallestDot).toBe(0.03);
    expect(found.largestOpen).toBe(0.97);
    expect(found.gain.spread).toBeUndefined();
  });

  it.each([
    ["of coarse steps that hold says neither", [25, 50, 75], [40, 66, 86], [undefined, undefined]],
    ["of which nothing holds says neither", [2, 6], [0, 0], [undefined, undefined]],
    ["with fine steps at one end says that end", [4, 60], [6, 74], [0.04, undefined]],
    ["says neither between coarse steps", [20, 40, 80], [1, 55, 99], [undefined, undefined]],
    ["says the step beside one that is lost", [10, 15, 80, 85], [1, 22, 95, 99.9], [0.15, 0.8]],
  ])("%s", (_, films, prints, [dot, open]) => {
    const pairs = films.map((film, i) => [film, prints[i]!] as const);
    const { figures } = figuresOf(ramp([[0, 0], ...pairs, [100, 100]]));
    const found = figures.inks.get("ember")!.ramps.get("45lpi")!;
    expect([found.smallestDot, found.largestOpen]).toEqual([dot, open]);
  });

  it("is the same in whatever order it was read", () => {
    const read = ramp([
      [0, 0],
      [3, 4],
      [50, 66],
      [97, 99.5],
      [100, 100],
    ]);
    expect(figuresOf(read.toReversed()).figures).toEqual(figuresOf(read).figures);
  });

  it("read twice is the mean, and its spread is told", () => {
    const once = ramp([
      [0, 0],
      [50, 60],
      [100, 100],
    ]);
    const { figures } = figuresOf([...once, read("ember 45lpi 50 over garment", tint(0.64), 20)]);
    const { gain } = figures.inks.get("ember")!.ramps.get("45lpi")!;
    expect(gain.value[1]![1]).toBeCloseTo(0.62, 9);
    expect(gain.spread).toBeCloseTo(0.02, 9);
    expect(gain.readings).toBe(4);
  });

  it("that wavers within what an instrument repeats is evened out to rise", () => {
    const { figures, contradictions } = figuresOf(
      ramp([
        [0, 0],
        [40, 55],
        [50, 54.4],
        [100, 100],
      ]),
    );
    expect(contradictions).toEqual([]);
    const value = figures.inks.get("ember")!.ramps.get("45lpi")!.gain.value;
    expect(value.map((pair) => pair.map((v) => Number(v.toFixed(4))))).toEqual([
      [0, 0],
      [0.45, 0.547],
      [1, 1],
    ]);
  });

  it("that falls is reported with its line", () => {
    const { contradictions } = figuresOf(
      ramp([
        [0, 0],
        [40, 55],
        [50, 40],
        [100, 100],
      ]),
    );
    expect(contradictions).toEqual([
      {
        line: 12,
        message:
          "ember 45lpi 50 over garment prints 40.0 %, less than 40.0 % on film does, 55.0 %; measure it again",
      },
    ]);
  });

  it("on a garment that its ink hardly shows on says nothing", () => {
    const faint = [0, 50, 100].map((t) =>
      read(`ember 45lpi ${t} over garment`, { L: 20 - t / 50, a: 0, b: 0 }),
    );
    const { figures } = figuresOf(faint);
    expect(figures.inks.get("ember")!.ramps.size).toBe(0);
    expect(figures.inks.get("ember")!.faint).toBeGreaterThan(1);
  });

  it("without its bare garment or its solid is none", () => {
    expect(
      figuresOf(
        ramp([
          [10, 15],
          [50, 66],
          [100, 100],
        ]),
      ).figures.inks.get("ember")!.ramps.size,
    ).toBe(0);
  });
});

describe("solids", () => {
  const [light, dark] = [
    { L: 52, a: 58, b: 34 },
    { L: 45, a: 50, b: 28 },
  ];
  it("over both cards are the ink's readings", () => {
    const { figures } = figuresOf([
      read("ember solid over white card", light),
      read("ember solid over black card", dark),
      read("ember solid over black card", { ...dark, L: 46 }),
    ]);
    const { over } = figures.inks.get("ember")!;
    expect(over.get("white card")).toEqual({ value: light, spread: undefined, readings: 1 });
    expect(over.get("black card")!.value.L).toBeCloseTo(45.5, 9);
    expect(over.get("black card")!.spread).toBeGreaterThan(0.3);
  });

  it("may read as light over black as over white, by what an instrument repeats", () => {
    const told = (by: number) =>
      figuresOf([
        read("ember solid over white card", light),
        read("ember solid over black card", { ...light, L: light.L + by }),
      ]).contradictions.length;
    expect([told(0.45), told(0.6)]).toEqual([0, 1]);
  });

  it("that are swapped are reported with the line", () => {
    const { contradictions } = figuresOf([
      read("ember solid over white card", dark, 7),
      read("ember solid over black card", light, 8),
    ]);
    expect(contradictions).toEqual([
      { line: 8, message: "over black reads L* 52.0, lighter than over white, 45.0; are the two swapped?" },
    ]);
  });
});

it("lines and gaps are the narrowest that hold whichever way they run", () => {
  const { figures } = figuresOf([
    read("ember line upright", 0.1),
    read("ember line across", 0.15),
    read("ember line slanted", 0.2),
    read("ember gap upright", 0.25),
  ]);
  const { line, gap } = figures.inks.get("ember")!;
  expect(line!.value).toBe(0.2);
  expect(line!.spread).toBeCloseTo(0.1, 9);
  expect(gap).toEqual({ value: 0.25, spread: undefined, readings: 1 });
});

it("misregistration is the greatest distance between any two plates, the first among them", () => {
  const { figures } = figuresOf([
    read("ember register x", 0.1),
    read("ember register x", 0.2),
    read("ember register y", 0),
    read("rose register x", -0.15),
    read("rose register y", 0.4),
  ]);
  const { value, spread, readings } = figures.misregistration!;
  expect(value).toBeCloseTo(0.5, 9);
  expect(spread).toBeCloseTo(0.1, 9);
  expect(readings).toBe(5);
  expect(figuresOf([]).figures.misregistration).toBeUndefined();
});

describe("Yule–Nielsen's n", () => {
  const TONES = [100, 0, 25, 50, 75];
  /** A ramp of a coloured ink as the print model makes it with that n, whatever its areas. */
  const rampOf = (n: number, ink: string, opacity: number, tones = TONES) => {
    const conditions = { garment: { L: 93, a: 0, b: 2 }, n, compensated: true, smallestDot: 0 };
    const print = preparePrint(conditions, [{ ink: { colour: { L: 50, a: 60, b: 40 }, opacity } }]);
    return tones.map((tone) => {
      const area = (tone / 100) ** 0.8;
      return read(`${ink} 45lpi ${tone} over garment`, labFromLinear(print.colour([area])));
    });
  };
  const nOf = (readings: Reading[]) => figuresOf(readings).figures.n;

  it.each([1, 1.4, 2.3, 3])("is the one that the tints were printed with, in whatever order: %d", (n) => {
    expect(nOf(rampOf(n, "ember", 0.9))).toBeCloseTo(n, 9);
  });

  it("is the one that most ramps say", () => {
    const ramps = [rampOf(1.4, "ember", 0.9), rampOf(2.2, "rose", 0.9), rampOf(2.2, "gold", 0.9)];
    expect(nOf(ramps.flat())).toBeCloseTo(2.2, 9);
  });

  it("is said by ramps from bare garment to solid, of three tints at least, that stand out", () => {
    expect(nOf(rampOf(1.4, "ember", 0.9, [0, 25, 75, 100]))).toBeUndefined();
    expect(nOf(rampOf(1.4, "ember", 0.9, [10, 25, 50, 75, 100]))).toBeUndefined();
    expect(nOf(rampOf(1.4, "ember", 0.9, [0, 25, 50, 75, 90]))).toBeUndefined();
    const faint = TONES.map((tone) =>
      read(`ember 45lpi ${tone} over garment`, { L: 93 - tone / 20, a: 0, b: 0 }),
    );
    expect(nOf(faint)).toBeUndefined();
    // Read twice, the mean counts.
    expect(nOf([...rampOf(1.4, "ember", 0.9), ...rampOf(1.4, "ember", 0.9)])).toBeCloseTo(1.4, 9);
  });
});
