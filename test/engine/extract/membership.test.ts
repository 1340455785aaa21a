import fc from "fast-check";
import { expect, it } from "vitest";
import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import type { Lab } from "../../../server/engine/colour/cielab.ts";
import { LabColumns } from "../../../server/engine/extract/lab-columns.ts";
import { Membership } from "../../../server/engine/extract/membership.ts";
import { LEAST_HUE_CHROMA } from "../../../server/engine/extract/ranges.ts";
import type { Extraction } from "../../../server/engine/plan.ts";
import { holds } from "../../property.ts";
import { extractions, labs, opacities } from "./arbitrary.ts";

function member(extraction: Extraction, { L, a, b }: Lab, opacity = 100): number {
  const colours = new LabColumns(1);
  colours.set(0, L, a, b, opacity);
  return new Membership(extraction).one(colours);
}

const grey = (L: number): Lab => ({ L, a: 0, b: 0 });
/** A colour of L* 50 by its chroma and hue. */
const colour = (chroma: number, degrees: number): Lab => ({
  L: 50,
  a: chroma * Math.cos((degrees * Math.PI) / 180),
  b: chroma * Math.sin((degrees * Math.PI) / 180),
});

// Smooth step by hand: 1 − t²(3 − 2t); t = 1/4 → 1 − 2.5/16 = 0.84375, t = 1/2 → 0.5, t = 3/4 → 0.15625.

it("takes all of a range, ends included, and nothing of what lies a fade away", () => {
  const range: Extraction = { by: "lightness", from: 40, to: 60, fade: 20 };
  const seen = [20, 25, 30, 35, 40, 50, 60, 65, 70, 75, 80].map((L) => member(range, grey(L)));
  expect(seen).toEqual([0, 0.15625, 0.5, 0.84375, 1, 1, 1, 0.84375, 0.5, 0.15625, 0]);
});

it("cuts hard without a fade", () => {
  const range: Extraction = { by: "lightness", from: 40, to: 60, fade: 0 };
  expect([39.999, 40, 60, 60.001].map((L) => member(range, grey(L)))).toEqual([0, 1, 1, 0]);
});

it("takes a single lightness where both ends are the same", () => {
  const range: Extraction = { by: "lightness", from: 50, to: 50, fade: 10 };
  expect([45, 50, 55].map((L) => member(range, grey(L)))).toEqual([0.5, 1, 0.5]);
});

it("measures chroma as the distance from the neutral axis, whatever the hue", () => {
  const range: Extraction = { by: "chroma", from: 50, to: 130, fade: 20 };
  // 3-4-5 triangles: C*ab of (24, −32) is 40, of (−30, 40) is 50.
  expect(member(range, { L: 10, a: 24, b: -32 })).toBe(0.5);
  expect(member(range, { L: 90, a: -30, b: 40 })).toBe(1);
  expect(member(range, grey(50))).toBe(0);
});

it("measures the opacity of the artwork in percent", () => {
  const range: Extraction = { by: "opacity", from: 50, to: 100, fade: 20 };
  expect([30, 40, 50, 100].map((opacity) => member(range, grey(50), opacity))).toEqual([0, 0.5, 1, 1]);
});

it("measures hue in degrees from red, anticlockwise", () => {
  const range: Extraction = { by: "hue", from: 80, to: 100, fade: 20 };
  expect(member(range, colour(40, 90))).toBe(1);
  expect(member(range, colour(40, 70))).toBeCloseTo(0.5, 12);
  expect(member(range, colour(40, 110))).toBeCloseTo(0.5, 12);
  expect(member(range, colour(40, 55))).toBe(0);
  expect(member(range, colour(40, 270))).toBe(0);
});

it("wraps a range of hues past 360", () => {
  const range: Extraction = { by: "hue", from: 350, to: 50, fade: 20 };
  const inside = [351, 355, 0, 5, 49].map((hue) => member(range, colour(40, hue)));
  expect(inside).toEqual([1, 1, 1, 1, 1]);
  expect(member(range, colour(40, 340))).toBeCloseTo(0.5, 12);
  expect(member(range, colour(40, 60))).toBeCloseTo(0.5, 12);
  expect(member(range, colour(40, 200))).toBe(0);
});

