import { type ChildProcess, fork } from "node:child_process";
import type { LeftOver } from "../wire/panel.ts";
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

interface Asked {
  readonly message: WorkMessage;
  /** The process that works on it, and when that is given up. */
  child: ChildProcess;
  timer: NodeJS.Timeout;
  /** It was asked a second time, since another's work had the first process ended. */
  again: boolean;
  /** Nobody waits for it any more; the process may still be busy with it. */
  abandoned: boolean;
  resolve(result: unknown): void;
  reject(error: Error): void;
}

/** Work that took longer than it may. */
export class OverdueError extends Error {}

/** Work at print size may take so many times as long. */
const PRINT_SIZE = 10;

/** Has recipes measured and previewed in a process of its own, started at the first request and again after it died. */
export class Measurer {
  readonly #program: string;
  #child: ChildProcess | undefined;
  /** All that the processes have not answered. */
  readonly #asked = new Map<number, Asked>();
  /** How long one request may take, in seconds. */
  deadline = 30;
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

  /** Plates whose numbers would bring the proofs nearer, by how much; rejects as `measure` does. */
  nearer(work: MeasureRequest, signal: AbortSignal): Promise<ReadonlyMap<string, number>> {
    return this.#ask((id) => ({ kind: "nearer", id, work }), signal) as Promise<ReadonlyMap<string, number>>;
  }

  /** What keeps the prints from being nearer; rejects as `measure` does. */
  left(work: MeasureRequest, signal: AbortSignal): Promise<LeftOver> {
    return this.#ask((id) => ({ kind: "left", id, work }), signal) as Promise<LeftOver>;
  }

  #ask(message: (id: number) => WorkMessage, signal: AbortSignal): Promise<unknown> {
    const id = this.#next++;
    return new Promise((resolve, reject) => {
      signal.throwIfAborted();
      this.#send(id, { message: message(id), again: false, abandoned: false, resolve, reject });
      signal.addEventListener("abort", () => {
        const asked = this.#asked.get(id);
        if (!asked || asked.abandoned) return;
        asked.abandoned = true;
        asked.child.send({ kind: "cancel", id } satisfies WorkMessage, () => {});
        reject(new Error("cancelled"));
      });
    });
  }

  #send(id: number, asked: Omit<Asked, "child" | "timer">): void {
    const child = this.#running();
    const seconds = this.deadline * (asked.message.kind === "proof" ? PRINT_SIZE : 1);
    const timer = setTimeout(() => this.#overdue(id, seconds), seconds * 1000);
    timer.unref();
    this.#asked.set(id, { ...asked, child, timer });
    child.send(asked.message, () => {});
  }

  /** Ends the process that is stuck; what others asked of it is asked again of a new one, once. */
  #overdue(id: number, seconds: number): void {
    const { child, reject } = this.#asked.get(id)!;
    this.#asked.delete(id);
    if (this.#child === child) this.#child = undefined;
    const others = [...this.#asked].filter(([, asked]) => asked.child === child && !asked.again);
    for (const [other, asked] of others) {
      clearTimeout(asked.timer);
      this.#asked.delete(other);
    }
    child.kill("SIGKILL");
    reject(
      new OverdueError(
        `Reading this artwork takes longer than ${seconds} s; simplify it (filters take longest), or raise platewright.deadline in the user settings`,
      ),
    );
    for (const [other, asked] of others) if (!asked.abandoned) this.#send(other, { ...asked, again: true });
  }

  dispose(): void {
    this.#child?.kill("SIGKILL");
    for (const { timer } of this.#asked.values()) clearTimeout(timer);
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
      for (const [id, asked] of this.#asked) {
        if (asked.child !== child) continue;
        clearTimeout(asked.timer);
        this.#asked.delete(id);
        asked.reject(new Error("the process that reads artwork stopped; it starts again at the next change"));
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
    const asked = this.#asked.get(answer.id);
    this.#asked.delete(answer.id);
    clearTimeout(asked?.timer);
    if ("error" in answer) asked?.reject(new Error(answer.error));
    else asked?.resolve(answer.result);
  }
}
