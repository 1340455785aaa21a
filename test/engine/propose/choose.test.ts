import { beforeAll, describe, expect, it } from "vitest";
import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { type Lab, labFromBytes, labFromLinear } from "../../../server/engine/colour/cielab.ts";
import { colourOf } from "../../../server/engine/print/ink-film.ts";
import { preparePrint } from "../../../server/engine/print/model.ts";
import { freeCandidates, HIGHLIGHT, mixedInk, WHITE_INK } from "../../../server/engine/propose/candidates.ts";
import {
  type Choice,
  type ChooseOptions,
  chooseInks,
  worthOf,
} from "../../../server/engine/propose/choose.ts";
import type { WeightedColour } from "../../../server/engine/propose/colours.ts";
import { type Candidate, printOrder, type Substrate, Trial } from "../../../server/engine/propose/trial.ts";

const GROUND: Substrate = {
  conditions: { garment: labFromBytes(0x17, 0x17, 0x1a), n: 1, compensated: true, smallestDot: 0.04 },
  screen: { method: "am", rulingLpi: 45, angle: 22.5, dot: "round" },
  base: WHITE_INK,
  wetInk: 2.4,
  lightFirst: true,
  covered: 1,
};

/** Twelve inks around the hues, light and dark. */
const SHELF: Candidate[] = [
  "#f2c230",
  "#e8761f",
  "#d8431f",
  "#c21f3a",
  "#d64a9a",
  "#7a3fa0",
  "#3a4fb0",
  "#2a86c8",
  "#2aa090",
  "#3f9a3f",
  "#8a8d90",
  "#141416",
].map((hex, i) => ({ name: `ink-${i}`, film: { colour: labOf(hex), opacity: 0.72 } }));

/** Pictures without chance: colours along a few curves through the sRGB cube. */
const PICTURES: Record<string, WeightedColour[]> = {
  sunset: curve((t) => [255 * (1 - 0.6 * t), 190 * (1 - t), 60 + 90 * t]),
  meadow: curve((t) => [60 + 150 * Math.abs(t - 0.5), 90 + 120 * t, 40 + 140 * t * t]),
  sea: [
    ...curve((t) => [20 + 200 * t * t, 70 + 150 * t, 140 + 90 * t]),
    ...curve((t) => [230 * t, 200 * t, 150 * t]),
  ],
};

describe("chooseInks", () => {
  let sunset: Choice;
  beforeAll(() => {
    sunset = choose(PICTURES.sunset!, { ...FREE, candidates: free(PICTURES.sunset!) });
  });

  it.each(Object.entries(PICTURES))(
    "for a %s, comes within a twentieth of the best three of twelve inks, found by trying all 220",
    (_, colours) => {
      let best = Number.POSITIVE_INFINITY;
      let tried = 0;
      const search = (trial: Trial, from: number) => {
        if (trial.inks.length === 3) {
          tried++;
          best = Math.min(best, trial.reach().mean);
          return;
        }
        for (let i = from; i < SHELF.length; i++) search(trial.with([...trial.inks, SHELF[i]!], 8), i + 1);
      };
      search(Trial.start(GROUND, colours), 0);
      expect(tried).toBe(220);
      const { reach, inks } = choose(colours, { candidates: SHELF, most: 3, fill: true, free: false });
      expect(inks).toHaveLength(3);
      expect(reach.mean).toBeLessThanOrEqual(best * 1.05);
    },
  );

  it("stops where one more screen buys less than a visible step, and tells what it would have bought", () => {
    const { inks, curve: told } = sunset;
    const [last, next] = told.slice(-2);
    expect(last!.plates).toBe(inks.length);
    expect(next!.plates).toBe(inks.length + 1);
    expect(last!.mean - next!.mean).toBeLessThan(0.35);
    expect(told.slice(0, -1).map(({ mean }) => mean)).toEqual(
      told
        .slice(0, -1)
        .map(({ mean }) => mean)
        .sort((a, b) => b - a),
    );
  });

  it("chooses nothing beside the white where white is all there is", () => {
    const greys = curve((t) => [30 + 225 * t, 30 + 225 * t, 30 + 225 * t]);
    expect(choose(greys, { ...FREE, candidates: freeCandidates(greys, true) }).inks).toEqual([]);
  });

  it("gives the same for the same", () => {
    const again = choose(PICTURES.sunset!, { ...FREE, candidates: free(PICTURES.sunset!) });
    expect(again.inks).toEqual(sunset.inks);
    expect(again.curve).toEqual(sunset.curve);
  });
});

