import { type ChildProcess, fork } from "node:child_process";
import type { Preview } from "../wire/preview.ts";
import { LatestPreviews } from "./latest-previews.ts";
import type {
  Measured,
  MeasureRequest,
  PreviewWork,
  ProofWork,
  WorkMessage,
  WorkResult,
} from "./work-messages.ts";

interface Waiting {
  /** The process that was asked. */
  readonly child: ChildProcess;
  resolve(result: unknown): void;
  reject(error: Error): void;
}

/** Has recipes measured and previewed in a process of its own, started at the first request and again after it died. */
export class Measurer {
  readonly #program: string;
  #child: ChildProcess | undefined;
  readonly #waiting = new Map<number, Waiting>();
  readonly #previews = new LatestPreviews();
  #next = 1;

  /** `program` is the path of the built measure-process. */
  constructor(program: string) {
    this.#program = program;
  }

  /** The process that works now, if one does. */
  get pid(): number | undefined {
    return this.#child?.pid;
  }

  /** Rejects with one line where the artwork cannot be read, the process died, or the signal came. */
  measure(work: MeasureRequest, signal: AbortSignal): Promise<Measured> {
    return this.#ask((id) => ({ kind: "measure", id, work }), signal) as Promise<Measured>;
  }

  /** Rejects as `measure` does. */
  preview(work: PreviewWork, signal: AbortSignal): Promise<Preview<Uint8Array>> {
    const ask = () =>
      this.#ask((id) => ({ kind: "preview", id, work }), signal) as Promise<Preview<Uint8Array>>;
    return this.#previews.of(work, ask);
  }

  /** A PNG; rejects as `measure` does. */
  proof(work: ProofWork, signal: AbortSignal): Promise<Uint8Array> {
    return this.#ask((id) => ({ kind: "proof", id, work }), signal) as Promise<Uint8Array>;
  }

  #ask(message: (id: number) => WorkMessage, signal: AbortSignal): Promise<unknown> {
    const id = this.#next++;
    return new Promise((resolve, reject) => {
      signal.throwIfAborted();
      const child = this.#running();
      this.#waiting.set(id, { child, resolve, reject });
      signal.addEventListener("abort", () => {
        if (!this.#waiting.delete(id)) return;
        child.send({ kind: "cancel", id } satisfies WorkMessage, () => {});
        reject(new Error("cancelled"));
      });
      child.send(message(id), () => {});
    });
  }

  dispose(): void {
    this.#child?.kill();
    this.#child = undefined;
  }

  #running(): ChildProcess {
    if (this.#child?.connected) return this.#child;
    const child = fork(this.#program, {
      stdio: ["ignore", "ignore", "ignore", "ipc"],
      serialization: "advanced",
    });
    this.#child = child;
    child.on("message", (answer: WorkResult) => this.#settle(answer));
    const gone = () => {
      if (this.#child === child) this.#child = undefined;
      // Another may work already on what was asked since.
      for (const [id, waiting] of this.#waiting) {
        if (waiting.child !== child) continue;
        this.#waiting.delete(id);
        waiting.reject(
          new Error("the process that reads artwork stopped; it starts again at the next change"),
        );
      }
    };
    child.once("exit", gone);
    child.once("error", gone);
    // The server may end while a measurement runs.
    child.unref();
    child.channel?.unref();
    return child;
  }

  #settle(answer: WorkResult): void {
    const waiting = this.#waiting.get(answer.id);
    this.#waiting.delete(answer.id);
    if ("error" in answer) waiting?.reject(new Error(answer.error));
    else waiting?.resolve(answer.result);
  }
}
