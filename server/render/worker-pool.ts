import { existsSync } from "node:fs";
import { availableParallelism } from "node:os";
import { Worker } from "node:worker_threads";

/** What a thread of a pool says while it works on an order. */
export type PoolMessage<Result> =
  | { readonly kind: "progress"; readonly done: number }
  | { readonly kind: "made"; readonly result: Result }
  | { readonly kind: "failed"; readonly message: string };

/** Work on one order; `progress` hears the share done, 0–1. */
export type Task<Order, Result> = (
  order: Order,
  progress: (done: number) => void,
) => Result | Promise<Result>;

interface Waiting {
  take(worker: Worker): void;
  giveUp(error: Error): void;
}

/**
 * Threads that all know one task: as many as the machine has cores, started when there is work for them. Without a
 * built program orders are worked on here, one after another, with the same result.
 */
export class WorkerPool<Order, Result> {
  readonly #program: URL | undefined;
  readonly #task: Task<Order, Result>;
  readonly #idle: Worker[] = [];
  readonly #all = new Set<Worker>();
  readonly #waiting: Waiting[] = [];
  readonly #most = Math.max(1, availableParallelism());
  #closed = false;

  /** `program` is the built file that has `servePool` (pool-worker.ts) do the same task. */
  constructor(program: URL | undefined, task: Task<Order, Result>) {
    this.#program = program;
    this.#task = task;
  }

  /** Orders that can be worked on at once. */
  get places(): number {
    return this.#program ? this.#most : 1;
  }

  /**
   * Works on an order; `progress` hears the share done. Rejects with what the task throws, or where its thread stops;
   * other orders are not touched by that.
   */
  async make(order: Order, progress: (done: number) => void = () => {}): Promise<Result> {
    if (!this.#program) return this.#task(order, progress);
    const worker = await this.#free(this.#program);
    let settle: (() => void) | undefined;
    try {
      return await new Promise<Result>((resolve, reject) => {
        const answered = (answer: PoolMessage<Result>) => {
          if (answer.kind === "progress") progress(answer.done);
          else if (answer.kind === "made") resolve(answer.result);
          else reject(new Error(answer.message));
        };
        const failed = (error: Error) => reject(new Error(`a thread at work stopped: ${error.message}`));
        const gone = () => reject(new Error("a thread at work stopped; close other programs and try again"));
        worker.on("message", answered).on("error", failed).on("exit", gone);
        settle = () => worker.off("message", answered).off("error", failed).off("exit", gone);
        worker.postMessage(order);
      });
    } finally {
      settle?.();
      this.#return(worker);
    }
  }

  /** Ends all work, also what is under way: that is rejected. */
  async close(): Promise<void> {
    this.#closed = true;
    for (const { giveUp } of this.#waiting.splice(0)) giveUp(new Error("the work was ended"));
    const workers = [...this.#all];
    this.#all.clear();
    this.#idle.length = 0;
    await Promise.all(workers.map((worker) => worker.terminate()));
  }

  #free(program: URL): Promise<Worker> | Worker {
    if (this.#closed) throw new Error("the work was ended");
    const idle = this.#idle.pop();
    if (idle) return idle;
    if (this.#all.size < this.#most) return this.#started(program);
    return new Promise((take, giveUp) => this.#waiting.push({ take, giveUp }));
  }

  #started(program: URL): Worker {
    const worker = new Worker(program);
    this.#all.add(worker);
    const gone = () => {
      this.#all.delete(worker);
      const at = this.#idle.indexOf(worker);
      if (at >= 0) this.#idle.splice(at, 1);
    };
    return worker.once("error", gone).once("exit", gone);
  }

  #return(worker: Worker): void {
    const alive = this.#all.has(worker);
    const next = this.#waiting.shift();
    if (next) next.take(alive ? worker : this.#started(this.#program!));
    else if (alive) this.#idle.push(worker);
  }
}

/** A program beside the built one that runs now; undefined where this runs from its sources. */
export function builtProgram(name: string): URL | undefined {
  const url = new URL(name, import.meta.url);
  return existsSync(url) ? url : undefined;
}
