import { describe, expect, it } from "vitest";
import { changeColour, differenceColour } from "../../../../client/panel/pixels/ramp.ts";
import {
  COUNT_STEP,
  colourAt,
  develop,
  figuresOf,
  type Printed,
  type Rows,
  type SetName,
  type Shot,
  warm,
} from "../../../../client/panel/pixels/shot.ts";
import { deltaE00 } from "../../../../server/engine/colour/ciede2000.ts";
import { labFromBytes, linearFromLab } from "../../../../server/engine/colour/cielab.ts";
import { byteFromLinear, linearFromSrgb } from "../../../../server/engine/colour/srgb.ts";
import { preparePrint } from "../../../../server/engine/print/model.ts";
import { random } from "../../../property.ts";

/** More than one block of 2¹⁴, and not a whole number of them. */
const COUNT = (1 << 14) + 301;
const GARMENT = { L: 12, a: 3, b: -20 };
const next = random(8);
const noise = (length: number) => Uint8Array.from({ length }, () => next() * 256);
/** Clear, solid and between. */
const tones = () => noise(COUNT).map((v) => (v < 80 ? 0 : v > 180 ? 255 : v));
const picture = (): Rows => ({
  width: COUNT,
  artwork: noise(COUNT * 4).map((v, i) => (i % 4 === 3 && v > 130 ? 255 : v)),
  plates: new Map([
    ["base", tones()],
    ["ember", tones()],
  ]),
});
const now = picture();
const before = picture();
const rowsOf = (set: SetName) => ({ now, before, piece: undefined })[set];

function printed(set: "now" | "before", L = 56): Printed {
  return {
    set,
    conditions: { garment: GARMENT, n: 1, compensated: true, smallestDot: 0 },
    printings: [
      { plate: "base", ink: { colour: { L: 96, a: 0, b: 2 }, opacity: 0.9 } },
      { plate: "gone", ink: { colour: { L: 20, a: 0, b: 0 }, opacity: 1 } },
      { plate: "ember", ink: { colour: { L, a: 56, b: 46 }, opacity: 0.7 } },
    ],
  };
}

type Rgb = readonly [number, number, number];
const rgbAt = (rgba: ArrayLike<number>, i: number): Rgb => [rgba[4 * i]!, rgba[4 * i + 1]!, rgba[4 * i + 2]!];
const bytesOf = (colour: number): Rgb => [colour >> 16, (colour >> 8) & 255, colour & 255];

/** The proof at a pixel, by the print model alone. */
function proofAt(rows: Rows, { conditions, printings }: Printed): (i: number) => Rgb {
  const there = printings.filter(({ plate }) => rows.plates.has(plate));
  const ready = preparePrint(conditions, there);
  return (i) => {
    const { r, g, b } = ready.colour(there.map(({ plate }) => rows.plates.get(plate)![i]! / 255));
    return [byteFromLinear(r), byteFromLinear(g), byteFromLinear(b)];
  };
}

/** The artwork at a pixel over the garment as a screen shows it, mixed in linear light. */
function artworkAt({ artwork }: Rows, i: number): Rgb {
  const { r, g, b } = linearFromLab(GARMENT);
  const alpha = artwork[4 * i + 3]! / 255;
  return [r, g, b].map((light, c) => {
    const under = linearFromSrgb(byteFromLinear(light) / 255);
    return byteFromLinear(alpha * linearFromSrgb(artwork[4 * i + c]! / 255) + (1 - alpha) * under);
  }) as unknown as Rgb;
}

function difference(x: Rgb, y: Rgb): number {
  const [p, q] = [labFromBytes(...x), labFromBytes(...y)];
  return deltaE00(p.L, p.a, p.b, q.L, q.a, q.b);
}

function near(seen: Rgb, wanted: Rgb): void {
  for (const [c, v] of seen.entries()) if (Math.abs(v - wanted[c]!) > 1) expect(seen).toEqual(wanted);
}

/** Every 23rd, and those at the ends of blocks. */
const places = Array.from({ length: COUNT }, (_, i) => i).filter(
  (i) => i % 23 === 0 || Math.abs(i - (1 << 14)) < 3 || i > COUNT - 3,
);
const sum = (counts: Uint32Array) => counts.reduce((total, n) => total + n, 0);

