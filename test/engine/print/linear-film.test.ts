import { expect, it } from "vitest";
import { type Lab, labFromBytes, linearFromLab } from "../../../server/engine/colour/cielab.ts";
import { linearFromSrgb, srgbFromLinear } from "../../../server/engine/colour/srgb.ts";
import { linearFilm } from "../../../server/engine/print/linear-film.ts";
import type { Impression, InkFilm } from "../../../server/engine/print/model.ts";
import { random } from "../../property.ts";

type Bytes = readonly [number, number, number];

const ink = (colour: Bytes, opacity: number): InkFilm => ({ colour: labFromBytes(...colour), opacity });
const impression = (film: InkFilm, ...tones: number[]): Impression => ({
  ink: film,
  tones: Uint8Array.from(tones),
});
const garment = (colour: Bytes): Lab => labFromBytes(...colour);

function printed(on: Bytes, impressions: readonly Impression[], pixels = 1): number[] {
  const out = new Uint8Array(pixels * 3).fill(77);
  linearFilm.print(garment(on), impressions, 0, pixels, out);
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

/** Reflectance of a solid film over a substrate, band by band: R · (c + (1 − c) · G). */
function over({ colour, opacity }: InkFilm, substrate: readonly number[]): number[] {
  const { r, g, b } = linearFromLab(colour);
  return [r, g, b].map((R, band) => R * (opacity + (1 - opacity) * substrate[band]));
}

/**
 * The long way: every overprint of the inks (Neugebauer's primaries), each printed in order on the garment, weighed by
 * the area that it has when dots fall independently (Demichel).
 */
function neugebauer(on: Bytes, films: readonly InkFilm[], areas: readonly number[]): number[] {
  const sum = [0, 0, 0];
  for (let overprint = 0; overprint < 2 ** films.length; overprint++) {
    let weight = 1;
    let primary = on.map((byte) => linearFromSrgb(byte / 255));
    for (const [i, film] of films.entries()) {
      const prints = (overprint >> i) & 1;
      weight *= prints ? areas[i] : 1 - areas[i];
      if (prints) primary = over(film, primary);
    }
    for (let band = 0; band < 3; band++) sum[band] += weight * primary[band];
  }
  return sum.map((light) => 255 * srgbFromLinear(light));
}

it("equals Demichel's weights over all Neugebauer primaries, n = 1", () => {
  // Westland & Ripamonti 2004, §9.4.
  const next = random(2);
  const byte = () => (next() * 256) | 0;
  const colour = (): Bytes => [byte(), byte(), byte()];
  let worst = 0;
  for (let job = 0; job < 120; job++) {
    const on = colour();
    const films = Array.from({ length: (1 + next() * 6) | 0 }, () => ink(colour(), next()));
    const pixels = 10;
    const impressions = films.map((film) =>
      impression(film, ...Array.from({ length: pixels }, (_, i) => (i === 0 ? 255 : i === 1 ? 0 : byte()))),
    );
    const seen = printed(on, impressions, pixels);
    for (let i = 0; i < pixels; i++) {
      const exact = neugebauer(
        on,
        films,
        impressions.map(({ tones }) => tones[i] / 255),
      );
      for (let band = 0; band < 3; band++)
        worst = Math.max(worst, Math.abs(seen[i * 3 + band] - exact[band]));
    }
  }
  // Half of a byte by rounding, and a tenth at most by the encoding table's steps.
  expect(worst).toBeLessThan(0.61);
});

it("clips what no print can reflect", () => {
  const seen = new Uint8Array(3);
  linearFilm.print({ L: 60, a: 120, b: 100 }, [], 0, 1, seen);
  expect([seen[0], seen[1]]).toEqual([255, 0]);
  linearFilm.print({ L: 140, a: 0, b: 0 }, [], 0, 1, seen);
  expect([...seen]).toEqual([255, 255, 255]);
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
    linearFilm.print(garment(BLACK), impressions, start, end, out);
    pieces.push(...out);
  }
  expect(pieces.findIndex((byte, i) => byte !== whole[i])).toBe(-1);
  expect(pieces).toHaveLength(whole.length);
});

it("writes no further than its pixels", () => {
  const out = new Uint8Array(9).fill(77);
  linearFilm.print(garment(WHITE), [], 0, 2, out);
  expect([...out.subarray(6)]).toEqual([77, 77, 77]);
});
