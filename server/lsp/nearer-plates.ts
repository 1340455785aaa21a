import { setTimeout } from "node:timers/promises";
import { measureRequest } from "./measure-scheduler.ts";
import type { Measurer } from "./measurer.ts";
import type { Workspace } from "./workspace.ts";

/** How long nothing must change after plates were measured. */
const IDLE_MS = 2000;

/**
 * Plates of open recipes whose numbers would bring the proofs nearer, as far as that is known. Looked at once a recipe was
 * measured and then stood for a while; until then what was seen last stays.
 */
export class NearerPlates {
  readonly #workspace: Workspace;
  readonly #measurer: Measurer;
  readonly #came: () => void;
  readonly #known = new Map<string, ReadonlyMap<string, number>>();
  readonly #running = new Map<string, AbortController>();

  /** `came` is called when there is another answer. */
  constructor(workspace: Workspace, measurer: Measurer, came: () => void) {
    this.#workspace = workspace;
    this.#measurer = measurer;
    this.#came = came;
  }

  /** Mean ΔE00, by plate. */
  of(uri: string): ReadonlyMap<string, number> {
    return this.#known.get(uri) ?? new Map();
  }

  measured(uri: string): void {
    this.changed(uri);
    const controller = new AbortController();
    this.#running.set(uri, controller);
    void this.#look(uri, controller);
  }

  changed(uri: string): void {
    this.#running.get(uri)?.abort();
    this.#running.delete(uri);
  }

  closed(uri: string): void {
    this.changed(uri);
    this.#known.delete(uri);
  }

  dispose(): void {
    for (const uri of [...this.#running.keys()]) this.changed(uri);
  }

  async #look(uri: string, { signal }: AbortController): Promise<void> {
    try {
      await setTimeout(IDLE_MS, undefined, { signal, ref: false });
      const asked = await measureRequest(this.#workspace, uri);
      if (!asked) return;
      const found = await this.#measurer.nearer(asked.request, signal);
      if (signal.aborted) return;
      const before = this.of(uri);
      this.#known.set(uri, found);
      if (found.size > 0 || before.size > 0) this.#came();
    } catch {
      // Given up, or no picture to look at, which the measurement tells.
    }
  }
}
