import { ColourTable } from "./extract/colour-table.ts";
import type { SolvedTones } from "./extract/solved-tones.ts";
import type { SeparationPlan } from "./plan.ts";
import type { Tones } from "./raster.ts";
import { Scratch } from "./scratch.ts";
import { solveKey, solveTones } from "./solve/solved-tones.ts";

/**
 * Memory that serves one separation after another: a picture made in many strips would otherwise leave as many buffers
 * to the collector, which comes by too late, and solve its plates as many times. Of one thread, for one separation at
 * a time; what it lent before `clear` is lent again.
 */
export class Workspace {
  readonly scratch = new Scratch();
  readonly #buffers: Tones[] = [];
  #lent = 0;
  #table: ColourTable | undefined;
  #solved: { readonly key: string; readonly tones: SolvedTones | undefined } | undefined;

  clear(): void {
    this.#lent = 0;
  }

  /** Bytes of any content. */
  buffer(length: number): Tones {
    const at = this.#lent++;
    const known = this.#buffers[at];
    if (known && known.length >= length) return known.subarray(0, length);
    const fresh = new Uint8Array(length);
    this.#buffers[at] = fresh;
    return fresh;
  }

  /** An empty table of colours with a value for each of so many plates. */
  table(plates: number): ColourTable {
    if (this.#table?.values.length !== plates) this.#table = new ColourTable(plates);
    else this.#table.clear();
    return this.#table;
  }

  /** Tones of the plan's solved and matched plates; undefined where it has none. Yields the share done. */
  *solve(plan: SeparationPlan): Generator<number, SolvedTones | undefined> {
    const key = solveKey(plan);
    if (key === undefined) return undefined;
    if (this.#solved?.key !== key) this.#solved = { key, tones: yield* solveTones(plan) };
    return this.#solved.tones;
  }
}