it("fades across 0 degrees where the range itself does not wrap", () => {
  const low: Extraction = { by: "hue", from: 5, to: 50, fade: 20 };
  expect(member(low, colour(40, 355))).toBeCloseTo(0.5, 12);
  const high: Extraction = { by: "hue", from: 300, to: 355, fade: 20 };
  expect(member(high, colour(40, 5))).toBeCloseTo(0.5, 12);
});

it("takes every hue of the whole turn", () => {
  const range: Extraction = { by: "hue", from: 0, to: 360, fade: 0 };
  expect([0, 90, 180, 270, 359.99].map((hue) => member(range, colour(40, hue)))).toEqual([1, 1, 1, 1, 1]);
});

it("fades a range of hues out towards neutral, where hue is noise", () => {
  const range: Extraction = { by: "hue", from: 350, to: 50, fade: 12 };
  expect(member(range, grey(50))).toBe(0);
  expect(member(range, colour(LEAST_HUE_CHROMA / 4, 20))).toBeCloseTo(0.25, 12);
  expect(member(range, colour(LEAST_HUE_CHROMA / 2, 20))).toBeCloseTo(0.5, 12);
  expect(member(range, colour(LEAST_HUE_CHROMA * 1.001, 20))).toBe(1);
});

it("measures nearness as ΔE00", () => {
  // Sharma, Wu, Dalal 2005, table 1, pairs 17 and 7: ΔE00 27.1492 and 2.3669.
  const pair17: Lab = { L: 50, a: 2.5, b: 0 };
  const far: Lab = { L: 73, a: 25, b: -18 };
  const near = (within: number, fade: number): Extraction => ({ by: "near", colour: pair17, within, fade });
  expect(member(near(0, 0), pair17)).toBe(1);
  expect(member(near(27.15, 0), far)).toBe(1);
  expect(member(near(27.14, 0), far)).toBe(0);
  expect(member(near(17.1492, 20), far)).toBeCloseTo(0.5, 5);
  const pair7: Extraction = { by: "near", colour: grey(50), within: 1.3669, fade: 2 };
  expect(member(pair7, { L: 50, a: -1, b: 2 })).toBeCloseTo(0.5, 4);
});

it("takes all that the artwork has, and nothing of it for tones that come with the picture", () => {
  expect(member({ by: "artwork" }, grey(50), 1)).toBe(1);
  expect(member({ by: "given", tones: undefined, film: false }, grey(50))).toBe(0);
});

const half: Extraction = { by: "lightness", from: 60, to: 100, fade: 20 };
const quarter: Extraction = { by: "lightness", from: 65, to: 100, fade: 20 };
const whole: Extraction = { by: "artwork" };
const none: Extraction = { by: "except", of: whole };

it("takes the least of all, the greatest of any, the rest of except", () => {
  const at = (extraction: Extraction) => member(extraction, grey(50));
  expect([half, quarter, whole, none].map(at)).toEqual([0.5, 0.15625, 1, 0]);
  expect(at({ by: "all", of: [whole, quarter, half] })).toBe(0.15625);
  expect(at({ by: "any", of: [none, half, quarter] })).toBe(0.5);
  expect(at({ by: "except", of: quarter })).toBe(0.84375);
});

it("combines combinations", () => {
  const nested: Extraction = {
    by: "all",
    of: [
      whole,
      { by: "any", of: [quarter, { by: "all", of: [half, whole, half] }, none] },
      { by: "except", of: { by: "any", of: [none, quarter] } },
    ],
  };
  // least(1, greatest(0.15625, 0.5, 0), 1 − 0.15625) = 0.5
  expect(member(nested, grey(50))).toBe(0.5);
});

it("takes everything where nothing is asked, and nothing where there is no choice", () => {
  expect(member({ by: "all", of: [] }, grey(50))).toBe(1);
  expect(member({ by: "any", of: [] }, grey(50))).toBe(0);
});

