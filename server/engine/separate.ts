import { adjustPlate } from "./adjust/adjust.ts";
import { extractPlates } from "./extract/extract.ts";
import { knockOut } from "./knockout.ts";
import { limitTones } from "./limits.ts";
import { guestsOf, mergePlates } from "./merge.ts";
import type { KnockoutPlan, SeparationPlan } from "./plan.ts";
import type { Extent, Picture, Tones } from "./raster.ts";
import { findTones } from "./solve/found-tones.ts";
import { choke, spread } from "./trap/choke.ts";

/** A plate that has a screen, finished. */
export interface FinishedPlate {
  readonly name: string;
  /** width × height bytes; the receiver owns them. */
  readonly tones: Tones;
}

/** Extraction takes about this share of the whole work, and solving, where plates are solved, about this of it. */
const EXTRACTION_SHARE = 0.6;
const SOLVING_SHARE = 0.3;

/**
 * All plates of a separation, each as soon as it is finished; folded plates are left out. Those that need no
 * knockout and no trap come first, else in the plan's order: a host can write them while the others are worked on.
 * Between plates, and many times while extracting, it yields the share done, 0–1: a host may stop there, and
 * nothing needs to be undone. `pixelsPerMm` is the picture's resolution on the garment; `buffer` gives buffers of
 * any content.
 */
export function* separate(
  picture: Picture,
  pixelsPerMm: number,
  plan: SeparationPlan,
  buffer: (length: number) => Tones = (length) => new Uint8Array(length),
): Generator<number | FinishedPlate, void> {
  const { width, height } = picture;
  const merged = new Map<string, Tones>();
  for (const { name } of plan.plates) merged.set(name, buffer(width * height));
  const solving = findTones(plan);
  let step = solving.next();
  for (; !step.done; step = solving.next()) yield step.value * SOLVING_SHARE * EXTRACTION_SHARE;
  const found = step.value;
  const before = found ? SOLVING_SHARE : 0;
  for (const done of extractPlates(picture, plan.plates, [...merged.values()], found)) {
    yield (before + done * (1 - before)) * EXTRACTION_SHARE;
  }

  for (const adjustment of plan.adjustments) {
    adjustPlate(merged.get(adjustment.plate)!, picture, pixelsPerMm, adjustment);
  }
  for (const [host, guests] of guestsOf(plan.merges)) {
    mergePlates(
      merged.get(host)!,
      guests.map((name) => merged.get(name)!),
      merged.get(host)!,
    );
    for (const name of guests) merged.delete(name);
  }

  const holes = new Holes(merged, picture, pixelsPerMm, plan.knockouts, buffer);
  let finished = 0;
  const isLong = (name: string) => holes.in(name) || plan.traps.some(({ plate }) => plate === name);
  const names = [...merged.keys()].sort((a, b) => Number(isLong(a)) - Number(isLong(b)));
  for (const name of names) {
    const tones = finish(name);
    if (!holes.needs(name)) merged.delete(name);
    finished++;
    yield EXTRACTION_SHARE + (1 - EXTRACTION_SHARE) * (finished / names.length);
    yield { name, tones };
  }

  /** Stages 4 to 6 of one plate; its merged tones stay as they are where another plate still needs them. */
  function finish(name: string): Tones {
    let tones = merged.get(name)!;
    const kept = holes.needs(name);
    const where = holes.of(name);
    if (where.length > 0) {
      const out = kept ? buffer(tones.length) : tones;
      knockOut(tones, where, out);
      tones = out;
    }
    const trap = plan.traps.find(({ plate }) => plate === name);
    if (trap && trap.distance > 0) {
      const out = buffer(tones.length);
      (trap.way === "choke" ? choke : spread)(tones, width, height, trap.distance * pixelsPerMm, out);
      tones = out;
    }
    if (kept && tones === merged.get(name)) {
      const own = buffer(tones.length);
      own.set(tones);
      tones = own;
    }
    limitTones(tones, plan.smallestDot);
    return tones;
  }
}

/** What knocks out what, from plates as they stood after merging. */
class Holes {
  readonly #merged: ReadonlyMap<string, Tones>;
  readonly #extent: Extent;
  readonly #pixelsPerMm: number;
  readonly #knockouts: readonly KnockoutPlan[];
  readonly #buffer: (length: number) => Tones;

  constructor(
    merged: ReadonlyMap<string, Tones>,
    extent: Extent,
    pixelsPerMm: number,
    knockouts: readonly KnockoutPlan[],
    buffer: (length: number) => Tones,
  ) {
    this.#merged = merged;
    this.#extent = extent;
    this.#pixelsPerMm = pixelsPerMm;
    this.#buffer = buffer;
    this.#knockouts = knockouts;
  }

  /** Whether any plate is knocked out where `name` prints. */
  needs(name: string): boolean {
    return this.#knockouts.some(({ where }) => where === name);
  }

  /** Whether `name` is knocked out anywhere. */
  in(name: string): boolean {
    return this.#knockouts.some(({ from }) => from === name);
  }

  of(name: string): Tones[] {
    return this.#knockouts
      .filter(({ from }) => from === name)
      .map(({ where, choke: distance }) => {
        const tones = this.#merged.get(where)!;
        if (distance <= 0) return tones;
        const out = this.#buffer(tones.length);
        choke(tones, this.#extent.width, this.#extent.height, distance * this.#pixelsPerMm, out);
        return out;
      });
  }
}
