import { type Difference, totalDifference } from "../../../server/engine/print/difference.ts";
import type { Tones } from "../../../server/engine/raster.ts";
import { keysOf, NO_KEYS, type PictureKeys, type Preview } from "../../../server/wire/preview.ts";
import { runsOf } from "../../../server/wire/tone-difference.ts";
import type { PictureName, ProofSpec, RenderRequest, Rows } from "./render.ts";
import type { FromWorker, ToWorker } from "./render-worker.ts";

/** One whole picture with its plates, and what they are known by. Tones change in place, and their keys with them. */
export interface HeldPicture extends Rows {
  readonly height: number;
  readonly plates: Map<string, Tones>;
  keys: PictureKeys;
}

/** A rendered picture, in bands from the top. After it was handed over, its buffers are returned to the workers. */
export interface RenderedPicture {
  readonly width: number;
  readonly height: number;
  readonly bands: readonly { readonly y: number; readonly data: ImageData }[];
  /** ΔE00, where the request was about differences. */
  readonly difference: Difference | undefined;
}

interface Slot {
  readonly name: string;
  busy: boolean;
  next:
    | { readonly request: RenderRequest; readonly done: (picture: RenderedPicture | undefined) => void }
    | undefined;
}

/**
 * Renders pictures on other threads, each of which holds a band of rows of every plate. One request is under way for
 * each slot; of those that arrive meanwhile only the newest is made.
 */
export class Renderer {
  readonly #workers: readonly Worker[];
  readonly #pictures = new Map<PictureName, HeldPicture>();
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

  /** Nothing is being rendered. */
  get resting(): boolean {
    return [...this.#slots.values()].every(({ busy }) => !busy);
  }

  /** Done once nothing is being rendered, and what was is painted. Who shows a picture has asked for it by the next task. */
  whenResting(work: () => void): void {
    setTimeout(() => {
      if (this.resting) work();
      else this.#later.push(work);
    });
  }

  #letLaterWork(): void {
    if (this.resting && this.#later.length > 0) requestIdleCallback(this.#workLater, { timeout: 300 });
  }

  /** Something may have come to be rendered meanwhile: it is waited for once more. */
  readonly #workLater = (deadline: IdleDeadline): void => {
    do {
      if (!this.resting) return;
      this.#later.shift()?.();
    } while (this.#later.length > 0 && deadline.timeRemaining() > 0);
    this.#letLaterWork();
  };

  /** What the page holds under this name. */
  picture(name: PictureName): HeldPicture | undefined {
    return this.#pictures.get(name);
  }

  /**
   * Takes what was sent of a picture, its bytes inflated: artwork (with which all plates so far are forgotten), plates
   * or what differs in them. Plates that it does not name are forgotten. Throws, and changes nothing, where a difference
   * is from a plate that is not here.
   */
  update(source: PictureName, preview: Preview<Uint8Array>): void {
    const { artwork, plates } = preview;
    const known = artwork.bytes ? undefined : this.#pictures.get(source);
    for (const { name, differsFrom } of plates)
      if (differsFrom !== undefined && known?.keys.plates[name] !== differsFrom)
        throw new Error(`plate ${name} was sent as what differs from one that is not here`);
    const keys = keysOf(preview);
    if (artwork.bytes) this.#setArtwork(source, artwork.width, artwork.height, artwork.bytes);
    const picture = this.#pictures.get(source);
    if (!picture) return;
    picture.keys = keys;
    for (const { name, bytes, differsFrom } of plates) {
      if (!bytes) continue;
      if (differsFrom === undefined) this.#setPlate(source, picture, name, bytes);
      else this.#changePlate(source, picture, name, bytes);
    }
    for (const name of [...picture.plates.keys()])
      if (!Object.hasOwn(keys.plates, name)) this.#dropPlate(source, picture, name);
  }

  #setArtwork(source: PictureName, width: number, height: number, artwork: Uint8Array): void {
    this.#pictures.set(source, { width, height, artwork, plates: new Map(), keys: NO_KEYS });
    this.#send(width * 4, height, artwork, (bytes) => ({ kind: "artwork", source, width, bytes }));
  }

  #setPlate(source: PictureName, { plates, width, height }: HeldPicture, name: string, tones: Tones): void {
    plates.set(name, tones);
    this.#send(width, height, tones, (bytes) => ({ kind: "plate", source, name, bytes }));
  }

  #changePlate(
    source: PictureName,
    { plates, width, height }: HeldPicture,
    name: string,
    bytes: Uint8Array,
  ): void {
    const tones = plates.get(name)!;
    const { length } = tones;
    for (const run of runsOf(bytes, length)) tones.set(run.tones, run.at);
    for (const [i, worker] of this.#workers.entries()) {
      const from = width * this.#firstRow(height, i);
      worker.postMessage({ kind: "plateDifference", source, name, bytes, from, length } satisfies ToWorker);
    }
  }

  #dropPlate(source: PictureName, { plates }: HeldPicture, name: string): void {
    plates.delete(name);
    this.#tellAll({ kind: "drop", source, name });
  }

  /** Forgets a picture. */
  drop(source: PictureName): void {
    this.#pictures.delete(source);
    this.#tellAll({ kind: "drop", source });
  }

  #tellAll(message: ToWorker): void {
    for (const worker of this.#workers) worker.postMessage(message);
  }

  /** Gets ready to print: the first picture would otherwise wait for the model, and for its code to be compiled. */
  warm(proof: ProofSpec): void {
    this.#tellAll({ kind: "warm", proof });
  }

  /** Renders a request, unless a newer one for the same slot comes before its turn. */
  render(slot: string, request: RenderRequest, done: (picture: RenderedPicture | undefined) => void): void {
    const known = this.#slots.get(slot) ?? { name: slot, busy: false, next: undefined };
    this.#slots.set(slot, known);
    known.next = { request, done };
    if (!known.busy) this.#take(known);
  }

  #take(slot: Slot): void {
    const { next } = slot;
    if (!next) return;
    slot.next = undefined;
    const picture = this.#pictures.get(next.request.source);
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
      this.#returnBuffers(answers);
      this.#take(slot);
      this.#letLaterWork();
    });
    for (const worker of this.#workers)
      worker.postMessage({ kind: "render", id, slot: slot.name, request: next.request } satisfies ToWorker);
  }

  /** A band that gets its buffer back prints over it: allocating, clearing and collecting another takes longer. */
  #returnBuffers(answers: readonly (FromWorker | undefined)[]): void {
    for (const [i, worker] of this.#workers.entries()) {
      const { returnAs, rgba } = answers[i] ?? {};
      if (returnAs === undefined || !rgba) continue;
      worker.postMessage({ kind: "returned", returnAs, rgba } satisfies ToWorker, [rgba.buffer]);
    }
  }

  #assemble(width: number, height: number, answers: readonly FromWorker[]): RenderedPicture {
    const tallies = answers.flatMap(({ tally }) => tally ?? []);
    return {
      width,
      height,
      bands: answers.map(({ rgba }, i) => ({
        y: this.#firstRow(height, i),
        data: new ImageData(rgba!, width, rgba!.length / 4 / width),
      })),
      difference: tallies.length > 0 ? totalDifference(tallies) : undefined,
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
