import { expect, it } from "vitest";
import { type Lab, labFromBytes } from "../../../server/engine/colour/cielab.ts";
import { byteFromLinear, linearFromSrgb, srgbFromLinear } from "../../../server/engine/colour/srgb.ts";
import type { InkFilm } from "../../../server/engine/print/ink-film.ts";
import { MOST_TABLED, type PrintConditions, preparePrint } from "../../../server/engine/print/model.ts";
import type { Tones } from "../../../server/engine/raster.ts";
import { random } from "../../property.ts";

type Bytes = readonly [number, number, number];

const ink = (colour: Bytes, opacity: number): InkFilm => ({ colour: labFromBytes(...colour), opacity });
interface Impression {
  readonly ink: InkFilm;
  readonly tones: Tones;
}
const impression = (film: InkFilm, ...tones: number[]): Impression => ({
  ink: film,
  tones: Uint8Array.from(tones),
});
const garmentOf = (colour: Bytes): Lab => labFromBytes(...colour);

const on = (garment: Lab, n = 1): PrintConditions => ({
  garment,
  n,
  compensated: false,
  smallestDot: 0,
});

function print(
  garment: Lab,
  impressions: readonly Impression[],
  start: number,
  end: number,
  out: Uint8Array,
  n = 1,
) {
  preparePrint(on(garment, n), impressions).print(
    impressions.map(({ tones }) => tones),
    start,
    end,
    out,
  );
}

function printed(garment: Bytes, impressions: readonly Impression[], pixels = 1, n = 1): number[] {
  const out = new Uint8Array(pixels * 3).fill(77);
  print(garmentOf(garment), impressions, 0, pixels, out, n);
  return [...out];
}

const WHITE: Bytes = [255, 255, 255];
const BLACK: Bytes = [0, 0, 0];
const EMBER: Bytes = [216, 67, 31];
const SLATE: Bytes = [90, 104, 130];

/** Luminance Y of an 8-bit colour, by the sRGB weights of IEC 61966-2-1. */
function luminance([r, g, b]: readonly number[]): number {
  const [lr, lg, lb] = [r, g, b].map((byte) => linearFromSrgb(byte / 255));
  return 0.2126 * lr + 0.7152 * lg + 0.0722 * lb;
}

it("shows the garment exactly where no ink prints", () => {
  const next = random(1);
  for (let i = 0; i < 300; i++) {
    const grey = Math.min(i, 255);
    const colour: Bytes =
      i < 256 ? [grey, grey, grey] : [(next() * 256) | 0, (next() * 256) | 0, (next() * 256) | 0];
    expect(printed(colour, [])).toEqual([...colour]);
    expect(printed(colour, [impression(ink(EMBER, 0.7), 0)])).toEqual([...colour]);
  }
});

it("shows an opaque ink exactly, whatever lies below", () => {
  for (const below of [WHITE, BLACK, SLATE]) {
    expect(printed(below, [impression(ink(EMBER, 1), 255)])).toEqual([...EMBER]);
    expect(printed(below, [impression(ink(SLATE, 0.6), 130), impression(ink(EMBER, 1), 255)])).toEqual([
      ...EMBER,
    ]);
  }
});

// Draw-down, ISO 6504-3 (contrast ratio 100 · Yb / Yw; the standard from memory).
for (const opacity of [0.15, 0.5, 0.7, 0.92, 1]) {
  it(`gives back colour and contrast ratio in a draw-down of an ink of ${opacity * 100} % opacity`, () => {
    for (const colour of [EMBER, SLATE, [248, 248, 244], [255, 220, 40]] as const) {
      const film = impression(ink(colour, opacity), 255);
      const [overWhite, overBlack] = [printed(WHITE, [film]), printed(BLACK, [film])];
      expect(overWhite).toEqual([...colour]);
      // Over black the dark bands round to 8 bits: under 2 % of the ratio.
      expect(luminance(overBlack) / luminance(overWhite) / opacity).toBeCloseTo(1, 1);
      expect(Math.abs(luminance(overBlack) / luminance(overWhite) - opacity)).toBeLessThan(0.01);
    }
  });
}

it("filters like a glaze where the ink hides nothing", () => {
  // Over white its own colour, over black black.
  const glaze = impression(ink(EMBER, 0), 255);
  expect(printed(WHITE, [glaze])).toEqual([...EMBER]);
  expect(printed(BLACK, [glaze])).toEqual([0, 0, 0]);
});

