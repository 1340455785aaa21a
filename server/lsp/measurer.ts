import { type ChildProcess, fork } from "node:child_process";
import type { ReadingFiles } from "../language/readings/reading-files.ts";
import type { Measurements, PlateMeasurement } from "../render/measurements.ts";

export type MeasureMessage =
  | {
      readonly kind: "measure";
      readonly id: number;
      readonly recipe: string;
      readonly shop: string | undefined;
      readonly readings?: ReadingFiles | undefined;
      readonly artworkFile: string;
    }
  | { readonly kind: "cancel"; readonly id: number };

export type MeasureAnswer =
  | {
      readonly id: number;
      readonly artworkPpi: number | undefined;
      readonly plates: readonly (readonly [string, PlateMeasurement])[];
    }
  | { readonly id: number; readonly error: string };

export interface MeasureRequest {
  readonly recipe: string;
  readonly shop: string | undefined;
  readonly readings?: ReadingFiles | undefined;
  readonly artworkFile: string;
}

interface Waiting {
  resolve(measurements: Measurements): void;
  reject(error: Error): void;
}

/** Has recipes measured in a process of its own, started at the first request and again after it died. */
export class Measurer {
  readonly #program: string;
  #child: ChildProcess | undefined;
  readonly #waiting = new Map<number, Waiting>();
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
  measure(request: MeasureRequest, signal: AbortSignal): Promise<Measurements> {
    const id = this.#next++;
    return new Promise((resolve, reject) => {
      const child = this.#running();
      this.#waiting.set(id, { resolve, reject });
      signal.addEventListener("abort", () => {
        if (!this.#waiting.delete(id)) return;
        child.send({ kind: "cancel", id } satisfies MeasureMessage, () => {});
        reject(new Error("cancelled"));
      });
      child.send({ kind: "measure", id, ...request } satisfies MeasureMessage, () => {});
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
    child.on("message", (answer: MeasureAnswer) => this.#settle(answer));
    const gone = () => {
      if (this.#child === child) this.#child = undefined;
      for (const { reject } of this.#waiting.values())
        reject(new Error("the process that reads artwork stopped"));
      this.#waiting.clear();
    };
    child.once("exit", gone);
    child.once("error", gone);
    // The server may end while a measurement runs.
    child.unref();
    child.channel?.unref();
    return child;
  }

  #settle(answer: MeasureAnswer): void {
    const waiting = this.#waiting.get(answer.id);
    this.#waiting.delete(answer.id);
    if ("error" in answer) waiting?.reject(new Error(answer.error));
    else waiting?.resolve({ artworkPpi: answer.artworkPpi, plates: new Map(answer.plates) });
  }
}
