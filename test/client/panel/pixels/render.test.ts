import { describe, expect, it } from "vitest";
import { changeColour, differenceColour } from "../../../../client/panel/pixels/colour-scale.ts";
import {
  colourAt,
  type PictureName,
  type ProofSpec,
  printAt,
  type RenderRequest,
  type Rows,
  render,
  warm,
} from "../../../../client/panel/pixels/render.ts";
import { deltaE00 } from "../../../../server/engine/colour/ciede2000.ts";
import { labFromBytes, linearFromLab } from "../../../../server/engine/colour/cielab.ts";
import { byteFromLinear, linearFromSrgb } from "../../../../server/engine/colour/srgb.ts";
import {
  DifferenceMeter,
  type DifferenceTally,
  totalDifference,
} from "../../../../server/engine/print/difference.ts";
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
const rowsOf = (source: PictureName) =>
  ({ now, before, crop: undefined, slid: before, slidCrop: undefined })[source];

function printed(source: "now" | "before", L = 56): ProofSpec {
  return {
    source,
    conditions: { garment: GARMENT, n: 1, compensated: true, smallestDot: 0 },
    stations: [
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
function proofAt(rows: Rows, { conditions, stations }: ProofSpec): (i: number) => Rgb {
  const there = stations.filter(({ plate }) => rows.plates.has(plate));
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

/** Mean and 95 % of all pixels' differences, sorted. */
function matches(tally: Omit<DifferenceTally, "add">, wanted: readonly number[]): void {
  const sorted = [...wanted].sort((a, b) => a - b);
  const { pixels, mean, p95 } = totalDifference([tally]);
  expect(pixels).toBe(sorted.length);
  expect(mean).toBeCloseTo(sorted.reduce((sum, v) => sum + v) / sorted.length, 2);
  expect(p95).toBeCloseTo(sorted[Math.ceil(0.95 * sorted.length) - 1]!, 1);
}

describe("a picture of plates, pixel by pixel:", () => {
  it("the proof, of the plates that are there", () => {
    const { rgba, tally } = render({ kind: "proof", ...printed("now") }, rowsOf)!;
    const wanted = proofAt(now, printed("now"));
    for (const i of places) {
      near(rgbAt(rgba, i), wanted(i));
      expect(rgba[4 * i + 3]).toBe(255);
      expect(bytesOf(colourAt(now, printed("now"), i))).toEqual(rgbAt(rgba, i));
    }
    expect(tally).toBeUndefined();
  });

  it("the proof at some places alone, all else as it was", () => {
    const rgba = new Uint8ClampedArray(COUNT * 4).fill(9);
    printAt(now, printed("now"), Uint32Array.of(500, 3, COUNT - 1, 0), rgba);
    const whole = render({ kind: "proof", ...printed("now") }, rowsOf)!.rgba;
    for (const i of [500, 3, COUNT - 1, 0]) expect(rgbAt(rgba, i)).toEqual(rgbAt(whole, i));
    expect(rgba.filter((v, k) => v !== 9 && ![500, 3, COUNT - 1, 0].includes(k >> 2))).toHaveLength(0);
  });

  it("the artwork on the garment", () => {
    const { rgba } = render({ kind: "artwork", source: "now", garment: GARMENT }, rowsOf)!;
    expect(rgba).toHaveLength(COUNT * 4);
    for (const i of places) {
      near(rgbAt(rgba, i), artworkAt(now, i));
      expect(rgba[4 * i + 3]).toBe(255);
    }
  });

  it("its difference from the proof, where the artwork covers at least half", () => {
    const { rgba, tally } = render({ kind: "difference", end: 12, ...printed("now") }, rowsOf)!;
    const proof = render({ kind: "proof", ...printed("now") }, rowsOf)!.rgba;
    const looks = render({ kind: "artwork", source: "now", garment: GARMENT }, rowsOf)!.rgba;
    const wanted: number[] = [];
    for (let i = 0; i < COUNT; i++) {
      const covers = now.artwork[4 * i + 3]! >= 128;
      if (!covers) {
        expect([...rgba.subarray(4 * i, 4 * i + 4)]).toEqual([0, 0, 0, 0]);
        continue;
      }
      const far = difference(rgbAt(looks, i), rgbAt(proof, i));
      wanted.push(far);
      if (i % 7 !== 0) continue;
      near(rgbAt(rgba, i), bytesOf(differenceColour(far, 12)));
      expect(rgba[4 * i + 3]).toBe(255);
    }
    matches(tally!, wanted);
  });

  it("the film of a plate, and of none", () => {
    const { rgba } = render({ kind: "film", source: "now", plate: "ember" }, rowsOf)!;
    const ember = now.plates.get("ember")!;
    for (const i of places) expect([...rgba.subarray(4 * i, 4 * i + 4)]).toEqual([0, 0, 0, ember[i]]);
    const none = render({ kind: "film", source: "now", plate: "gone" }, rowsOf)!;
    expect(none.rgba.every((v) => v === 0)).toBe(true);
  });

  it("the change of a proof", () => {
    const request: RenderRequest = {
      kind: "change",
      source: "now",
      end: 12,
      now: printed("now"),
      before: printed("before", 40),
    };
    const { rgba, tally } = render(request, rowsOf)!;
    const then = render({ kind: "proof", ...printed("before", 40) }, rowsOf)!.rgba;
    const here = render({ kind: "proof", ...printed("now") }, rowsOf)!.rgba;
    const wanted: number[] = [];
    for (let i = 0; i < COUNT; i++) {
      const far = difference(rgbAt(then, i), rgbAt(here, i));
      wanted.push(far);
      if (i % 7 !== 0) continue;
      near(rgbAt(rgba, i), bytesOf(differenceColour(far, 12)));
      expect(rgba[4 * i + 3]).toBe(255);
    }
    expect(wanted).toHaveLength(COUNT);
    matches(tally!, wanted);
  });

  it("the change of a plate; one that was not there was empty", () => {
    const change = (plate: string) => render({ kind: "plateChange", source: "now", plate }, rowsOf)!.rgba;
    const [tone, was] = [now.plates.get("ember")!, before.plates.get("ember")!];
    const rgba = change("ember");
    for (const i of places) {
      expect(rgbAt(rgba, i)).toEqual(bytesOf(changeColour(tone[i]! - was[i]!)));
      expect(rgba[4 * i + 3]).toBe(255);
    }
    expect(rgbAt(change("gone"), 5)).toEqual(bytesOf(changeColour(0)));
  });

  it("one print, and the places where it is farthest from what it would be in register", () => {
    const [width, height] = [40, 20];
    const plate = Uint8Array.from({ length: width * height }, (_, i) => (i % width < 20 ? 255 : 0));
    const rows = (tones: Uint8Array): Rows => ({
      width,
      artwork: new Uint8Array(width * height * 4),
      plates: new Map([["ember", tones]]),
    });
    const off = plate.slice();
    // At one place of the edge alone the plate has moved by a pixel.
    off[18 * width + 20] = 255;
    const [here, there] = [rows(plate), rows(off)];
    const inRegister = printed("now");
    const request: RenderRequest = { kind: "onePrint", ...inRegister, source: "slid", inRegister };
    const pictures = (source: PictureName) =>
      ({ now: here, slid: there, before, crop: now, slidCrop: now })[source];
    const { rgba, worst } = render(request, pictures)!;
    const [bare, ember] = [proofAt(here, inRegister)(30), proofAt(here, inRegister)(0)];
    expect(rgbAt(rgba, 18 * width + 20)).toEqual(ember);
    expect(rgbAt(rgba, 17 * width + 20)).toEqual(bare);
    const lab = (rgb: Rgb) => labFromBytes(...rgb);
    const [a, b] = [lab(bare), lab(ember)];
    const difference = deltaE00(a.L, a.a, a.b, b.L, b.a, b.b);
    expect(worst![0]).toMatchObject({ x: 20.5, y: 18.5 });
    expect(worst![0]!.difference).toBeCloseTo(difference, 0);
    expect(worst![1]!.difference).toBe(0);
    expect(render({ ...request, inRegister: { ...inRegister, source: "crop" } }, pictures)).toBeUndefined();
    expect(render({ ...request, inRegister: { ...inRegister, source: "before" } }, pictures)).toBeUndefined();
  });

  it("none without its plates, and no change of pictures of two sizes", () => {
    expect(render({ kind: "proof", ...printed("now"), source: "crop" }, rowsOf)).toBeUndefined();
    const small: Rows = { width: 1, artwork: new Uint8Array(4), plates: new Map() };
    const other = (source: PictureName) => (source === "now" ? now : small);
    const change: RenderRequest = {
      kind: "change",
      source: "now",
      end: 12,
      now: printed("now"),
      before: printed("before"),
    };
    expect(render(change, other)).toBeUndefined();
    expect(render({ kind: "plateChange", source: "now", plate: "ember" }, other)).toBeUndefined();
  });
});

it("gives the figures that the command line gives for the same pixels, to the last digit that is shown", async () => {
  // A picture of 37 rows, in one piece as the command line has it, and in bands of rows as the page's workers do.
  const [width, height] = [101, 37];
  const artwork = now.artwork.slice(0, width * height * 4);
  const plates = new Map([...now.plates].map(([name, tones]) => [name, tones.slice(0, width * height)]));
  const { conditions, stations } = printed("now");
  const there = stations.filter(({ plate }) => plates.has(plate));
  const proof = new Uint8Array(width * height * 3);
  preparePrint(conditions, there).print(
    there.map(({ plate }) => plates.get(plate)!),
    0,
    width * height,
    proof,
  );
  const meter = new DifferenceMeter(GARMENT);
  meter.add({ width, height, data: artwork }, 0, width * height, proof);
  const tallies = [0, 9, 18, 37].flatMap((row, i, rows) => {
    if (i === 0) return [];
    const [from, to] = [rows[i - 1]! * width, row * width];
    const band: Rows = {
      width,
      artwork: artwork.slice(from * 4, to * 4),
      plates: new Map([...plates].map(([name, tones]) => [name, tones.slice(from, to)])),
    };
    return render({ kind: "difference", end: 12, ...printed("now") }, () => band)!.tally!;
  });
  const [seen, wanted] = [totalDifference(tallies), meter.result()];
  expect([seen.pixels, seen.p95]).toEqual([wanted.pixels, wanted.p95]);
  expect(seen.mean).toBeCloseTo(wanted.mean, 9);
});

it("is warmed up with any number of stations", () => {
  const { stations, ...rest } = printed("now");
  for (const count of [0, 1, 3]) warm({ ...rest, stations: stations.slice(0, count) });
});