it("mixes paper and ink by area (Murray–Davies)", () => {
  // Westland & Ripamonti 2004, eq. 9.2: R = a · Rp + (1 − a) · Rs, for grey inks of reflectance 0.04 on 0.8.
  const [light, dark] = [0.8, 0.04].map((v) => Math.round(255 * srgbFromLinear(v)));
  const [Rp, Rs] = [light, dark].map((byte) => linearFromSrgb(byte / 255));
  const tones = Array.from({ length: 256 }, (_, tone) => tone);
  const row = printed([light, light, light], [impression(ink([dark, dark, dark], 1), ...tones)], 256);
  const wrong = tones.filter((tone) => {
    const exact = 255 * srgbFromLinear((tone / 255) * Rs + (1 - tone / 255) * Rp);
    return Math.abs(row[tone * 3] - exact) > 0.75;
  });
  expect(wrong).toEqual([]);
  expect([row[0], row[255 * 3]]).toEqual([light, dark]);
});

it("depends on the order of opaque inks", () => {
  const [ember, slate] = [impression(ink(EMBER, 0.9), 255), impression(ink(SLATE, 0.9), 255)];
  const [emberLast, slateLast] = [printed(WHITE, [slate, ember]), printed(WHITE, [ember, slate])];
  expect(emberLast[0]).toBeGreaterThan(slateLast[0]);
  expect(slateLast[2]).toBeGreaterThan(emberLast[2]);
});

it("clips what no print can reflect", () => {
  const seen = new Uint8Array(3);
  print({ L: 55, a: 85, b: 72 }, [], 0, 1, seen);
  expect([seen[0], seen[1]]).toEqual([255, 0]);
  print({ L: 140, a: 0, b: 0 }, [], 0, 1, seen);
  expect(Math.min(...seen)).toBeGreaterThan(253);
});

it("prints piece by piece what it prints in one go", () => {
  const next = random(5);
  const pixels = 10_000;
  const impressions = [EMBER, SLATE, WHITE].map((colour) =>
    impression(ink(colour, 0.3 + next() * 0.6), ...Array.from({ length: pixels }, () => (next() * 256) | 0)),
  );
  const whole = printed(BLACK, impressions, pixels);
  const pieces: number[] = [];
  for (const [start, end] of [
    [0, 1],
    [1, 4097],
    [4097, 9000],
    [9000, 9000],
    [9000, pixels],
  ]) {
    const out = new Uint8Array((end - start) * 3);
    print(garmentOf(BLACK), impressions, start, end, out);
    pieces.push(...out);
  }
  expect(pieces.findIndex((byte, i) => byte !== whole[i])).toBe(-1);
  expect(pieces).toHaveLength(whole.length);
});

it("writes no further than its pixels", () => {
  const out = new Uint8Array(9).fill(77);
  print(garmentOf(WHITE), [], 0, 2, out);
  expect([...out.subarray(6)]).toEqual([77, 77, 77]);
});

it("prints runs, edges and unaligned plates as it prints single pixels", () => {
  const next = random(9);
  const pixels = 5000;
  const films = [EMBER, SLATE, WHITE, [20, 90, 60] as const].map((colour) => ink(colour, 0.3 + next() * 0.6));
  for (const n of [1, 1.7]) {
    const plates = films.map(() => {
      let tone = 0;
      // Long runs, short runs and noise; some plates lie at an odd place of their buffer.
      const shift = (next() * 4) | 0;
      const tones = new Uint8Array(pixels + shift).subarray(shift);
      for (let i = 0; i < pixels; i++) {
        if (next() < (i < 2000 ? 0.02 : i < 3500 ? 0.3 : 1))
          tone = next() < 0.4 ? 0 : next() < 0.3 ? 255 : (next() * 256) | 0;
        tones[i] = tone;
      }
      return tones;
    });
    const ready = preparePrint(
      on(garmentOf(BLACK), n),
      films.map((film) => ({ ink: film })),
    );
    const whole = new Uint8Array(pixels * 3);
    ready.print(plates, 0, pixels, whole);
    const single = new Uint8Array(3);
    for (let i = 0; i < pixels; i += 7) {
      ready.print(plates, i, i + 1, single);
      expect([...whole.subarray(3 * i, 3 * i + 3)]).toEqual([...single]);
    }
  }
});

it("prints any number of stations, with a table or without", () => {
  const next = random(12);
  const colours = Array.from(
    { length: MOST_TABLED + 2 },
    (): Bytes => [next() * 256, next() * 256, next() * 256],
  );
  const plates = colours.map((_, k) => Uint8Array.of(k < 3 ? 90 : 0, 0, k === 4 ? 255 : 0));
  const stations = colours.map((colour) => ({ ink: ink(colour, 0.6) }));
  const [few, many] = [4, stations.length].map((count) => {
    const out = new Uint8Array(9);
    preparePrint(on(garmentOf(BLACK)), stations.slice(0, count)).print(plates.slice(0, count), 0, 3, out);
    return [...out];
  });
  expect(preparePrint(on(garmentOf(BLACK)), stations).table).toBeUndefined();
  expect(many.slice(0, 6).map((v, i) => Math.abs(v - few[i]) <= 1)).toEqual(Array(6).fill(true));
  expect(many.slice(6)).not.toEqual(few.slice(6));
});

