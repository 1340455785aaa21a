import { type Difference, totalDifference } from "../../../server/engine/print/difference.ts";
import type { Tones } from "../../../server/engine/raster.ts";
import { keysOf, NO_KEYS, type PictureKeys, type Preview } from "../../../server/wire/preview.ts";
import { runsOf } from "../../../server/wire/tone-difference.ts";
import type { PictureName, ProofSpec, RenderRequest, Rows, SentName, SlidName } from "./render.ts";
import type { FromWorker, ToWorker } from "./render-worker.ts";
import { ALL_ENDS, type PrintEnds, slid } from "./slid.ts";
import { type WorstPlace, worstOf } from "./worst-places.ts";

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
  /** Where it is worst, in pixels. */
  readonly worst: readonly WorstPlace[];
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
  /** Requests under way: the workers' answers, and what is done with all of them. */
  readonly #running = new Map<
    number,
    { answers: FromWorker[]; done: (answers: readonly FromWorker[]) => void }
  >();
  readonly #slots = new Map<string, Slot>();
  /** The pictures that slid ones were made of. */
  readonly #slidOf = new Map<SlidName, HeldPicture>();
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
  update(source: SentName, preview: Preview<Uint8Array>): void {
    const { artwork, plates } = preview;
    const { width, height, bytes: rgba } = artwork;
    const known = rgba ? undefined : this.#pictures.get(source);
    for (const { name, differsFrom } of plates)
      if (differsFrom !== undefined && known?.keys.plates[name] !== differsFrom)
        throw new Error(`plate ${name} was sent as what differs from one that is not here`);
    if (rgba) {
      this.#pictures.set(source, { width, height, artwork: rgba, plates: new Map(), keys: NO_KEYS });
      this.#send(width * 4, height, rgba, (rows) => ({ call: "setArtwork", args: [source, width, rows] }));
    }
    const picture = this.#pictures.get(source);
    if (!picture) return;
    picture.keys = keysOf(preview);
    for (const { name, bytes, differsFrom } of plates) {
      if (bytes && differsFrom !== undefined) this.#changePlate(source, picture, name, bytes);
      else if (bytes) {
        picture.plates.set(name, bytes);
        this.#send(width, height, bytes, (rows) => ({ call: "setPlate", args: [source, name, rows] }));
      }
    }
    for (const name of [...picture.plates.keys()]) {
      if (Object.hasOwn(picture.keys.plates, name)) continue;
      picture.plates.delete(name);
      this.#tellAll({ call: "drop", args: [source, name] });
    }
  }

  /** The difference goes to the workers as it came. */
  #changePlate(
    source: PictureName,
    { plates, width, height }: HeldPicture,
    name: string,
    bytes: Uint8Array,
  ): void {
    const tones = plates.get(name)!;
    for (const run of runsOf(bytes, tones.length)) tones.set(run.tones, run.at);
    for (const i of this.#workers.keys()) {
      const from = width * this.#firstRow(height, i);
      this.#tell(i, { call: "changePlate", args: [source, name, bytes, from, tones.length] });
    }
  }

  /**
   * Holds another picture with its plates moved to the right and down, in pixels; what is not named stays where it is.
   * Only plates that are not held as they are wanted are moved and sent.
   */
  slide(
    to: SlidName,
    shifts: ReadonlyMap<string, readonly [x: number, y: number]>,
    ends: PrintEnds = ALL_ENDS,
  ): void {
    const from = this.#pictures.get(to === "slid" ? "now" : "crop");
    if (!from) return;
    const { width, height, artwork } = from;
    let there = this.#pictures.get(to);
    if (!there || this.#slidOf.get(to) !== from) {
      there = { width, height, artwork, plates: new Map(), keys: NO_KEYS };
      this.#pictures.set(to, there);
      this.#slidOf.set(to, from);
      this.#send(width * 4, height, artwork, (rows) => ({ call: "setArtwork", args: [to, width, rows] }));
    }
    const keys: Record<string, string> = {};
    for (const [name, tones] of from.plates) {
      const shift = shifts.get(name) ?? [0, 0];
      keys[name] = `${from.keys.plates[name]} ${shift} ${JSON.stringify(ends)}`;
      if (there.keys.plates[name] === keys[name]) continue;
      const moved = slid(tones, width, height, shift, ends);
      there.plates.set(name, moved);
      this.#send(width, height, moved, (rows) => ({ call: "setPlate", args: [to, name, rows] }));
    }
    for (const name of [...there.plates.keys()]) {
      if (from.plates.has(name)) continue;
      there.plates.delete(name);
      this.#tellAll({ call: "drop", args: [to, name] });
    }
    there.keys = { ...from.keys, plates: keys };
  }

  /** Forgets a picture. */
  drop(source: PictureName): void {
    if (!this.#pictures.delete(source)) return;
    this.#tellAll({ call: "drop", args: [source] });
  }

  /** Has the workers get ready to print. */
  warm(proof: ProofSpec): void {
    this.#tellAll({ call: "warm", args: [proof] });
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
    const done = (answers: readonly FromWorker[]) => {
      slot.busy = false;
      const whole = answers.every(({ rgba }) => rgba?.length);
      next.done(whole ? this.#assemble(width, height, answers) : undefined);
      this.#returnBuffers(answers);
      this.#take(slot);
      this.#letLaterWork();
    };
    this.#running.set(id, { answers: [], done });
    this.#tellAll({ call: "render", id, args: [slot.name, next.request] });
  }

  /** A band that gets its buffer back prints over it: allocating, clearing and collecting another takes longer. */
  #returnBuffers(answers: readonly FromWorker[]): void {
    for (const [i, { returnAs, rgba }] of answers.entries())
      if (returnAs !== undefined && rgba)
        this.#tell(i, { call: "returned", args: [returnAs, rgba] }, rgba.buffer);
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
      worst: worstOf(
        answers.flatMap(({ worst = [] }, i) =>
          worst.map((place) => ({ ...place, y: place.y + this.#firstRow(height, i) })),
        ),
        width,
      ),
    };
  }

  #arrived(worker: number, answer: FromWorker): void {
    const running = this.#running.get(answer.id);
    if (!running) return;
    running.answers[worker] = answer;
    if (running.answers.filter(Boolean).length < this.#workers.length) return;
    this.#running.delete(answer.id);
    running.done(running.answers);
  }

  /** Gives each worker its rows. */
  #send(rowBytes: number, height: number, bytes: Uint8Array, message: (rows: Uint8Array) => ToWorker): void {
    for (const i of this.#workers.keys()) {
      const rows = bytes.slice(
        this.#firstRow(height, i) * rowBytes,
        this.#firstRow(height, i + 1) * rowBytes,
      );
      this.#tell(i, message(rows), rows.buffer);
    }
  }

  #tell(worker: number, message: ToWorker, ...transfer: ArrayBuffer[]): void {
    this.#workers[worker]!.postMessage(message, transfer);
  }

  #tellAll(message: ToWorker): void {
    for (const i of this.#workers.keys()) this.#tell(i, message);
  }

  #firstRow(height: number, worker: number): number {
    return Math.floor((height * worker) / this.#workers.length);
  }
}
