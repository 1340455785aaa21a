import { deltaE00 } from "../../engine/colour/ciede2000.ts";
import { type Lab, labFromLinear } from "../../engine/colour/cielab.ts";
import { AREAS } from "../../engine/press/dot-waves.ts";
import { isFaint, PlateBeats, strongestBeat } from "../../engine/press/moire.ts";
import { linearOfBands, mixingBands } from "../../engine/print/bands.ts";
import { power } from "../../engine/print/halftone.ts";
import { preparePrint } from "../../engine/print/model.ts";
import type { Plate, Recipe, Setup } from "../../language/recipe.ts";
import { printConditions, printStations } from "../../render/plan/print-plan.ts";
import type { Print } from "../../render/print.ts";
import { platesIn } from "../job.ts";
import type { Mark, PixelRule } from "../rule.ts";
import { cm2, figure, mm } from "../words.ts";
import { yaml } from "../yaml.ts";
import { otherAngle } from "./angles.ts";
import { dotScreenOf } from "./screened.ts";

/** ΔE00 between the two ends of a beat from which it is seen. */
const SEEN = 2;
/** Share of the print from which a beat matters. */
const LEAST_SHARE = 0.02;

const BEATING = yaml`
  # a picture in halftones of both inks
  garments: { white: { colour: "#f4f3ef" } }
  traps: []
  knockouts: []
  plates:
    ember: { ink: ember, extract: { artwork: opaque }, strength: lightness }
    black: { ink: black, extract: { artwork: opaque }, strength: darkness, screening: { angle: 25 } }
  setups:
    light: { garments: [white], order: [black, ember] }
`;

/** Dots of two plates must not fall upon and beside one another in turn, slowly enough to be seen. */
export const plateMoire: PixelRule = {
  id: "plate-moire",
  looksAt: "pixels",
  level: "warning",
  why: "Where two screens differ by a few degrees or lines, their dots overlap in some places and lie side by side in others: stripes or clouds of another colour show in the print.",
  source:
    "Beats of two gratings and their harmonics, their strength by the print model. Seen from 3.3 rows of dots on, as mesh makers' safe ratios are not, and from 2 ΔE00 between their ends: common practice, no source. Equal angles fall in step and are no fault.",
  example: { fails: BEATING, passes: BEATING.replace("angle: 25", "angle: 52.5") },
  *check(print) {
    const { recipe } = print;
    const told = new Set<string>();
    for (const [name, setup] of recipe.setups) {
      const plates = platesIn(recipe, setup).map(([, plate]) => plate);
      for (const [i, first] of plates.entries())
        for (const second of plates.slice(i + 1)) {
          const pair = [first.name, second.name].sort().join(" ");
          if (told.has(pair) || !print.plates.has(first.name) || !print.plates.has(second.name)) continue;
          const found = beatOf(print, setup, first, second);
          if (!found) continue;
          told.add(pair);
          yield mark(print, name, first, second, found);
        }
    }
  },
};

interface FoundBeat {
  readonly periodMm: number;
  /** ΔE00 between its ends that the largest such area has at least, and that area. */
  readonly difference: number;
  readonly pixels: number;
}

function mark(print: Print, setup: string, first: Plate, second: Plate, found: FoundBeat): Mark {
  const { recipe } = print;
  const { periodMm, difference, pixels } = found;
  const turned = second.purpose === "underbase" ? first : second;
  const other = turned === first ? second : first;
  const screen = ({ screening: { rulingLpi, angle } }: Plate) => `${figure(rulingLpi)} lpi at ${angle}°`;
  const apart = otherAngle(recipe, turned.name);
  // Else the two in step: their colours hang on the register then, but show no pattern.
  const same =
    turned.screening.rulingLpi === other.screening.rulingLpi && turned.screening.dot === other.screening.dot;
  const angle = apart ?? (same ? other.screening.angle : undefined);
  const advice =
    angle === undefined ? `screen ${turned.name} with method fm` : `turn ${turned.name} to ${angle}°`;
  return {
    path: ["plates", turned.name],
    part: "key",
    message: `${first.name} (${screen(first)}) and ${second.name} (${screen(second)}) beat every ${mm(periodMm)}, by up to ${figure(difference)} ΔE00 on ${cm2(print.areaCm2(pixels))} of setup ${setup}, which will show; ${advice}`,
    ...(angle === undefined ? {} : { data: { angle: { plates: [turned.name], angle } } }),
  };
}

