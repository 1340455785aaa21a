import { deltaE00 } from "../../engine/colour/ciede2000.ts";
import { mergePlates } from "../../engine/merge.ts";
import { DifferenceMeter } from "../../engine/print/difference.ts";
import type { Print, PrintPlate } from "../../render/print.ts";
import { inkOf, platesIn } from "../job.ts";
import type { PixelRule } from "../rule.ts";
import { cm2, figure, percent } from "../words.ts";
import { yaml } from "../yaml.ts";

/** A plate with less coverage than this is hardly worth its screen. Common practice, no source. */
const LEAST_COVERAGE = 0.004;
/** Neighbours tried. */
const CANDIDATES = 3;

/** A plate that prints next to nothing can ride on a neighbour's screen. */
export const nearEmptyPlate: PixelRule = {
  id: "near-empty-plate",
  looksAt: "pixels",
  level: "warning",
  why: "A plate that prints next to nothing takes a screen, a station and a share of every setup.",
  source: "Common practice, no source; what folding costs is worked out with the print model.",
  example: {
    fails: yaml`
      # a picture with a few specks of pink in it
      plates:
        ember: { ink: ember, extract: { hue: [10, 60] } }
        rose: { ink: rose, extract: { hue: [340, 350] } }
    `,
    passes: yaml`
      # a picture with a few specks of pink in it
      plates:
        ember: { ink: ember, extract: { hue: [10, 60] } }
        rose: { ink: rose, extract: { hue: [340, 350] } }
      merges:
        - { fold: rose, into: ember }
    `,
  },
  *check(print) {
    for (const plate of print.plates.values()) {
      const coverage = coverageOf(plate, print.pixels);
      if (coverage >= LEAST_COVERAGE || !isPrinted(print, plate.name)) continue;
      const path = ["plates", plate.name];
      if (coverage === 0) {
        const message = print.recipe.plates.get(plate.name)!.given
          ? `${plate.name} prints nothing at all; its file holds no ink: is it the right page or channel, and the right end of its greys that is solid?`
          : `${plate.name} prints nothing at all; its range holds no colour of the artwork: widen it, or take the plate out`;
        yield { path, part: "key", message };
        continue;
      }
      // A highlight may be small: that is what it is for.
      if (print.recipe.plates.get(plate.name)!.purpose === "highlight") continue;
      // Squares are their own plate's.
      const isIndexed = print.recipe.plates.get(plate.name)!.extract.index !== undefined;
      const best = isIndexed ? undefined : cheapestFold(print, plate);
      const area = cm2(print.areaCm2(coverage * print.pixels));
      const advice = best
        ? `fold it into ${best.into}, which costs ${figure(Math.max(0, best.cost))} ΔE00 where it prints`
        : "take it out, or widen its range";
      yield {
        path,
        part: "key",
        message: `${plate.name} prints ${area} of ink, ${percent(coverage)} of the print, and takes a screen for it; ${advice}`,
        ...(best ? { data: { fold: { plate: plate.name, into: best.into } } } : {}),
      };
    }
  },
};

function coverageOf({ histogram }: PrintPlate, pixels: number): number {
  let sum = 0;
  for (let tone = 1; tone < 256; tone++) sum += tone * histogram[tone]!;
  return sum / (255 * pixels);
}

function isPrinted({ recipe }: Print, name: string): boolean {
  return [...recipe.setups.values()].some((setup) =>
    platesIn(recipe, setup).some(([, plate]) => plate.name === name),
  );
}

/** The neighbour into which folding the plate moves the proof least away from the artwork, by mean ΔE00 where it prints. */
function cheapestFold(print: Print, plate: PrintPlate): { into: string; cost: number } | undefined {
  const { recipe } = print;
  const found = [...recipe.setups].find(([, setup]) =>
    platesIn(recipe, setup).some(([, { name }]) => name === plate.name),
  );
  if (!found) return undefined;
  const [setupName, setup] = found;
  const garment = setup.garments[0]!;
  const ink = inkOf(recipe, recipe.plates.get(plate.name)!).colour.lab;
  const nearest = platesIn(recipe, setup)
    .map(([, other]) => other)
    .filter(({ name, purpose }) => name !== plate.name && purpose !== "underbase")
    .map((other) => {
      const { L, a, b } = inkOf(recipe, other).colour.lab;
      return { name: other.name, distance: deltaE00(L, a, b, ink.L, ink.a, ink.b) };
    })
    .sort((a, b) => a.distance - b.distance)
    .slice(0, CANDIDATES);
  const before = differenceWhere(print, garment, plate, print.proof(garment, setupName));
  const costs = nearest.map(({ name }) => {
    const tones = print.tones();
    const host = tones.get(name)!;
    const merged = new Uint8Array(host.length);
    mergePlates(host, [plate.tones], merged);
    tones.set(name, merged).set(plate.name, new Uint8Array(host.length));
    const after = differenceWhere(print, garment, plate, print.proofWith(garment, setup, tones));
    return { into: name, cost: after - before };
  });
  return costs.sort((a, b) => a.cost - b.cost)[0];
}

/** Mean ΔE00 of a proof over the pixels that a plate prints. */
function differenceWhere(print: Print, garment: string, { tones }: PrintPlate, proof: Uint8Array): number {
  const meter = new DifferenceMeter(print.recipe.garments.get(garment)!.colour.lab);
  for (let start = 0; start < tones.length; ) {
    if (tones[start] === 0) {
      start++;
      continue;
    }
    let end = start;
    while (end < tones.length && tones[end] !== 0) end++;
    meter.add(print.picture, start, end, proof.subarray(start * 3, end * 3));
    start = end;
  }
  return meter.result().mean;
}
