import { screened } from "../engine/merge.ts";
import type { SeparationPlan } from "../engine/plan.ts";
import type { Picture, Tones } from "../engine/raster.ts";
import { type FinishedPlate, separate } from "../engine/separate.ts";
import { builtProgram, Crew } from "./crew.ts";
import { marginFor } from "./crop.ts";
import { type Pace, unhurried } from "./pace.ts";

/** Pixels of a strip without its margins: small beside a picture at print size, large beside the margins. */
const STRIP_PIXELS = 1 << 20;

/** Some rows of a picture, of which those from `first` up to `last` are wanted; the rest are margins. */
export interface StripOrder {
  readonly picture: Picture;
  readonly pixelsPerMm: number;
  readonly plan: SeparationPlan;
  readonly first: number;
  readonly last: number;
  /** Where the wanted rows of each plate that has a screen go: memory that all threads share. */
  readonly into: ReadonlyMap<string, Tones>;
}

/** Makes one strip. */
export function makeStrip(
  { picture, pixelsPerMm, plan, first, last, into }: StripOrder,
  progress: (done: number) => void = () => {},
): void {
  const { width } = picture;
  scratch.clear();
  for (const step of separate(picture, pixelsPerMm, plan, (length) => scratch.buffer(length))) {
    if (typeof step === "number") progress(step);
    else into.get(step.name)!.set(step.tones.subarray(first * width, last * width));
  }
}

/** Buffers that serve one strip after another: left to the collector, they would pile up before it comes by. */
class Scratch {
  readonly #buffers: Tones[] = [];
  #used = 0;

  clear(): void {
    this.#used = 0;
  }

  /** Of any content. */
  buffer(length: number): Tones {
    const at = this.#used++;
    const known = this.#buffers[at];
    if (known && known.length >= length) return known.subarray(0, length);
    const fresh = new Uint8Array(length);
    this.#buffers[at] = fresh;
    return fresh;
  }
}

const scratch = new Scratch();

/**
 * The plates of `separate`, byte for byte. A picture of several strips is worked on by as many threads as there are
 * cores, and its plates come in the plan's order once all strips are made; a smaller one is worked on here, and each
 * plate comes as soon as it is finished. `pace` hears the share done.
 */
export async function* separated(
  picture: Picture,
  pixelsPerMm: number,
  plan: SeparationPlan,
  pace: Pace = unhurried,
): AsyncGenerator<FinishedPlate, void> {
  const program = builtProgram("strip-worker.js");
  if (program === undefined || picture.width * picture.height < 2 * STRIP_PIXELS) {
    for (const step of separate(picture, pixelsPerMm, plan)) {
      if (typeof step === "number") await pace(step);
      else yield step;
    }
    return;
  }
  const crew = new Crew<StripOrder, void>(program, makeStrip);
  try {
    yield* separatedInStrips(picture, pixelsPerMm, plan, crew, STRIP_PIXELS, pace);
  } finally {
    await crew.close();
  }
}

/** The same by a crew, in strips of about `pixels`. A strip carries as many rows more as its stages look around. */
export async function* separatedInStrips(
  picture: Picture,
  pixelsPerMm: number,
  plan: SeparationPlan,
  crew: Crew<StripOrder, void>,
  pixels: number,
  pace: Pace = unhurried,
): AsyncGenerator<FinishedPlate, void> {
  const { width, height } = picture;
  const margin = marginFor(plan, pixelsPerMm);
  const rows = Math.max(1, Math.ceil(pixels / width));
  const count = Math.ceil(height / rows);
  const names = screened(
    plan.plates.map(({ name }) => name),
    plan.merges,
  );
  const whole = new Map(names.map((name) => [name, new Uint8Array(new SharedArrayBuffer(width * height))]));
  const shares = new Float64Array(count);
  let next = 0;
  let failed: { readonly error: unknown } | undefined;

  const makeOne = async (strip: number, held: Uint8Array) => {
    const [y0, y1] = [strip * rows, Math.min(height, (strip + 1) * rows)];
    const [above, below] = [Math.max(0, y0 - margin), Math.min(height, y1 + margin)];
    const data = held.subarray(0, (below - above) * width * 4);
    data.set(picture.data.subarray(above * width * 4, below * width * 4));
    const order: StripOrder = {
      picture: { width, height: below - above, data, origin: { x: 0, y: above } },
      pixelsPerMm,
      plan,
      first: y0 - above,
      last: y1 - above,
      into: new Map(names.map((name) => [name, whole.get(name)!.subarray(y0 * width, y1 * width)])),
    };
    const told = (done: number) => {
      shares[strip] = done;
    };
    await crew.make(order, told);
    shares[strip] = 1;
    await pace(shares.reduce((sum, share) => sum + share, 0) / count);
  };
  const hand = async () => {
    const held = new Uint8Array(new SharedArrayBuffer(Math.min(height, rows + 2 * margin) * width * 4));
    try {
      while (next < count && !failed) await makeOne(next++, held);
    } catch (error) {
      failed ??= { error };
    }
  };
  await Promise.all(Array.from({ length: Math.min(count, crew.places) }, hand));
  if (failed) throw failed.error;
  for (const name of names) {
    const tones = whole.get(name)!;
    // The receiver owns it now.
    whole.delete(name);
    yield { name, tones };
  }
}
