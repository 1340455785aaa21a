/** Tries its share of the documents, in a process that may hang or die of one. Speaks over Node's message channel. */
import { type FuzzCase, fuzzCase } from "./mutations.ts";
import { shrunk } from "./shrink.ts";
import { Trial } from "./trial.ts";

/** The documents `from`, `from + step`, … below `to`. */
export interface TrialShare {
  readonly seed: number;
  readonly from: number;
  readonly step: number;
  readonly to: number;
}

export type FromTrial =
  | { readonly kind: "at"; readonly index: number }
  | { readonly kind: "fault"; readonly index: number; readonly fault: string; readonly text: string }
  | {
      readonly kind: "end";
      readonly slowestMs: number;
      /** Used after a tenth of the share, and at its end, each after collecting. */
      readonly heapEarlyMb: number;
      readonly heapLateMb: number;
    };

const LONGEST_MS = 1000;

const tell = (message: FromTrial) => process.send?.(message);

process.on("message", async ({ seed, from, step, to }: TrialShare) => {
  const trial = new Trial();
  // Compiles the schemas.
  await trial.faultOf(fuzzCase(seed, from));
  let slowestMs = 0;
  let heapEarlyMb = 0;
  for (let index = from; index < to; index += step) {
    tell({ kind: "at", index });
    const tried = fuzzCase(seed, index);
    const { fault, ms } = await timed(trial, tried);
    slowestMs = Math.max(slowestMs, ms);
    const first = fault?.split("\n")[0];
    if (fault)
      tell({
        kind: "fault",
        index,
        fault,
        text: await shrunk(tried.text, (text) => failsAlike({ ...tried, text }, first)),
      });
    if (heapEarlyMb === 0 && index - from >= (to - from) / 10) heapEarlyMb = heapMb();
  }
  tell({ kind: "end", slowestMs, heapEarlyMb, heapLateMb: heapMb() });
});

/** A document that took too long is tried thrice: the machine may have had other things to do. */
async function timed(trial: Trial, tried: FuzzCase): Promise<{ fault: string | undefined; ms: number }> {
  let shortest = Number.POSITIVE_INFINITY;
  for (let tries = 0; tries < 3 && shortest > LONGEST_MS; tries++) {
    const began = performance.now();
    const fault = await trial.faultOf(tried);
    shortest = Math.min(shortest, performance.now() - began);
    if (fault) return { fault, ms: shortest };
  }
  const fault = shortest > LONGEST_MS ? `took ${shortest.toFixed(0)} ms` : undefined;
  return { fault, ms: shortest };
}

/** A text that takes too long is not shrunk: its time changes with every piece. */
async function failsAlike(tried: FuzzCase, first: string | undefined): Promise<boolean> {
  return (await new Trial().faultOf(tried))?.split("\n")[0] === first;
}

function heapMb(): number {
  globalThis.gc?.();
  return process.memoryUsage().heapUsed / 1e6;
}