/** The same rules again, as slow and plain as they can be written. */
function slowly(e: Extraction, lab: Lab, opacity: number): number {
  const exact = Math.hypot(lab.a, lab.b);
  const chroma = exact < 0.005 ? 0 : exact;
  switch (e.by) {
    case "artwork":
      return 1;
    case "all":
      return Math.min(1, ...e.of.map((part) => slowly(part, lab, opacity)));
    case "any":
      return Math.max(0, ...e.of.map((part) => slowly(part, lab, opacity)));
    case "except":
      return 1 - slowly(e.of, lab, opacity);
    case "near":
      return soft(
        deltaE00(lab.L, lab.a, lab.b, e.colour.L, e.colour.a, e.colour.b) - Math.max(e.within, 0.005),
        e.fade,
      );
    case "hue": {
      // Walk up from the range's start: what comes later than its end is outside, nearer to one end or the other.
      const width = e.to < e.from ? e.to - e.from + 360 : e.to - e.from;
      const walked = ((((Math.atan2(lab.b, lab.a) * 180) / Math.PI - e.from) % 360) + 360) % 360;
      const beyond = walked <= width ? 0 : Math.min(walked - width, 360 - walked);
      return Math.min(1, chroma / 2) * soft(beyond, e.fade);
    }
    case "given":
      return 0;
    default: {
      const v = { lightness: lab.L, chroma, opacity }[e.by];
      return soft(Math.max(e.from - v, v - e.to), e.fade);
    }
  }
}

function soft(beyond: number, fade: number): number {
  if (beyond <= 0) return 1;
  if (beyond >= fade) return 0;
  return 1 - 3 * (beyond / fade) ** 2 + 2 * (beyond / fade) ** 3;
}

it("agrees with the rules written plainly, for any recipe and colour", () => {
  holds(
    fc.property(extractions, labs, opacities, (extraction, lab, opacity) => {
      expect(member(extraction, lab, opacity)).toBeCloseTo(slowly(extraction, lab, opacity), 9);
    }),
    3000,
  );
});

it("stays between nothing and all, for any recipe and colour", () => {
  holds(
    fc.property(extractions, labs, opacities, (extraction, lab, opacity) => {
      const seen = member(extraction, lab, opacity);
      expect(seen).toBeGreaterThanOrEqual(0);
      expect(seen).toBeLessThanOrEqual(1);
    }),
    1000,
  );
});

it("does not mind the order or the repetition of parts", () => {
  const lists = fc.array(extractions, { minLength: 1, maxLength: 4 }).chain((parts) =>
    fc.tuple(
      fc.constant(parts),
      // Every part at least once, some twice, in any order.
      fc
        .subarray(parts)
        .chain((again) =>
          fc.shuffledSubarray([...parts, ...again], { minLength: parts.length + again.length }),
        ),
    ),
  );
  holds(
    fc.property(lists, fc.constantFrom("all", "any"), labs, ([parts, shuffled], by, lab) => {
      expect(member({ by, of: shuffled }, lab)).toBe(member({ by, of: parts }, lab));
    }),
    500,
  );
});

it("takes what all miss exactly where any is missed (De Morgan)", () => {
  holds(
    fc.property(fc.array(extractions, { maxLength: 4 }), labs, (of, lab) => {
      const missed: Extraction = { by: "any", of: of.map((part) => ({ by: "except", of: part })) };
      expect(member({ by: "except", of: { by: "all", of } }, lab)).toBe(member(missed, lab));
    }),
    500,
  );
});

it("takes colours together as it takes each alone, also the same ones again", () => {
  const many = fc.array(labs, { minLength: 1, maxLength: 40 });
  holds(
    fc.property(extractions, many, fc.nat({ max: 39 }), (extraction, colours, skipped) => {
      const described = new LabColumns(colours.length);
      for (const [i, { L, a, b }] of colours.entries()) described.set(i, L, a, b, 100);
      const each = colours.map((lab) => member(extraction, lab));
      const first = skipped % colours.length;
      const together = new Membership(extraction);
      for (const from of [first, 0, first]) {
        const count = colours.length - from;
        expect([...together.of(described, from, count).subarray(0, count)]).toEqual(each.slice(from));
      }
    }),
    1500,
  );
});

it("counts every grey as chroma 0", () => {
  const neutral: Extraction = { by: "chroma", from: 0, to: 0, fade: 0 };
  for (let byte = 0; byte < 256; byte++) {
    const colours = new LabColumns(1);
    colours.setRgba(0, byte, byte, byte, 255);
    expect(new Membership(neutral).one(colours)).toBe(1);
  }
});
