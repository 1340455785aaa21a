import { Thirds } from "../../engine/inspect/thirds.ts";
import { toneOfMeshPitch } from "../../engine/press/dots.ts";
import { filmTone } from "../../engine/print/gain.ts";
import type { Tones } from "../../engine/raster.ts";
import { placeWords } from "../../language/place-words.ts";
import { gainOf } from "../../language/readings/gain.ts";
import { filmCurve } from "../../render/film-curve.ts";
import { histogramOf, type Print } from "../../render/print.ts";
import { darkPlates } from "../job.ts";
import type { PixelRule } from "../rule.ts";
import { cm2, percent } from "../words.ts";
import { yaml } from "../yaml.ts";

/** Share of the print from which a tone matters. */
const LEAST_SHARE = 0.02;

/** Pixels of tones from `from` up to and with `to`, 0–255. */
function pixelsBetween(histogram: Uint32Array, from: number, to: number): number {
  let sum = 0;
  for (let tone = Math.max(0, from); tone <= Math.min(255, to); tone++) sum += histogram[tone]!;
  return sum;
}

/** Where in the print the tones from `from` up to and with `to` lie. */
function whereBetween({ picture: { width, height } }: Print, tones: Tones, from: number, to: number): string {
  const where = new Thirds(width, height);
  for (let i = 0; i < tones.length; i++) if (tones[i]! >= from && tones[i]! <= to) where.add(i);
  return placeWords(where);
}

/** Tone, 0–255, from which a plate hides what lies below. */
const COVERS = 128;

/** A dot no wider than one opening and one thread may find no thread to hang on, or no opening to print through. */
export const dotsUnderMesh: PixelRule = {
  id: "dots-under-mesh",
  looksAt: "pixels",
  level: "warning",
  why: "A dot no wider than the pitch of the mesh sits on a thread here and over an opening there, so light tones print unevenly.",
  source: "Common practice, no source: the smallest dot spans an opening and a thread.",
  example: {
    fails: yaml`
      # a picture with large light tones
      plates:
        ember: { ink: ember, extract: { hue: [350, 50] }, strength: chroma, mesh: coarse }
    `,
    passes: yaml`
      plates:
        ember: { ink: ember, extract: { hue: [350, 50] }, strength: chroma, mesh: fine }
    `,
  },
  *check(print) {
    const { smallestDot } = print.recipe.screening;
    for (const { name, tones } of print.plates.values()) {
      const plate = print.recipe.plates.get(name)!;
      const { mesh: meshName, screening } = plate;
      const mesh = meshName === undefined ? undefined : print.recipe.meshes.get(meshName);
      if (!mesh || screening.method !== "am") continue;
      const onFilm = toneOfMeshPitch(mesh.count, screening.rulingLpi);
      if (onFilm <= smallestDot) continue;
      // The greatest tone of the plate whose dots on film are no wider.
      const most = filmCurve(print.recipe, plate).findLastIndex((film) => film <= onFilm);
      const least = most / 255;
      // Under a dark plate nobody sees them.
      const dark = darkPlates(print).filter((other) => other.name !== name);
      let pixels = 0;
      for (let i = 0; i < tones.length; i++) {
        if (tones[i] !== 0 && tones[i]! <= most && dark.every((other) => other.tones[i]! < COVERS)) pixels++;
      }
      if (pixels < LEAST_SHARE * print.pixels) continue;
      yield {
        path: ["plates", name],
        part: "key",
        message: `tones of ${name} up to ${percent(least)} are dots no wider than the pitch of mesh ${meshName} and will print unevenly, on ${cm2(print.areaCm2(pixels))}; take a finer mesh, or a coarser ruling`,
      };
    }
  },
};

/** What the smallest dot takes away. */
export const lostTones: PixelRule = {
  id: "lost-tones",
  looksAt: "pixels",
  level: "note",
  why: "Tones nearer to nothing than to the smallest dot are left out, so a soft fade ends in an edge.",
  source: "Follows from the smallest dot.",
  example: {
    fails: yaml`
      # a picture with wide fades into nothing
      screening: { smallest-dot: 12% }
    `,
    passes: yaml`
      # a picture with wide fades into nothing
      screening: { smallest-dot: 3% }
    `,
  },
  *check(print) {
    for (const { name, unlimited, untrapped } of print.plates.values()) {
      const dot = Math.round(print.recipe.screening.smallestDot * 255);
      const most = Math.ceil(dot / 2) - 1;
      const pixels = pixelsBetween(histogramOf(unlimited), 1, most);
      if (pixels < LEAST_SHARE * print.pixels) continue;
      const where = whereBetween(print, untrapped, 1, most);
      yield {
        path: ["plates", name],
        part: "key",
        message: `${name} loses its lightest tones, under ${percent(dot / 510)}, on ${cm2(print.areaCm2(pixels))}, ${where}: less than half the smallest dot; steepen its curve there, or hold a smaller dot`,
      };
    }
  },
};

/** Dots grow most in the middle tones: a tone of 50 % prints about this much darker. Common practice, no source. */
const DEFAULT_GAIN = 0.2;

/** Deep shades close up. */
export const filledShadows: PixelRule = {
  id: "filled-shadows",
  looksAt: "pixels",
  level: "note",
  why: "Dots grow in the print, so the small holes of dark tones close and the drawing in the shadows goes with them.",
  source:
    "The shop's measured gain; without one 20 % at half tone: common practice, no source. Compensated films do not fill.",
  example: {
    fails: yaml`
      # a picture with wide, very dark shades
      plates:
        black: { ink: black, purpose: shadow, extract: { lightness: [0, 18], fade: 20 } }
    `,
    passes: yaml`
      # the same, with the darkest tones opened
      plates:
        black: { ink: black, purpose: shadow, extract: { lightness: [0, 18], fade: 20 } }
      adjust:
        - { plate: black, curve: [[0, 0], [80, 70], [96, 80], [100, 100]] }
    `,
  },
  *check(print) {
    const { smallestDot } = print.recipe.screening;
    for (const plate of print.plates.values()) {
      // Grounds and highlights are to be solid there.
      const { purpose, ink, screening } = print.recipe.plates.get(plate.name)!;
      if (purpose === "underbase" || purpose === "highlight") continue;
      const gain = gainOf(print.recipe.inks.get(ink)!.gain ?? screening.gain);
      // Films that are compensated ask for larger holes.
      if (gain && screening.compensate) continue;
      const from = gain ? filmTone(gain)(1 - smallestDot) : closing(1 - smallestDot);
      // Solids have no holes that could fill.
      const [least, most] = [Math.ceil(from * 255), Math.min(254, Math.floor((1 - smallestDot) * 255))];
      const pixels = pixelsBetween(plate.histogram, least, most);
      if (pixels < LEAST_SHARE * print.pixels) continue;
      const where = whereBetween(print, plate.tones, least, most);
      yield {
        path: ["plates", plate.name],
        part: "key",
        message: `tones of ${plate.name} over ${Math.min(99, Math.round(from * 100))} % will fill in when dots grow, on ${cm2(print.areaCm2(pixels))}, ${where}; open them with a curve, or count them as solid`,
      };
    }
  },
};

/** The same where no gain was measured: it is taken as a parabola over the tone scale. */
function closing(printed: number): number {
  const k = 4 * DEFAULT_GAIN;
  // printed = t + k t (1 − t)
  return (1 + k - Math.sqrt((1 + k) ** 2 - 4 * k * printed)) / (2 * k);
}
