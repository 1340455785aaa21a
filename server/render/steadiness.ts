import { Thirds } from "../engine/inspect/thirds.ts";
import { preparePrint } from "../engine/print/model.ts";
import { PRINTS, PrintToPrint } from "../engine/print/steadiness.ts";
import type { Tones } from "../engine/raster.ts";
import { placeWords } from "../language/place-words.ts";
import { printConditions, printStations } from "./plan/print-plan.ts";
import type { Print } from "./print.ts";

/** How a setup's colours change from print to print as its plates lie otherwise upon one another. */
export interface Steadiness {
  /** ΔE00 of a print to the mean of all, over what prints at all, and what 95 % of it keeps within. */
  readonly mean: number;
  readonly p95: number;
  /** Where it changes most, in words. */
  readonly where: string;
  /** The plates whose halftones meet there, the most unsteady first; two at least, unless nothing changes. */
  readonly plates: readonly string[];
}

/** Pixels that are looked at, spread over the picture. */
const LOOKED_AT = 1000;
/** ΔE00 from which a pixel is part of the place that is told. */
const SEEN = 1;

/** Looks at a setup's plates on one of its garments; undefined where it prints on nothing, or has too many stations. */
export function steadinessOf(print: Print, setupName: string): Steadiness | undefined {
  const { recipe, pixels } = print;
  const setup = recipe.setups.get(setupName)!;
  const garment = setup.garments[0];
  if (garment === undefined) return undefined;
  const stations = printStations(recipe, setup).filter(({ plate }) => print.plates.has(plate));
  const ready = preparePrint(printConditions(recipe, setup, garment), stations);
  if (!ready.table) return undefined;
  const toPrint = new PrintToPrint(ready, setup.yuleNielsen);
  const tones = stations.map(({ plate }) => print.plates.get(plate)!.tones);
  const inked = inkedPixels(tones, pixels);
  const all: number[] = [];
  const where = new Thirds(print.picture.width, print.picture.height);
  const weights = new Float64Array(stations.length);
  const known = new Map<string, readonly [mean: number, changes: readonly number[]]>();
  const areas = new Float64Array(stations.length);
  const looks = Math.min(LOOKED_AT, inked.length);
  for (let look = 0; look < looks; look++) {
    const i = inked[Math.floor(((look + 0.5) * inked.length) / looks)]!;
    for (const [s, plate] of tones.entries()) areas[s] = ready.areas[s]![plate[i]!]!;
    const key = areas.join(" ");
    let here = known.get(key);
    if (!here) {
      here = toPrint.meets(areas) ? [toPrint.look(areas), [...toPrint.changes]] : [0, STILL];
      known.set(key, here);
    }
    const [mean, changes] = here;
    all.push(...changes);
    if (mean >= SEEN / 2) where.add(i, mean);
    for (const [s, a] of areas.entries()) weights[s]! += mean * a * (1 - a);
  }
  if (all.length === 0) return undefined;
  all.sort((a, b) => a - b);
  const order = [...weights.keys()]
    .filter((s) => weights[s]! > 0)
    .sort((p, q) => weights[q]! - weights[p]! || p - q);
  return {
    mean: all.reduce((sum, change) => sum + change, 0) / all.length,
    p95: all[Math.ceil(0.95 * all.length) - 1]!,
    where: placeWords(where),
    plates: order.slice(0, 3).map((s) => stations[s]!.plate),
  };
}

/** Numbers of the pixels that have ink on any plate, rising. */
function inkedPixels(plates: readonly Tones[], pixels: number): Uint32Array {
  const found = new Uint32Array(pixels);
  const any = new Uint8Array(pixels);
  for (const tones of plates) for (let i = 0; i < pixels; i++) any[i]! |= tones[i]!;
  let count = 0;
  for (let i = 0; i < pixels; i++) if (any[i] !== 0) found[count++] = i;
  return found.subarray(0, count);
}

const STILL: readonly number[] = Array(PRINTS).fill(0);
