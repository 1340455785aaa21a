import { readFileSync } from "node:fs";
import { deltaE00 } from "../../server/engine/colour/ciede2000.ts";
import { type Lab, labFromLinear, linearFromLab } from "../../server/engine/colour/cielab.ts";
import { bandsOfLinear, linearOfBands, mixingBands } from "../../server/engine/print/bands.ts";
import { areasFromWedge, printedTone } from "../../server/engine/print/gain.ts";
import { demichel, power, root } from "../../server/engine/print/halftone.ts";
import { parseCgats } from "../../server/language/readings/cgats.ts";
import { rowColour } from "../../server/language/readings/samples.ts";

/** Characterisations that Debian's package icc-profiles-free carries. */
export const FOLDER = "/usr/share/color/icc";

/** A patch of a press: film tones 0–1 of its inks, and its colour. */
export interface Patch {
  readonly tones: readonly number[];
  readonly colour: Lab;
}

const INKS = ["CMYK_C", "CMYK_M", "CMYK_Y", "CMYK_K"] as const;

/** The patches of a characterisation, tones in the order C, M, Y, K. */
export function pressPatches(name: string): Patch[] {
  const table = parseCgats(readFileSync(`${FOLDER}/${name}.ti3`, "utf8"));
  if (table.problems.length > 0) throw new Error(table.problems[0]!.message);
  const columns = INKS.map((ink) => table.fields.indexOf(ink));
  return table.rows.map((row) => {
    const colour = rowColour(table, row);
    if ("problem" in colour) throw new Error(colour.problem.message);
    return { tones: columns.map((at) => Number(row.values[at]!.text) / 100), colour: colour.value };
  });
}

/** A model of the press from its paper, solids, overprints (`primaries[mask]`) and single-ink ramps. */
export function modelOf(patches: readonly Patch[], primaries: readonly Lab[], n: number) {
  const bands = mixingBands(n);
  const toBands = bandsOfLinear(bands);
  const roots = primaries.map((colour) => toBands(linearFromLab(colour)).map((v) => root(v, n)));
  const gains = INKS.map((_, ink) => {
    const steps = ramp(patches, ink).map(({ tones, colour }) => ({ tone: tones[ink]!, colour }));
    return printedTone(areasFromWedge(steps, n));
  });
  const areas = new Float64Array(INKS.length);
  return (tones: readonly number[]): Lab => {
    for (let i = 0; i < areas.length; i++) areas[i] = gains[i]!(tones[i]!);
    const weights = demichel(areas);
    const [x, y, z] = [0, 1, 2].map((band) =>
      power(
        roots.reduce((sum, primary, mask) => sum + weights[mask]! * primary[band]!, 0),
        n,
      ),
    ) as [number, number, number];
    return labFromLinear(linearOfBands(bands, x, y, z));
  };
}

/** The paper and all patches of one ink alone, by rising tone; what stands twice, once. */
export function ramp(patches: readonly Patch[], ink: number): Patch[] {
  const alone = patches.filter(({ tones }) => tones.every((tone, i) => i === ink || tone === 0));
  const once = new Map(alone.map((patch) => [patch.tones[ink]!, patch]));
  return [...once.values()].sort((a, b) => a.tones[ink]! - b.tones[ink]!);
}

/** The measured solid of each set of inks, by the bits of its mask. */
export function measuredPrimaries(patches: readonly Patch[]): Lab[] {
  return Array.from({ length: 2 ** INKS.length }, (_, mask) => {
    const found = patches.find(({ tones }) => tones.every((tone, i) => tone === ((mask >> i) & 1)));
    if (!found) throw new Error(`the press printed no overprint ${mask}`);
    return found.colour;
  });
}

/** n from 1 to 3 in tenths under which the ramps fit best, in mean ΔE00: nothing but ramps is looked at. */
export function fittedN(patches: readonly Patch[], primaries: readonly Lab[]): number {
  const ramps = INKS.flatMap((_, ink) => ramp(patches, ink));
  const fits = Array.from({ length: 21 }, (_, i) => 1 + i / 10).map((n) => {
    const model = modelOf(patches, primaries, n);
    return { n, off: mean(ramps.map(({ tones, colour }) => difference(model(tones), colour))) };
  });
  return fits.reduce((best, fit) => (fit.off < best.off ? fit : best)).n;
}

export function difference(p: Lab, q: Lab): number {
  return deltaE00(p.L, p.a, p.b, q.L, q.a, q.b);
}

export function mean(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}

export function percentile(values: readonly number[], share: number): number {
  return [...values].sort((a, b) => a - b)[Math.floor(share * (values.length - 1))]!;
}