describe("a picture of plates, pixel by pixel:", () => {
  it("the proof, of the plates that are there", () => {
    const { rgba, counts } = develop({ kind: "proof", ...printed("now") }, rowsOf)!;
    const wanted = proofAt(now, printed("now"));
    for (const i of places) {
      near(rgbAt(rgba, i), wanted(i));
      expect(rgba[4 * i + 3]).toBe(255);
      expect(bytesOf(colourAt(now, printed("now"), i))).toEqual(rgbAt(rgba, i));
    }
    expect(counts).toBeUndefined();
  });

  it("the artwork on the garment", () => {
    const { rgba } = develop({ kind: "artwork", set: "now", garment: GARMENT }, rowsOf)!;
    expect(rgba).toHaveLength(COUNT * 4);
    for (const i of places) {
      near(rgbAt(rgba, i), artworkAt(now, i));
      expect(rgba[4 * i + 3]).toBe(255);
    }
  });

  it("its difference from the proof, where the artwork covers at least half", () => {
    const { rgba, counts } = develop({ kind: "difference", ...printed("now") }, rowsOf)!;
    const proof = develop({ kind: "proof", ...printed("now") }, rowsOf)!.rgba;
    const looks = develop({ kind: "artwork", set: "now", garment: GARMENT }, rowsOf)!.rgba;
    const wanted = new Uint32Array(counts!.length);
    for (let i = 0; i < COUNT; i++) {
      const covers = now.artwork[4 * i + 3]! >= 128;
      if (!covers) {
        expect([...rgba.subarray(4 * i, 4 * i + 4)]).toEqual([0, 0, 0, 0]);
        continue;
      }
      const far = difference(rgbAt(looks, i), rgbAt(proof, i));
      wanted[Math.min(2000, Math.round(far / 0.05))]!++;
      if (i % 7 !== 0) continue;
      near(rgbAt(rgba, i), bytesOf(differenceColour(far)));
      expect(rgba[4 * i + 3]).toBe(255);
    }
    expect(sum(counts!)).toBe(sum(wanted));
    const [seen, sought] = [figuresOf([counts!]), figuresOf([wanted])];
    expect(seen.mean).toBeCloseTo(sought.mean, 2);
    expect(seen.p95).toBeCloseTo(sought.p95, 1);
  });

  it("the film of a plate, and of none", () => {
    const { rgba } = develop({ kind: "film", set: "now", plate: "ember" }, rowsOf)!;
    const ember = now.plates.get("ember")!;
    for (const i of places) expect([...rgba.subarray(4 * i, 4 * i + 4)]).toEqual([0, 0, 0, ember[i]]);
    const none = develop({ kind: "film", set: "now", plate: "gone" }, rowsOf)!;
    expect(none.rgba.every((v) => v === 0)).toBe(true);
  });

  it("the change of a proof", () => {
    const shot: Shot = { kind: "change", set: "now", now: printed("now"), before: printed("before", 40) };
    const { rgba, counts } = develop(shot, rowsOf)!;
    const then = develop({ kind: "proof", ...printed("before", 40) }, rowsOf)!.rgba;
    const here = develop({ kind: "proof", ...printed("now") }, rowsOf)!.rgba;
    const wanted = new Uint32Array(counts!.length);
    for (let i = 0; i < COUNT; i++) {
      const far = difference(rgbAt(then, i), rgbAt(here, i));
      wanted[Math.min(2000, Math.round(far / 0.05))]!++;
      if (i % 7 !== 0) continue;
      near(rgbAt(rgba, i), bytesOf(differenceColour(far)));
      expect(rgba[4 * i + 3]).toBe(255);
    }
    expect(sum(counts!)).toBe(COUNT);
    expect(figuresOf([counts!]).mean).toBeCloseTo(figuresOf([wanted]).mean, 2);
  });

  it("the change of a plate; one that was not there was empty", () => {
    const change = (plate: string) => develop({ kind: "plateChange", set: "now", plate }, rowsOf)!.rgba;
    const [tone, was] = [now.plates.get("ember")!, before.plates.get("ember")!];
    const rgba = change("ember");
    for (const i of places) {
      expect(rgbAt(rgba, i)).toEqual(bytesOf(changeColour(tone[i]! - was[i]!)));
      expect(rgba[4 * i + 3]).toBe(255);
    }
    expect(rgbAt(change("gone"), 5)).toEqual(bytesOf(changeColour(0)));
  });

  it("none without its plates, and no change of pictures of two sizes", () => {
    expect(develop({ kind: "proof", ...printed("now"), set: "piece" }, rowsOf)).toBeUndefined();
    const small: Rows = { width: 1, artwork: new Uint8Array(4), plates: new Map() };
    const other = (set: SetName) => (set === "now" ? now : small);
    const change: Shot = { kind: "change", set: "now", now: printed("now"), before: printed("before") };
    expect(develop(change, other)).toBeUndefined();
    expect(develop({ kind: "plateChange", set: "now", plate: "ember" }, other)).toBeUndefined();
  });
});

describe("figures of differences", () => {
  const counted = (...differences: number[]) => {
    const counts = new Uint32Array(2001);
    for (const far of differences) counts[Math.round(far / COUNT_STEP)]!++;
    return counts;
  };

  it("are the mean, and what 95 % keep within, over all parts", () => {
    expect(figuresOf([])).toEqual({ mean: 0, p95: 0 });
    expect(figuresOf([counted()])).toEqual({ mean: 0, p95: 0 });
    const nineteen = counted(...Array(19).fill(2));
    const { mean, p95 } = figuresOf([nineteen, counted(10)]);
    expect(mean).toBeCloseTo(2.4, 9);
    expect(p95).toBeCloseTo(2, 9);
    expect(figuresOf([nineteen, counted(10, 10)]).p95).toBeCloseTo(10, 9);
    expect(figuresOf([counted(100)]).p95).toBeCloseTo(100, 9);
  });
});

it("is warmed up with any number of stations", () => {
  const { printings, ...rest } = printed("now");
  for (const count of [0, 1, 3]) warm({ ...rest, printings: printings.slice(0, count) });
});
