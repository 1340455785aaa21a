import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { Band } from "../../../../client/panel/pixels/band.ts";
import {
  develop,
  figuresOf,
  type Printing,
  type Rows,
  type Shot,
} from "../../../../client/panel/pixels/shot.ts";
import { random } from "../../../property.ts";

/** Some blocks and a bit. */
const COUNT = 256 * 40 + 77;
const NAMES = ["a", "b", "c"] as const;
const INKS = [
  { colour: { L: 56, a: 56, b: 56 }, opacity: 0.7 },
  { colour: { L: 46, a: -10, b: -42 }, opacity: 0.6 },
];

/** Ink in a stretch of the picture, clear elsewhere. */
function stretch(seed: number): Uint8Array {
  const next = random(seed);
  const [from, length] = [Math.floor(next() * COUNT), Math.floor(next() * 3000)];
  return Uint8Array.from({ length: COUNT }, (_, i) =>
    i >= from && i < from + length ? 1 + ((i * 7) % 255) : 0,
  );
}

const artwork = Uint8Array.from({ length: COUNT * 4 }, (_, i) => (i % 4 === 3 ? 255 : (i * 13) & 255));
const givenBack = fc.boolean();
const step = fc.oneof(
  fc.record({
    kind: fc.constant("plate" as const),
    name: fc.constantFrom(...NAMES),
    seed: fc.integer({ min: 0, max: 2 }),
  }),
  fc.record({ kind: fc.constant("drop" as const), name: fc.constantFrom(...NAMES) }),
  fc.record({ kind: fc.constant("prepare" as const) }),
  // The same picture once more: what most edits ask for.
  fc.record({ kind: fc.constant("again" as const), givenBack }),
  fc.record({
    kind: fc.constant("shoot" as const),
    givenBack,
    slot: fc.constantFrom("main", "sheet"),
    garment: fc.constantFrom(10, 90),
    printings: fc.uniqueArray(
      fc.record({
        plate: fc.constantFrom(...NAMES),
        ink: fc.constantFrom(...INKS),
      }) as fc.Arbitrary<Printing>,
      { selector: ({ plate }) => plate },
    ),
  }),
);

type Shoot = Extract<typeof step extends fc.Arbitrary<infer T> ? T : never, { kind: "shoot" }>;

function shotOf({ garment, printings }: Shoot): Shot {
  return {
    kind: "proof",
    set: "now",
    conditions: { garment: { L: garment, a: 0, b: 0 }, n: 1, compensated: true, smallestDot: 0 },
    printings,
  };
}

/** As it arrives at another thread: it is gone here. */
function sent(rgba: Uint8ClampedArray<ArrayBuffer>): Uint8ClampedArray<ArrayBuffer> {
  return structuredClone(rgba, { transfer: [rgba.buffer] });
}

function same(a: Uint8ClampedArray | undefined, b: Uint8ClampedArray | undefined): boolean {
  return a !== undefined && b !== undefined && Buffer.compare(Buffer.from(a), Buffer.from(b)) === 0;
}

describe("a band", () => {
  it("that prints only what changed gives what printing all of it gives, whatever came before", () => {
    fc.assert(
      fc.property(fc.array(step, { minLength: 2, maxLength: 24 }), (steps) => {
        const band = new Band();
        const plates = new Map<string, Uint8Array>();
        const rows: Rows = { width: COUNT, artwork, plates };
        let latest: Shoot | undefined;
        band.setArtwork("now", COUNT, artwork);
        for (const one of steps) {
          if (one.kind === "plate") {
            plates.set(one.name, stretch(one.seed));
            band.setPlate("now", one.name, stretch(one.seed));
          } else if (one.kind === "drop") {
            plates.delete(one.name);
            band.drop("now", one.name);
          } else if (one.kind === "prepare") band.prepare("now");
          else {
            if (one.kind === "shoot") latest = one;
            if (!latest) continue;
            const shot = shotOf(latest);
            const made = band.shoot(latest.slot, shot);
            const whole = develop(shot, () => rows)?.rgba;
            expect(same(made?.rgba, whole)).toBe(true);
            if (one.givenBack && made?.loan !== undefined) band.giveBack(made.loan, sent(made.rgba));
          }
        }
      }),
      { seed: 20_050_101, numRuns: 500 },
    );
  });

  it("follows a plate there, back, and there again", () => {
    const band = new Band();
    band.setArtwork("now", COUNT, artwork);
    const shot: Shot = shotOf({
      kind: "shoot",
      givenBack: false,
      slot: "main",
      garment: 10,
      printings: [{ plate: "a", ink: INKS[0]! }] as Printing[],
    });
    for (const seed of [0, 1, 0, 1, 2, 0]) {
      const tones = stretch(seed);
      band.setPlate("now", "a", tones);
      const whole = develop(shot, () => ({ width: COUNT, artwork, plates: new Map([["a", tones]]) }));
      expect(same(band.shoot("main", shot)?.rgba, whole?.rgba), String(seed)).toBe(true);
    }
  });

  describe("lends its composite", () => {
    const shot: Shot = {
      kind: "proof",
      set: "now",
      conditions: { garment: { L: 50, a: 0, b: 0 }, n: 1, compensated: true, smallestDot: 0 },
      printings: [],
    };
    const other: Shot = { ...shot, conditions: { ...shot.conditions, garment: { L: 90, a: 0, b: 0 } } };

    function withArtwork(): Band {
      const band = new Band();
      band.setArtwork("now", COUNT, artwork);
      return band;
    }

    it("and writes to it no more before it has it back", () => {
      const band = withArtwork();
      const first = band.shoot("main", shot)!.rgba;
      const before = first.slice();
      band.shoot("main", other);
      expect(same(first, before)).toBe(true);
      first.fill(0);
      expect(same(band.shoot("main", shot)?.rgba, before)).toBe(true);
    });

    it("and makes the next one of it", () => {
      const band = withArtwork();
      const { loan, rgba } = band.shoot("main", shot)!;
      band.giveBack(loan!, rgba);
      expect(band.shoot("main", other)?.rgba).toBe(rgba);
    });

    it("and takes none back that is not the latest", () => {
      const band = withArtwork();
      const early = band.shoot("main", other)!;
      const before = band.shoot("main", shot)!.rgba;
      band.giveBack(early.loan!, early.rgba);
      expect(same(band.shoot("main", shot)?.rgba, before)).toBe(true);
    });
  });

  it("has nothing to show of a picture that it does not hold", () => {
    expect(new Band().shoot("main", { kind: "film", set: "before", plate: "a" })).toBeUndefined();
  });
});

describe("figures from counted differences", () => {
  it("are the mean and the 95th percentile, over all parts", () => {
    const counts = (entries: Record<number, number>) => {
      const all = new Uint32Array(2001);
      for (const [difference, count] of Object.entries(entries))
        all[Math.round(Number(difference) / 0.05)] = count;
      return all;
    };
    // 94 pixels at 1, 5 at 3, 1 at 10: the 95th of 100 is the first at 3.
    const { mean, p95 } = figuresOf([counts({ 1: 50, 3: 5 }), counts({ 1: 44, 10: 1 })]);
    expect(mean).toBeCloseTo((94 + 15 + 10) / 100, 9);
    expect(p95).toBeCloseTo(3, 9);
    expect(figuresOf([])).toEqual({ mean: 0, p95: 0 });
  });
});