/** How two plates of a setup beat where halftones of both meet; undefined where that is not seen. */
function beatOf(print: Print, setup: Setup, first: Plate, second: Plate): FoundBeat | undefined {
  const { recipe, picture } = print;
  const [a, b] = [dotScreenOf(first), dotScreenOf(second)];
  if (!a || !b) return undefined;
  const withinMm = print.pixelMm * Math.max(picture.width, picture.height);
  if (isFaint(strongestBeat(a, b, withinMm))) return undefined;
  const beats = new PlateBeats(a, b, withinMm);

  const pairs = overprintsOf(recipe, setup, first, second);
  const counts = meeting(print, first, second, pairs[0]!.areas);
  const places = [...counts.keys()]
    .filter((at) => counts[at]! > 0)
    .map((at) => {
      const [p, q] = [Math.floor(at / AREAS), at % AREAS];
      const beat = beats.of(p, q);
      const differences = pairs.map(({ between }) =>
        between((p + 0.5) / AREAS, (q + 0.5) / AREAS, beat.strength),
      );
      return { pixels: counts[at]!, periodMm: beat.periodMm, difference: Math.max(...differences) };
    })
    .filter(({ difference }) => difference >= SEEN)
    .sort((x, y) => y.difference - x.difference);
  const pixels = places.reduce((sum, place) => sum + place.pixels, 0);
  if (pixels < LEAST_SHARE * print.pixels) return undefined;
  return { periodMm: places[0]!.periodMm, difference: places[0]!.difference, pixels };
}

/** Pixels by the parts of 0–1 that the printed areas of both plates lie in, where both are halftones. */
function meeting(
  print: Print,
  first: Plate,
  second: Plate,
  [areasA, areasB]: readonly [Float32Array, Float32Array],
): Uint32Array {
  const counts = new Uint32Array(AREAS * AREAS);
  const partOf = (areas: Float32Array) =>
    Int8Array.from(areas, (area) => (area <= 0 || area >= 1 ? -1 : Math.floor(area * AREAS)));
  const [a, b] = [print.plates.get(first.name)!.tones, print.plates.get(second.name)!.tones];
  const [partA, partB] = [partOf(areasA), partOf(areasB)];
  for (let i = 0; i < a.length; i++) {
    const [p, q] = [partA[a[i]!]!, partB[b[i]!]!];
    if (p >= 0 && q >= 0) counts[p * AREAS + q]!++;
  }
  return counts;
}

/** For each garment of a setup what two plates print alone, on solid underbases, with the printed areas of their tones. */
function overprintsOf(recipe: Recipe, setup: Setup, first: Plate, second: Plate) {
  const stations = printStations(recipe, setup).filter(
    ({ plate }) =>
      plate === first.name || plate === second.name || recipe.plates.get(plate)!.purpose === "underbase",
  );
  const place = (name: string) => stations.findIndex(({ plate }) => plate === name);
  const [s, t] = [place(first.name), place(second.name)];
  const solid = stations.reduce((mask, _, i) => (i === s || i === t ? mask : mask | (1 << i)), 0);
  const n = setup.yuleNielsen;
  const bands = mixingBands(n);
  return setup.garments.map((garment) => {
    const { table, areas } = preparePrint(printConditions(recipe, setup, garment), stations);
    const masks = [solid, solid | (1 << s), solid | (1 << t), solid | (1 << s) | (1 << t)];
    /** With `both` of the area printed by both plates. */
    const colour = (a: number, b: number, both: number): Lab => {
      const weights = [1 - a - b + both, a - both, b - both, both];
      const [x, y, z] = [0, 1, 2].map((band) =>
        power(
          weights.reduce((sum, weight, k) => sum + weight * table![3 * masks[k]! + band]!, 0),
          n,
        ),
      ) as [number, number, number];
      return labFromLinear(linearOfBands(bands, x, y, z));
    };
    return {
      areas: [areas[s]!, areas[t]!] as const,
      /** ΔE00 between the ends of a beat that moves the area of both up and down by `strength`. */
      between: (a: number, b: number, strength: number): number => {
        const least = Math.max(0, a + b - 1, a * b - strength);
        const most = Math.min(a, b, a * b + strength);
        const [p, q] = [colour(a, b, least), colour(a, b, most)];
        return deltaE00(p.L, p.a, p.b, q.L, q.a, q.b);
      },
    };
  });
}
