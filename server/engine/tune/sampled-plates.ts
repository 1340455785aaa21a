import { curveTable } from "../adjust/curve.ts";
import { RegionMask } from "../adjust/region.ts";
import { toneProgram } from "../extract/extract.ts";
import { COLOURS_AT_ONCE } from "../extract/membership.ts";
import { RgbaOfWord } from "../extract/rgba-of-word.ts";
import type { SolvedTones } from "../extract/solved-tones.ts";
import { deepTable, knockOut } from "../knockout.ts";
import { mergePlates, sourcesOf } from "../merge.ts";
import { limitTable } from "../press/smallest-dot.ts";
import type { Extent, Tones } from "../raster.ts";
import type { PlateMaking, TuneJob } from "./job.ts";
import type { Sample } from "./sample.ts";

/** Plates with one of them made otherwise: those that it changes. */
export interface ChangedPlates {
  readonly plate: number;
  readonly own: Tones;
  /** The plate that it prints with, itself or what it is folded into. */
  readonly screen: number;
  readonly merged: Tones;
  /** By number, as they go to film. */
  readonly final: ReadonlyMap<number, Tones>;
}

/**
 * A job's plates at sampled pixels: stages 1 to 4 and 6 as far as they look at a pixel alone. Edges are neither moved nor
 * shared, knockouts have no choke, and thin parts stay.
 */
export class SampledPlates {
  /** By number, as they go to film. */
  readonly final: readonly Tones[];
  /** `screenOf[plate]`: the plate that it prints with. */
  readonly screenOf: readonly number[];
  readonly #job: TuneJob;
  readonly #sample: Sample;
  /** Weights of each plate's regions at each pixel. */
  readonly #regions: readonly (readonly (Float32Array | undefined)[])[];
  readonly #sources: readonly (readonly number[])[];
  /** Plates that are knocked out of each, and how much their tones take out. */
  readonly #holes: readonly (readonly { readonly plate: number; readonly deep: Uint8Array }[])[];
  readonly #limits: Uint8Array;
  readonly #solved: { readonly tones: readonly Tones[]; readonly by: SolvedTones } | undefined;
  readonly #own: Tones[];
  readonly #merged: Tones[];
  readonly #final: Tones[];

  /** `extent` is the picture's that the sample is of; `solved` are the tones of plates that are not made by hand. */
  constructor(
    job: TuneJob,
    sample: Sample,
    extent: Extent,
    pixelsPerMm: number,
    values: ArrayLike<number>,
    solved?: SolvedTones,
  ) {
    this.#job = job;
    this.#sample = sample;
    this.#solved = solved && { tones: solvedAt(sample, job.plan.plates.length, solved), by: solved };
    const { plates, merges, knockouts, smallestDot } = job.plan;
    const names = plates.map(({ name }) => name);
    const sources = sourcesOf(merges);
    this.#sources = names.map((name) => (sources.get(name) ?? []).map((source) => names.indexOf(source)));
    this.screenOf = names.map((_, p) => {
      const into = this.#sources.findIndex((folded) => folded.includes(p));
      return into < 0 ? p : into;
    });
    this.#holes = names.map((name) =>
      knockouts
        .filter(({ from }) => from === name)
        .map(({ where, above = 0 }) => ({ plate: names.indexOf(where), deep: deepTable(above) })),
    );
    this.#limits = limitTable(smallestDot);
    const makings = names.map((_, p) => job.plateAt(p, values));
    this.#regions = makings.map(({ curves }) =>
      curves.map(({ region }) => {
        if (!region) return undefined;
        const mask = new RegionMask(region, extent, pixelsPerMm);
        return Float32Array.from(sample.x, (x, i) => mask.weight(x, sample.y[i]!));
      }),
    );
    this.#own = makings.map((making, p) => this.#ownTones(p, making));
    this.#merged = names.map((_, p) => this.#mergedTones(p, this.#own));
    this.#final = names.map((_, p) => this.#finalTones(p, this.#merged));
    this.final = this.#final;
  }

  /** What becomes of the plates where one is made otherwise. */
  changed(plate: number, making: PlateMaking): ChangedPlates {
    const own = this.#ownTones(plate, making);
    const screen = this.screenOf[plate]!;
    const merged = this.#mergedTones(screen, this.#own.with(plate, own));
    const all = this.#merged.with(screen, merged);
    const touched = [
      screen,
      ...this.#holes.flatMap((holes, p) => (holes.some(({ plate }) => plate === screen) ? [p] : [])),
    ];
    return { plate, own, screen, merged, final: new Map(touched.map((p) => [p, this.#finalTones(p, all)])) };
  }

  keep({ plate, own, screen, merged, final }: ChangedPlates): void {
    this.#own[plate] = own;
    this.#merged[screen] = merged;
    for (const [p, tones] of final) this.#final[p] = tones;
  }

  #ownTones(p: number, { extract, strength, curves }: PlateMaking): Tones {
    const { count, colours, alphas } = this.#sample;
    const tones = new Uint8Array(count);
    if (this.#solved?.by.solves(p)) tones.set(this.#solved.tones[p]!);
    else {
      const { name } = this.#job.plan.plates[p]!;
      const write = toneProgram({ name, extract, strength });
      for (let first = 0; first < count; first += COLOURS_AT_ONCE)
        write(colours, alphas, first, Math.min(COLOURS_AT_ONCE, count - first), tones, first);
    }
    for (const [k, { curve }] of curves.entries()) {
      const table = curveTable(curve);
      const weights = this.#regions?.[p]?.[k];
      for (let i = 0; i < count; i++) {
        const tone = tones[i]!;
        tones[i] = weights ? Math.round(tone + weights[i]! * (table[tone]! - tone)) : table[tone]!;
      }
    }
    return tones;
  }

  #mergedTones(p: number, own: readonly Tones[]): Tones {
    const folded = this.#sources[p]!;
    if (folded.length === 0) return own[p]!;
    const out = new Uint8Array(this.#sample.count);
    mergePlates(
      own[p]!,
      folded.map((q) => own[q]!),
      out,
    );
    return out;
  }

  #finalTones(p: number, merged: readonly Tones[]): Tones {
    const out = merged[p]!.slice();
    const holes = this.#holes[p]!;
    if (holes.length > 0)
      knockOut(
        out,
        holes.map(({ plate, deep }) => merged[plate]!.map((tone) => deep[tone]!)),
        out,
      );
    for (let i = 0; i < out.length; i++) out[i] = this.#limits[out[i]!]!;
    return out;
  }
}

/** Tones of all plates that are solved or matched, by number; the others stay empty. */
function solvedAt({ words, count }: Sample, plates: number, solved: SolvedTones): Tones[] {
  const all = Array.from({ length: plates }, () => new Uint8Array(count));
  const tones = new Float64Array(plates);
  const rgba = new RgbaOfWord();
  for (let i = 0; i < count; i++) {
    const [r, g, b, alpha] = rgba.of(words[i]!) as unknown as [number, number, number, number];
    solved.write(r, g, b, alpha, tones);
    for (let p = 0; p < plates; p++) if (solved.solves(p)) all[p]![i] = Math.round(255 * tones[p]!);
  }
  return all;
}
