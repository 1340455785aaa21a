import { openMask } from "../../engine/inspect/opening.ts";
import { Thirds } from "../../engine/inspect/thirds.ts";
import { rowMm } from "../../engine/press/dots.ts";
import type { Tones } from "../../engine/raster.ts";
import { choke, spread } from "../../engine/trap/choke.ts";
import { placeWords } from "../../language/place-words.ts";
import type { Print, PrintPlate } from "../../render/print.ts";
import { darkPlates } from "../job.ts";
import type { PixelRule } from "../rule.ts";
import { cm2, mm } from "../words.ts";
import { yaml } from "../yaml.ts";

/** Under this many pixels a distance cannot be told from none. */
const LEAST_PIXELS = 1;
const EATEN_CM2 = 0.25;

/** A choke takes away all that is thinner than twice its distance. */
export const eatenLines: PixelRule = {
  id: "eaten-lines",
  looksAt: "pixels",
  level: "warning",
  why: "A line thinner than twice the choke disappears from the plate, and what prints on it loses its underbase.",
  source:
    "Follows from the choke: opening by a disc (Serra, Image Analysis and Mathematical Morphology, 1982, from memory).",
  example: {
    fails: yaml`
      # a picture with lines 0.5 mm wide
      traps:
        - { plate: base, choke: 0.4 mm }
    `,
    passes: yaml`
      # a picture with lines 0.5 mm wide
      traps:
        - { plate: base, choke: 0.2 mm }
    `,
  },
  *check(print) {
    for (const { index: i, plate: name, way, distanceMm } of print.recipe.traps) {
      const plate = print.plates.get(name);
      const radius = distanceMm / print.pixelMm;
      if (!plate || way !== "choke" || radius < LEAST_PIXELS) continue;
      // Under a dark plate nothing is missed.
      const dark = darkPlates(print).filter((other) => other.name !== name);
      const covered = (at: number) => dark.some(({ tones }) => tones[at]! >= 128);
      const where = thin(
        print,
        plate.untrapped,
        radius,
        (tone, left, at) => tone >= 128 && left < 64 && !covered(at),
        2,
      );
      const area = print.areaCm2(where.sum);
      if (area < EATEN_CM2) continue;
      yield {
        path: ["traps", i, "choke"],
        message: `this choke takes lines thinner than ${mm(2 * distanceMm)} off ${name} altogether, ${cm2(area)} of them, ${placeWords(where)}; choke less, or make them thicker`,
      };
    }
  },
};

/** Tones, 0–255, that print as dots rather than as a line. */
const DOTS_FROM = 26;
const DOTS_TO = 204;
const THIN_CM2 = 0.3;

/** A halftone cannot draw what is thinner than its own rows. */
export const thinHalftone: PixelRule = {
  id: "thin-halftone",
  looksAt: "pixels",
  level: "note",
  why: "A line in halftone that is thinner than a row of dots breaks up into single dots.",
  source: "Follows from the ruling.",
  example: {
    fails: yaml`
      # a picture with pale lines 0.4 mm wide
      plates:
        ember: { ink: ember, extract: { hue: [350, 50] }, strength: chroma }
    `,
    passes: yaml`
      # a picture with pale lines 0.4 mm wide
      plates:
        ember: { ink: ember, extract: { hue: [350, 50] }, strength: flat }
    `,
  },
  *check(print) {
    for (const { name, tones } of print.plates.values()) {
      const { screening, purpose } = print.recipe.plates.get(name)!;
      const { rulingLpi } = screening;
      if (purpose === "underbase") continue;
      const radius = rowMm(rulingLpi) / 2 / print.pixelMm;
      if (radius < 2 * LEAST_PIXELS) continue;
      const shape = tones.map((tone) => (tone > 0 ? 255 : 0));
      const others = colourPlates(print).filter((other) => other.name !== name);
      // What other plates print too does not hang on this one's dots.
      const alone = (at: number) => others.every((other) => 2 * other.tones[at]! < tones[at]!);
      const where = thin(
        print,
        shape,
        radius,
        (_, left, at) => left < 64 && tones[at]! >= DOTS_FROM && tones[at]! <= DOTS_TO && alone(at),
      );
      const area = print.areaCm2(where.sum);
      if (area < THIN_CM2) continue;
      yield {
        path: ["plates", name],
        part: "key",
        message: `${cm2(area)} of ${name}, ${placeWords(where)}, are halftone lines thinner than a row of dots (${mm(rowMm(rulingLpi))} at ${rulingLpi} lpi) and will break up; print them solid, or take a finer ruling`,
      };
    }
  },
};

function colourPlates({ plates, recipe }: Print): PrintPlate[] {
  return [...plates.values()].filter(({ name }) => recipe.plates.get(name)!.purpose !== "underbase");
}

/**
 * Where an opening by a disc takes something away, as `lost` judges it; what is not `side` pixels wide anywhere is the
 * softness of an edge and no line.
 */
function thin(
  { picture: { width, height } }: Print,
  tones: Tones,
  radius: number,
  lost: (tone: number, left: number, at: number) => boolean,
  side = 1,
): Thirds {
  const inner = new Uint8Array(tones.length);
  const opened = new Uint8Array(tones.length);
  choke(tones, width, height, radius, inner);
  spread(inner, width, height, radius, opened);
  const gone = new Uint8Array(tones.length);
  for (let i = 0; i < tones.length; i++) if (lost(tones[i]!, opened[i]!, i)) gone[i] = 1;
  openMask(gone, width, height, side);
  const where = new Thirds(width, height);
  for (let i = 0; i < gone.length; i++) if (gone[i] !== 0) where.add(i);
  return where;
}