describe("inks to be mixed", () => {
  const light: Substrate = {
    ...GROUND,
    conditions: { ...GROUND.conditions, garment: { L: 96, a: 0, b: 2 } },
    base: undefined,
    lightFirst: false,
  };
  const target = { L: 50, a: 40, b: 20 };
  const from = (lightness: number, chroma: number, hue: number): Lab => {
    const [c, h] = [Math.hypot(40, 20) + chroma, Math.atan2(20, 40) + hue];
    return { L: 50 + lightness, a: c * Math.cos(h), b: c * Math.sin(h) };
  };
  const chosen = (candidate: Candidate, free = true) =>
    worked(
      chooseInks(light, [{ lab: target, weight: 1 }], {
        candidates: [candidate],
        most: 1,
        fill: false,
        free,
      }),
    );

  it.each([
    ["darker", from(9, 0, 0)],
    ["lighter", from(-9, 0, 0)],
    ["more vivid", from(0, -12, 0)],
    ["duller", from(0, 12, 0)],
    ["turned up", from(0, 0, -0.25)],
    ["turned down", from(0, 0, 0.25)],
  ])("are moved to what they print: %s", (_, start) => {
    const stay = chosen(mixedInk(start), false);
    const { inks, reach, curve } = chosen(mixedInk(start));
    expect(reach.mean).toBeLessThan(0.4 * stay.reach.mean);
    expect(inks[0]!.name).toBe("");
    // What is told of so many plates is what they came to at last.
    expect(curve).toEqual([{ plates: 1, mean: reach.mean, p95: reach.p95 }]);
  });

  it.each([
    [{ L: 0, a: 0, b: 0 }, 8, 96, 3],
    [{ L: 100, a: 0, b: 0 }, 92, 15, 98],
  ])("go no further than inks can be mixed: to print %o", (wanted, start, garment, end) => {
    const on: Substrate = {
      ...light,
      conditions: { ...light.conditions, garment: { L: garment, a: 0, b: 0 } },
    };
    const candidates = [mixedInk({ L: start, a: 0, b: 0 })];
    const { inks } = worked(
      chooseInks(on, [{ lab: wanted, weight: 1 }], { candidates, most: 1, fill: false, free: true }),
    );
    expect(Math.abs(colourOf(inks[0]!.film).L - end)).toBeLessThan(0.4);
  });

  it("are those without a name: inks of a library stay as they are", () => {
    const named = { ...mixedInk(from(9, 0, 0)), name: "rose" };
    expect(chosen(named).inks).toEqual([named]);
    const top = { ...mixedInk(from(-9, 0, 0)), onTop: true };
    expect(chosen(top).inks).toEqual([top]);
  });

  it("are not tried where one as good as theirs is there already", () => {
    const ink = mixedInk(target);
    const { inks } = worked(
      chooseInks(light, [{ lab: target, weight: 1 }], {
        candidates: [ink, mixedInk(from(1, 1, 0)), mixedInk(from(-2, 0, 0))],
        most: 3,
        fill: true,
        free: false,
      }),
    );
    expect(inks).toHaveLength(1);
  });

  it("are told with what each is worth, and how much of the print it covers", () => {
    const colours = [
      { lab: target, weight: 0.5 },
      { lab: { L: 45, a: -5, b: -40 }, weight: 0.5 },
    ];
    const candidates = colours.map(({ lab }) => mixedInk(lab));
    const choice = worked(chooseInks(light, colours, { candidates, most: 2, fill: true, free: false }));
    expect(choice.inks).toHaveLength(2);
    const worth = worthOf(choice);
    for (const [i, ink] of choice.inks.entries()) {
      const { without, coverage } = worth.get(ink)!;
      const [other] = choice.inks.filter((one) => one !== ink);
      expect(without).toBeCloseTo(Trial.start(light, colours).with([other!], 30).reach().mean, 1);
      expect(without).toBeGreaterThan(choice.reach.mean + 5);
      expect(coverage).toBeCloseTo(choice.trial.coverage()[i]!, 12);
    }
  });
});

