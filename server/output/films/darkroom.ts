import { availableParallelism } from "node:os";
import { Worker } from "node:worker_threads";
import { OutputError } from "../staging.ts";
import { type FilmData, type FilmOrder, makeFilm } from "./film.ts";
import type { WorkerAnswer } from "./film-worker.ts";

/** Makes films: on threads where a built worker is given, else here. */
export class Darkroom {
  readonly #program: URL | undefined;
  readonly #idle: Worker[] = [];
  readonly #all = new Set<Worker>();
  readonly #waiting: ((worker: Worker) => void)[] = [];
  readonly #most = Math.max(1, availableParallelism());

  /** `program` is the built film-worker. */
  constructor(program: URL | undefined) {
    this.#program = program;
  }

  /** Films that can be worked on at once. */
  get places(): number {
    return this.#program ? this.#most : 1;
  }

  /** Makes a film; `progress` hears the share done. The order's tones may be moved to another thread. */
  async make(order: FilmOrder, progress: (done: number) => void): Promise<FilmData> {
    if (!this.#program) return makeFilm(order, progress);
    const worker = await this.#free(this.#program);
    let settle: (() => void) | undefined;
    let stopped = false;
    try {
      return await new Promise<FilmData>((resolve, reject) => {
        const answered = (answer: WorkerAnswer) => {
          if (answer.kind === "progress") progress(answer.done);
          else if (answer.kind === "made") resolve(answer.film);
          else reject(new Error(answer.message));
        };
        const gone = (fault?: unknown) => {
          stopped = true;
          const why = fault instanceof Error ? ` (${fault.message})` : "";
          reject(
            new OutputError(`the thread that makes films stopped${why}; nothing was changed, try again`),
          );
        };
        worker.on("message", answered).on("error", gone).on("exit", gone);
        settle = () => worker.off("message", answered).off("error", gone).off("exit", gone);
        worker.postMessage(order);
      });
    } finally {
      settle?.();
      if (stopped) this.#lose(worker);
      else this.#return(worker);
    }
  }

  /** Ends all work. */
  async close(): Promise<void> {
    const workers = [...this.#all];
    this.#all.clear();
    this.#idle.length = 0;
    await Promise.all(workers.map((worker) => worker.terminate()));
  }

  #free(program: URL): Promise<Worker> | Worker {
    const idle = this.#idle.pop();
    if (idle) return idle;
    if (this.#all.size < this.#most) return this.#start(program);
    return new Promise((resolve) => this.#waiting.push(resolve));
  }

  #start(program: URL): Worker {
    const worker = new Worker(program);
    // One that stops while it has nothing to do is not waited for by anybody.
    worker.on("error", () => {}).once("exit", () => this.#lose(worker));
    this.#all.add(worker);
    return worker;
  }

  /** A thread that stopped takes no more orders; whoever waits gets another. */
  #lose(worker: Worker): void {
    if (!this.#all.delete(worker)) return;
    const idle = this.#idle.indexOf(worker);
    if (idle >= 0) this.#idle.splice(idle, 1);
    const next = this.#waiting.shift();
    if (next && this.#program) next(this.#start(this.#program));
  }

  #return(worker: Worker): void {
    if (!this.#all.has(worker)) return;
    const next = this.#waiting.shift();
    if (next) next(worker);
    else this.#idle.push(worker);
  }
}
