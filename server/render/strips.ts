import { type LostRuns, runsWithin } from "../engine/lost-parts.ts";
import type { SeparationPlan } from "../engine/plan.ts";
import type { Areas, Picture, Tones } from "../engine/raster.ts";
import { type FinishedPlate, separate } from "../engine/separate.ts";
import type { StageNode } from "../engine/stages/stage.ts";
import { marginFor, type StageName, stagesOf } from "../engine/stages/stages.ts";
import { Workspace } from "../engine/workspace.ts";
import { ignoreProgress, type OnProgress } from "./progress.ts";
import { builtProgram, WorkerPool } from "./worker-pool.ts";

/** Pixels of a strip without its margins: small beside a picture at print size, large beside the margins. */
const STRIP_PIXELS = 1 << 20;

/** Some rows of a picture, of which those from `first` up to `last` are wanted; the rest are margins. */
export interface StripRequest {
  readonly picture: Picture;
  readonly pixelsPerMm: number;
  readonly plan: SeparationPlan;
  readonly first: number;
  readonly last: number;
  /** Where the wanted rows of each plate that has a screen go, after each stage: memory that all threads share. */
  readonly into: ReadonlyMap<string, ReadonlyMap<StageName, Tones>>;
}

/** What limits took off each plate or filled in the rows that are wanted; the first of them is 0. */
export type StripLost = ReadonlyMap<string, LostRuns>;

/** Makes strips, one after another in the same memory. */
export function stripMaker(): (order: StripRequest, progress?: (done: number) => void) => StripLost {
  const workspace = new Workspace();
  return ({ picture, pixelsPerMm, plan, first, last, into }, progress) => {
    const { width } = picture;
    const after = [...new Set([...into.values()].flatMap((views) => [...views.keys()]))];
    const lost = new Map<string, LostRuns>();
    workspace.clear();
    for (const step of separate(picture, pixelsPerMm, plan, { after, workspace })) {
      if (typeof step === "number") {
        progress?.(step);
        continue;
      }
      for (const [stage, out] of into.get(step.name)!)
        out.set(step.after.get(stage)!.subarray(first * width, last * width));
      if (!step.lost) continue;
      const within = (runs: LostRuns["lines"]) => runsWithin(runs, first, last, 0);
      lost.set(step.name, { lines: within(step.lost.lines), gaps: within(step.lost.gaps) });
    }
    return lost;
  };
}

export interface SeparatedOptions {
  /** Stages after which plates are wanted, besides finished. */
  readonly after?: readonly StageName[];
  /** Hears the share done. */
  readonly onProgress?: OnProgress;
}

/**
 * The plates of `separate`, byte for byte. A picture of several strips is worked on by as many threads as there are
 * cores, and its plates come in the plan's order once all strips are made; a smaller one is worked on here, and each
 * plate comes as soon as it is finished.
 */
export async function* separated(
  picture: Picture,
  pixelsPerMm: number,
  plan: SeparationPlan,
  { after = [], onProgress = ignoreProgress }: SeparatedOptions = {},
): AsyncGenerator<FinishedPlate, void> {
  const program = builtProgram("strip-worker.js");
  if (program === undefined || picture.width * picture.height < 2 * STRIP_PIXELS) {
    for (const step of separate(picture, pixelsPerMm, plan, { after })) {
      if (typeof step === "number") await onProgress(step);
      else yield step;
    }
    return;
  }
  const pool = new WorkerPool<StripRequest, StripLost>(program, stripMaker());
  try {
    yield* separatedInStrips(picture, pixelsPerMm, plan, pool, STRIP_PIXELS, { after, onProgress });
  } finally {
    await pool.close();
  }
}