describe("one more screen", () => {
  const light: Substrate = {
    ...GROUND,
    conditions: { ...GROUND.conditions, garment: { L: 96, a: 0, b: 2 } },
    base: undefined,
    lightFirst: false,
  };
  const [red, blue] = [
    { L: 50, a: 60, b: 35 },
    { L: 40, a: 5, b: -45 },
  ].map(mixedInk) as [Candidate, Candidate];
  const order = printOrder([red, blue], light.lightFirst);
  const print = preparePrint(
    light.conditions,
    order.map(({ film }) => ({ ink: film, screen: light.screen })),
  );
  /** A solid of red under or over a tint of blue that is so far from it. */
  function off(by: number): Lab {
    const at = (tone: number) => labFromLinear(print.colour(order.map((ink) => (ink === red ? 1 : tone))));
    const bare = at(0);
    let [low, high] = [0, 1];
    while (high - low > 1e-6) {
      const tone = (low + high) / 2;
      const { L, a, b } = at(tone);
      if (deltaE00(L, a, b, bare.L, bare.a, bare.b) < by) low = tone;
      else high = tone;
    }
    return at(low);
  }
  /** Red, and six hundredths that blue brings nearer: too few for the mean, enough for what 95 % keep within. */
  const chosen = (by: number, more: Partial<ChooseOptions> = {}) =>
    worked(
      chooseInks(
        light,
        [
          { lab: off(0), weight: 0.94 },
          { lab: off(by), weight: 0.06 },
        ],
        {
          candidates: [red, blue],
          most: 2,
          fill: false,
          free: false,
          ...more,
        },
      ),
    );

  it.each([
    [1.3, 1],
    [2.6, 2],
  ])("must bring 1.5 where it misses most: what is %d off has %d", (by, screens) => {
    const { inks, curve: told } = chosen(by);
    expect(inks).toHaveLength(screens);
    // What the second would bring is told either way.
    expect(told.map(({ plates }) => plates)).toEqual([1, 2]);
    expect(told[0]!.p95).toBeGreaterThan(by - 0.2);
    expect(told[1]!.p95).toBeLessThan(0.5 * by);
  });

  it("must bring less to the patient, and must not be all but empty on a full press", () => {
    expect(chosen(1.3, { patience: 0.5 }).inks).toHaveLength(2);
    // A plate that prints next to nothing is not worth its screen there.
    expect(chosen(2.6, { fill: true }).inks).toHaveLength(1);
    expect(chosen(2.6, { most: 1 }).inks).toHaveLength(1);
  });
});

describe("printOrder", () => {
  const inks = [
    mixedInk(labOf("#202020")),
    HIGHLIGHT,
    mixedInk(labOf("#f0d040")),
    mixedInk(labOf("#c02020")),
  ];
  it("is light to dark on an underbase, with the highlight last", () => {
    expect(printOrder(inks, true).map((ink) => inks.indexOf(ink))).toEqual([2, 3, 0, 1]);
  });
  it("is dark to light on light garments", () => {
    expect(printOrder(inks, false).map((ink) => inks.indexOf(ink))).toEqual([0, 3, 2, 1]);
  });
});

const FREE = { most: 10, fill: false, free: true };

function free(colours: readonly WeightedColour[]): Candidate[] {
  return [...freeCandidates(colours, false), HIGHLIGHT];
}

function choose(colours: readonly WeightedColour[], options: ChooseOptions) {
  return worked(chooseInks(GROUND, colours, options));
}

/** What it comes to; the share that is done grows up to 1. */
function worked(steps: Generator<number, Choice>): Choice {
  let done = 0;
  for (;;) {
    const step = steps.next();
    if (step.done) {
      expect(done).toBe(1);
      return step.value;
    }
    expect(step.value).toBeGreaterThan(done);
    done = step.value;
  }
}

function curve(at: (t: number) => [number, number, number]): WeightedColour[] {
  return Array.from({ length: 16 }, (_, i) => ({
    lab: labFromBytes(...(at(i / 15).map((v) => Math.round(v)) as [number, number, number])),
    weight: 1 / 16,
  }));
}

function labOf(hex: string): Lab {
  const [r, g, b] = [1, 3, 5].map((i) => Number.parseInt(hex.slice(i, i + 2), 16)) as [
    number,
    number,
    number,
  ];
  return labFromBytes(r, g, b);
}
