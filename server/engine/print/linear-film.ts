import { type Lab, type LinearRgb, linearFromLab } from "../colour/cielab.ts";
import { BYTE_OF_STEP, ENCODE_STEPS } from "../colour/srgb.ts";
import type { Impression, InkFilm, PrintModel } from "./model.ts";

/** Pixels mixed at once: three bands of it stay in the processor's nearest cache. */
const BLOCK = 4096;

/**
 * The simplest film that keeps the two facts known of an ink. In each of three linear bands a solid film of
 * colour R and contrast ratio c gives, over a substrate of reflectance G,
 *
 *     R · (c + (1 − c) · G)
 *
 * so that over white (G = 1) it has its own colour, over black (G = 0) c times its luminance, and it hides all
 * (c = 1) or filters like a glaze (c = 0). Reflections between film and substrate are left out.
 *
 * A halftone of tone a mixes by area, (1 − a) · G + a · film(G): Murray–Davies. Since the film is linear in G,
 * doing so station by station equals Demichel's weights over all Neugebauer primaries, for independent dots and
 * n = 1 (test/engine/print/linear-film.test.ts holds the two together).
 */
export const linearFilm: PrintModel = {
  print(garment, impressions, start, end, out) {
    const ground = reflectance(garment);
    const films = impressions.map(({ ink }) => coefficients(ink));
    const r = new Float32Array(BLOCK);
    const g = new Float32Array(BLOCK);
    const b = new Float32Array(BLOCK);
    for (let from = start; from < end; from += BLOCK) {
      const length = Math.min(BLOCK, end - from);
      r.fill(ground.r);
      g.fill(ground.g);
      b.fill(ground.b);
      for (let i = 0; i < films.length; i++) layDown(films[i]!, impressions[i]!, from, length, r, g, b);
      const base = (from - start) * 3;
      for (let i = 0, at = base; i < length; i++, at += 3) {
        out[at] = BYTE_OF_STEP[(r[i]! * ENCODE_STEPS + 0.5) | 0]!;
        out[at + 1] = BYTE_OF_STEP[(g[i]! * ENCODE_STEPS + 0.5) | 0]!;
        out[at + 2] = BYTE_OF_STEP[(b[i]! * ENCODE_STEPS + 0.5) | 0]!;
      }
    }
  },
};

/** Reflectance G becomes `added + kept · G` under solid ink, in each band. */
interface Film {
  readonly added: LinearRgb;
  readonly kept: LinearRgb;
}

function coefficients({ colour, opacity }: InkFilm): Film {
  const { r, g, b } = reflectance(colour);
  const glaze = 1 - opacity;
  return {
    added: { r: r * opacity, g: g * opacity, b: b * opacity },
    kept: { r: r * glaze, g: g * glaze, b: b * glaze },
  };
}

/** Linear sRGB bands as reflectances; what lies outside the gamut is clipped, since no film reflects less than nothing. */
function reflectance(lab: Lab): LinearRgb {
  const { r, g, b } = linearFromLab(lab);
  const clip = (v: number) => Math.min(1, Math.max(0, v));
  return { r: clip(r), g: clip(g), b: clip(b) };
}

function layDown(
  { added, kept }: Film,
  { tones }: Impression,
  from: number,
  length: number,
  r: Float32Array,
  g: Float32Array,
  b: Float32Array,
): void {
  const rAdded = added.r;
  const gAdded = added.g;
  const bAdded = added.b;
  const rTaken = 1 - kept.r;
  const gTaken = 1 - kept.g;
  const bTaken = 1 - kept.b;
  for (let i = 0; i < length; i++) {
    const tone = tones[from + i]!;
    if (tone === 0) continue;
    const a = tone / 255;
    r[i]! += a * (rAdded - rTaken * r[i]!);
    g[i]! += a * (gAdded - gTaken * g[i]!);
    b[i]! += a * (bAdded - bTaken * b[i]!);
  }
}
