import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { type LinearRgb, labFromLinear } from "../../../server/engine/colour/cielab.ts";
import { registerDeviation } from "../../../server/engine/print/dot-lattices.ts";
import { type PrintConditions, preparePrint, type Station } from "../../../server/engine/print/model.ts";
import type { Tones } from "../../../server/engine/raster.ts";
import { bytesPerRow } from "../../../server/engine/screen/bits.ts";
import { Halftone, type ScreenedPlate, type Screening } from "../../../server/engine/screen/halftone.ts";
import { random } from "../../property.ts";

/** A film in full, a byte a pixel, 1 = ink. */
export interface Film {
  readonly bits: Uint8Array;
  readonly width: number;
  readonly height: number;
}

export const FILM_DPI = 1200;
const STRAIGHT = Float64Array.from({ length: 256 }, (_, tone) => tone / 255);

/** The program's own film of a plate, in full. */
export function filmOfPlate(
  tones: Tones,
  width: number,
  height: number,
  screen: Screening,
  size: { readonly width: number; readonly height: number },
): Film {
  return filmWindow(
    { tones, width, height, curve: STRAIGHT },
    screen,
    { dpi: FILM_DPI, ...size },
    { x: 0, y: 0, ...size },
  );
}

/** A window of it, of a film of some resolution and size. */
export function filmWindow(
  plate: ScreenedPlate,
  screen: Screening,
  film: { readonly dpi: number; readonly width: number; readonly height: number },
  window: Part,
): Film {
  const halftone = new Halftone(plate, screen, film.dpi, film.width, film.height);
  const stride = bytesPerRow(window.width);
  const packed = new Uint8Array(stride * window.height);
  halftone.draw(window, packed);
  const bits = new Uint8Array(window.width * window.height);
  for (let y = 0, i = 0; y < window.height; y++)
    for (let x = 0; x < window.width; x++, i++)
      bits[i] = (packed[y * stride + (x >> 3)] >> (7 - (x & 7))) & 1;
  return { bits, width: window.width, height: window.height };
}

/** Two numbers of a normal distribution (Box & Muller 1958). */
function normal(next: () => number): [number, number] {
  const r = Math.sqrt(-2 * Math.log(1 - next()));
  const angle = 2 * Math.PI * next();
  return [r * Math.cos(angle), r * Math.sin(angle)];
}

/**
 * Where plates lie in a number of prints, in film pixels. A shift by whole pixels is off by up to half of one, which
 * adds a twelfth to the variance: as much less is drawn.
 */
export function draws(
  plates: number,
  prints: number,
  misregistrationMm: number,
  seed: number,
  dpi = FILM_DPI,
): [number, number][][] {
  const next = random(seed);
  const px = (registerDeviation(misregistrationMm) * dpi) / 25.4;
  const deviation = Math.sqrt(Math.max(0, px * px - 1 / 12));
  return Array.from({ length: prints }, () =>
    Array.from({ length: plates }, () => {
      const [x, y] = normal(next);
      return [Math.round(deviation * x), Math.round(deviation * y)];
    }),
  );
}

/** A part of the film, away from its edges. */
export interface Part {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Places of a part that are looked at in one of several prints, as figures are measured. */
const LOOKED_AT = 2000;

/**
 * How much of a part of the print each overprint covers, over all draws: `shares[mask]`, which sum to 1. In each print
 * `lookedAt` other places are looked at, spread evenly (Roberts 2018, R2), since prints differ more than places of a print;
 * one print alone is looked at everywhere.
 */
export function overprintShares(
  films: readonly Film[],
  shifts: readonly (readonly [number, number])[][],
  part: Part,
  lookedAt = LOOKED_AT,
) {
  const counts = new Float64Array(2 ** films.length);
  const whole = part.width * part.height;
  const looks = shifts.length === 1 ? whole : lookedAt;
  let at = 0;
  for (const shift of shifts) {
    for (let look = 0; look < looks; look++, at++) {
      const x =
        part.x +
        (looks === whole ? look % part.width : Math.floor(part.width * ((at * 0.7548776662466927) % 1)));
      const y =
        part.y +
        (looks === whole
          ? Math.floor(look / part.width)
          : Math.floor(part.height * ((at * 0.5698402909980532) % 1)));
      let mask = 0;
      for (let f = 0; f < films.length; f++) {
        const { bits, width } = films[f];
        mask |= bits[(y + shift[f][1]) * width + x + shift[f][0]] << f;
      }
      counts[mask]++;
    }
  }
  const all = shifts.length * looks;
  return counts.map((count) => count / all);
}

/** The colour of overprints side by side, without light that spreads between them (n = 1). */
export function colourOfShares(
  shares: Float64Array,
  conditions: PrintConditions,
  stations: readonly Station[],
): LinearRgb {
  const { colour } = preparePrint(conditions, stations);
  const sum = { r: 0, g: 0, b: 0 };
  for (const [mask, share] of shares.entries()) {
    if (share === 0) continue;
    const { r, g, b } = colour(stations.map((_, s) => (mask >> s) & 1));
    sum.r += share * r;
    sum.g += share * g;
    sum.b += share * b;
  }
  return sum;
}

export function difference(one: LinearRgb, other: LinearRgb): number {
  const [p, q] = [labFromLinear(one), labFromLinear(other)];
  return deltaE00(p.L, p.a, p.b, q.L, q.a, q.b);
}
