import { figuresOf, type Printed, type Rows, type SetName, type Shot } from "./shot.ts";
import type { FromWorker, ToWorker } from "./worker.ts";

/** One whole picture with its plates. */
export interface Picture extends Rows {
  readonly height: number;
  readonly plates: Map<string, Uint8Array>;
}

/** A developed picture, in bands from the top. It is lent: after it was handed over, its pixels are gone. */
export interface Print {
  readonly width: number;
  readonly height: number;
  readonly bands: readonly { readonly y: number; readonly data: ImageData }[];
  /** ΔE00, where the shot was about differences. */
  readonly figures: { readonly mean: number; readonly p95: number } | undefined;
}

interface Slot {
  readonly name: string;
  busy: boolean;
  next: { readonly shot: Shot; readonly done: (print: Print | undefined) => void } | undefined;
}

/**
 * Develops pictures on other threads, each of which holds a band of rows of every plate. One shot is under way for
 * each slot; of those that arrive meanwhile only the newest is made.
 */
export class Press {
  readonly #workers: readonly Worker[];
  readonly #sets = new Map<SetName, Picture>();
  readonly #waiting = new Map<number, (answers: (FromWorker | undefined)[]) => void>();
  readonly #answers = new Map<number, (FromWorker | undefined)[]>();
  readonly #slots = new Map<string, Slot>();
  readonly #later: (() => void)[] = [];
  #next = 1;

  constructor(makeWorker: () => Worker, count: number) {
    this.#workers = Array.from({ length: count }, (_, i) => {
      const worker = makeWorker();
      worker.addEventListener("message", ({ data }: MessageEvent<FromWorker>) => this.#arrived(i, data));
      return worker;
    });
  }

  /** Nothing is being developed. */
  get resting(): boolean {
    return [...this.#slots.values()].every(({ busy }) => !busy);
  }

  /** Done once nothing is being developed, and what was is painted. Who shows a picture has asked for it by the next task. */
  whenResting(work: () => void): void {
    setTimeout(() => {
      if (this.resting) work();
      else this.#later.push(work);
    });
  }

  #letLaterWork(): void {
    if (this.resting && this.#later.length > 0) requestIdleCallback(this.#workLater, { timeout: 300 });
  }

  /** Something may have come to be developed meanwhile: it is waited for once more. */
  readonly #workLater = (deadline: IdleDeadline): void => {
    do {
      if (!this.resting) return;
      this.#later.shift()?.();
    } while (this.#later.length > 0 && deadline.timeRemaining() > 0);
    this.#letLaterWork();
  };

  picture(set: SetName): Picture | undefined {
    return this.#sets.get(set);
  }

  /** Takes a picture's artwork; its plates so far are forgotten. */
  setArtwork(set: SetName, width: number, height: number, artwork: Uint8Array): void {
    this.#sets.set(set, { width, height, artwork, plates: new Map() });
    this.#send(width * 4, height, artwork, (bytes) => ({ kind: "artwork", set, width, bytes }));
  }

  setPlate(set: SetName, name: string, tones: Uint8Array): void {
    const picture = this.#sets.get(set);
    if (!picture) return;
    picture.plates.set(name, tones);
    this.#send(picture.width, picture.height, tones, (bytes) => ({ kind: "plate", set, name, bytes }));
  }

  /** Gets ready to print: the first picture would otherwise wait for the model, and for its code to be compiled. */
  warm(printed: Printed): void {
    for (const worker of this.#workers) worker.postMessage({ kind: "warm", printed } satisfies ToWorker);
  }

  /** Forgets a plate, or a whole picture. */
  drop(set: SetName, name?: string): void {
    if (name === undefined) this.#sets.delete(set);
    else this.#sets.get(set)?.plates.delete(name);
    const message: ToWorker = { kind: "drop", set, ...(name === undefined ? {} : { name }) };
    for (const worker of this.#workers) worker.postMessage(message);
  }

  /** Develops a shot, unless a newer one for the same slot comes before its turn. */
  shoot(slot: string, shot: Shot, done: (print: Print | undefined) => void): void {
    const known = this.#slots.get(slot) ?? { name: slot, busy: false, next: undefined };
    this.#slots.set(slot, known);
    known.next = { shot, done };
    if (!known.busy) this.#take(known);
  }

  #take(slot: Slot): void {
    const { next } = slot;
    if (!next) return;
    slot.next = undefined;
    const picture = this.#sets.get(next.shot.set);
    if (!picture) {
      next.done(undefined);
      return;
    }
    slot.busy = true;
    const { width, height } = picture;
    const id = this.#next++;
    this.#answers.set(id, []);
    this.#waiting.set(id, (answers) => {
      slot.busy = false;
      const whole = answers.every((answer) => answer?.rgba?.length);
      next.done(whole ? this.#assemble(width, height, answers as FromWorker[]) : undefined);
      this.#giveBack(answers);
      this.#take(slot);
      this.#letLaterWork();
    });
    for (const worker of this.#workers)
      worker.postMessage({ kind: "shoot", id, slot: slot.name, shot: next.shot } satisfies ToWorker);
  }

  /** A band that gets its picture back prints over it: allocating, clearing and collecting another takes longer. */
  #giveBack(answers: readonly (FromWorker | undefined)[]): void {
    for (const [i, worker] of this.#workers.entries()) {
      const { loan, rgba } = answers[i] ?? {};
      if (loan === undefined || !rgba) continue;
      worker.postMessage({ kind: "giveBack", loan, rgba } satisfies ToWorker, [rgba.buffer]);
    }
  }

  #assemble(width: number, height: number, answers: readonly FromWorker[]): Print {
    const counts = answers.flatMap(({ counts: part }) => (part ? [part] : []));
    return {
      width,
      height,
      bands: answers.map(({ rgba }, i) => ({
        y: this.#firstRow(height, i),
        data: new ImageData(rgba!, width, rgba!.length / 4 / width),
      })),
      figures: counts.length > 0 ? figuresOf(counts) : undefined,
    };
  }

  #arrived(worker: number, answer: FromWorker): void {
    const answers = this.#answers.get(answer.id);
    if (!answers) return;
    answers[worker] = answer;
    if (answers.filter(Boolean).length < this.#workers.length) return;
    this.#answers.delete(answer.id);
    const settle = this.#waiting.get(answer.id);
    this.#waiting.delete(answer.id);
    settle?.(answers);
  }

  #send(rowBytes: number, height: number, bytes: Uint8Array, message: (band: Uint8Array) => ToWorker): void {
    for (const [i, worker] of this.#workers.entries()) {
      const band = bytes.slice(
        this.#firstRow(height, i) * rowBytes,
        this.#firstRow(height, i + 1) * rowBytes,
      );
      worker.postMessage(message(band), [band.buffer]);
    }
  }

  #firstRow(height: number, worker: number): number {
    return Math.floor((height * worker) / this.#workers.length);
  }
}