it("darkens halftones as light spreads between dots (Yule–Nielsen)", () => {
  const half = impression(ink(SLATE, 1), 128);
  const [wide, narrow] = [printed(WHITE, [half], 1, 2), printed(WHITE, [half], 1, 1)];
  expect(wide[0]).toBeLessThan(narrow[0]);
  for (const tone of [0, 255]) {
    const end = impression(ink(SLATE, 1), tone);
    printed(WHITE, [end], 1, 2).forEach((v, i) => {
      expect(Math.abs(v - printed(WHITE, [end], 1, 1)[i])).toBeLessThanOrEqual(1);
    });
  }
});

it("nests dots of one lattice wholly where no misregistration is told, and less where it is", () => {
  const screen = { method: "am", rulingLpi: 45, angle: 22.5, dot: "round" } as const;
  const stations = [EMBER, SLATE].map((colour) => ({ ink: ink(colour, 0), screen }));
  const light = (misregistrationMm?: number) => {
    const told = misregistrationMm === undefined ? {} : { misregistrationMm };
    return preparePrint({ ...on(garmentOf(WHITE)), ...told }, stations).colour([0.4, 0.4]).g;
  };
  const solid = preparePrint(on(garmentOf(WHITE)), stations).colour([1, 1]).g;
  // Dots upon dots: 0.6 of the garment shows, and both inks on the rest.
  expect(light()).toBeCloseTo(0.6 + 0.4 * solid, 3);
  expect(light(0)).toBe(light());
  expect(light(0.2)).toBeLessThan(light() - 0.01);
});

it("prints grown tones where an ink has a gain", () => {
  const gain = [
    [0, 0],
    [0.5, 0.7],
    [1, 1],
  ] as const;
  const tones = Uint8Array.of(128);
  const out = new Uint8Array(3);
  preparePrint(on(garmentOf(WHITE)), [{ ink: ink(SLATE, 1), gain: { tones: gain } }]).print(
    [tones],
    0,
    1,
    out,
  );
  const wanted = printed(WHITE, [impression(ink(SLATE, 1), Math.round(0.702 * 255))]);
  expect(out.every((v, i) => Math.abs(v - wanted[i]) <= 1)).toBe(true);
});

it.each([false, true])(
  "prints as many stations as are tabled, all in halftones, as the full form does; nested: %s",
  (nested) => {
    const next = random(14);
    const screen = { method: "am", rulingLpi: 45, angle: 22.5, dot: "round" } as const;
    const stations = Array.from({ length: MOST_TABLED }, () => ({
      ink: ink([next() * 256, next() * 256, next() * 256], 0.3),
      ...(nested ? { screen } : {}),
    }));
    for (const n of [1, 1.6]) {
      const print = preparePrint({ ...on(garmentOf(WHITE), n), misregistrationMm: 0.2 }, stations);
      const tones = stations.map(() => Math.round(20 + 60 * next()));
      const out = new Uint8Array(3);
      print.print(
        tones.map((tone) => Uint8Array.of(tone)),
        0,
        1,
        out,
      );
      const { r, g, b } = print.colour(tones.map((tone) => tone / 255));
      for (const [i, light] of [r, g, b].entries())
        expect(Math.abs(out[i] - byteFromLinear(light))).toBeLessThanOrEqual(1);
    }
  },
);

it("prints more stations than are tabled from any pixel on, four bytes a pixel too", () => {
  const stations = Array.from({ length: MOST_TABLED + 1 }, (_, s) => ({
    ink: ink(s % 2 ? EMBER : SLATE, 0.5),
  }));
  const print = preparePrint(on(garmentOf(WHITE)), stations);
  // Runs of one colour are copied.
  const plates = stations.map((_, s) => (s < 2 ? Uint8Array.of(0, 90, 90, 200) : new Uint8Array(4)));
  const [three, four] = [new Uint8Array(9).fill(7), new Uint8Array(16).fill(7)];
  print.print(plates, 1, 3, three);
  print.print(plates, 0, 4, four, 4);
  const few = preparePrint(on(garmentOf(WHITE)), stations.slice(0, 2));
  const wanted = new Uint8Array(16);
  few.print(plates.slice(0, 2), 0, 4, wanted, 4);
  expect([...four].every((v, i) => Math.abs(v - wanted[i]) <= 1)).toBe(true);
  expect([...three]).toEqual([...four.subarray(4, 7), ...four.subarray(8, 11), 7, 7, 7]);
});