/** The same by a pool, in strips of about `pixels`. A strip carries as many rows more as its stages look around. */
export async function* separatedInStrips(
  picture: Picture,
  pixelsPerMm: number,
  plan: SeparationPlan,
  pool: WorkerPool<StripRequest, StripLost>,
  pixels: number,
  { after = [], onProgress = ignoreProgress }: SeparatedOptions = {},
): AsyncGenerator<FinishedPlate, void> {
  const { width, height } = picture;
  const margin = marginFor(plan, pixelsPerMm, picture);
  const rows = Math.max(1, Math.ceil(pixels / width));
  const count = Math.ceil(height / rows);
  const stages = stagesOf(plan);
  const names = [...stages.limits.keys()];
  const views = [...after, "limits"] as const;
  const whole = new Map(names.map((name) => [name, sharedTones(name)]));
  const shares = new Float64Array(count);
  const lost = new Array<StripLost>(count);
  let next = 0;
  let failed: { readonly error: unknown } | undefined;

  const makeOne = async (strip: number, held: Uint8Array) => {
    const [y0, y1] = [strip * rows, Math.min(height, (strip + 1) * rows)];
    const [above, below] = [Math.max(0, y0 - margin), Math.min(height, y1 + margin)];
    const data = held.subarray(0, (below - above) * width * 4);
    data.set(picture.data.subarray(above * width * 4, below * width * 4));
    const order: StripRequest = {
      picture: {
        ...picture,
        width,
        height: below - above,
        data,
        origin: { x: 0, y: above },
        ...(picture.areas ? { areas: rowsOfAreas(picture.areas, above * width, below * width) } : {}),
        ...(picture.given ? { given: rowsOfGiven(picture.given, above * width, below * width) } : {}),
        ...(picture.squares ? { squares: picture.squares.slice(above * width, below * width) } : {}),
      },
      pixelsPerMm,
      plan,
      first: y0 - above,
      last: y1 - above,
      into: new Map([...whole].map(([name, made]) => [name, rowsOf(made, y0, y1)])),
    };
    const told = (done: number) => {
      shares[strip] = done;
    };
    lost[strip] = await pool.make(order, told);
    shares[strip] = 1;
    await onProgress(shares.reduce((sum, share) => sum + share, 0) / count);
  };
  const hand = async () => {
    const held = new Uint8Array(new SharedArrayBuffer(Math.min(height, rows + 2 * margin) * width * 4));
    try {
      while (next < count && !failed) await makeOne(next++, held);
    } catch (error) {
      failed ??= { error };
    }
  };
  await Promise.all(Array.from({ length: Math.min(count, pool.places) }, hand));
  if (failed) throw failed.error;
  for (const name of names) {
    const made = whole.get(name)!;
    // The receiver owns it now.
    whole.delete(name);
    yield { name, tones: made.get("limits")!, after: made, lost: lostOf(name) };
  }

  /** Of all strips. */
  function lostOf(name: string): LostRuns | undefined {
    if (!lost[0]?.has(name)) return undefined;
    const all = (of: (runs: LostRuns) => LostRuns["lines"]) =>
      lost.flatMap((strip, i) => runsWithin(of(strip.get(name)!), 0, rows, i * rows));
    return { lines: all(({ lines }) => lines), gaps: all(({ gaps }) => gaps) };
  }

  /** A copy, since a thread gets all of the memory that a part of it lies in. */
  function rowsOfAreas({ colours, first, second, share }: Areas, from: number, to: number): Areas {
    return {
      colours,
      first: first.slice(from, to),
      second: second.slice(from, to),
      share: share.slice(from, to),
    };
  }

  function rowsOfGiven(
    given: ReadonlyMap<string, Tones>,
    from: number,
    to: number,
  ): ReadonlyMap<string, Tones> {
    return new Map([...given].map(([name, tones]) => [name, tones.slice(from, to)]));
  }

  /** Memory for a plate after each stage that is wanted, one for all that leave it as it was. */
  function sharedTones(name: string): Map<StageName, Tones> {
    const made = new Map<StageNode, Tones>();
    return new Map(
      views.map((stage) => {
        const node = stages[stage].get(name)!;
        const tones = made.get(node) ?? new Uint8Array(new SharedArrayBuffer(width * height));
        made.set(node, tones);
        return [stage, tones];
      }),
    );
  }

  /** Each memory once. */
  function rowsOf(made: ReadonlyMap<StageName, Tones>, y0: number, y1: number): Map<StageName, Tones> {
    const stageOf = new Map([...made].map(([stage, tones]) => [tones, stage]));
    return new Map([...stageOf].map(([tones, stage]) => [stage, tones.subarray(y0 * width, y1 * width)]));
  }
}
