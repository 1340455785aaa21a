import type { PanelEdit, PreviewParams, PreviewResult } from "../server/wire/panel.ts";
import { type Crop, keysOf, NO_KEYS, withBytes } from "../server/wire/preview.ts";
import type { ToPage } from "./panel/protocol.ts";

/** What stands around a panel's pictures. */
export interface PicturesHost {
  /** To the page, as soon as it is there. */
  post(message: ToPage): void;
  /** Asks the language server for a picture, its bytes in base64. */
  preview(params: Omit<PreviewParams, "uri">, signal: AbortSignal): Promise<PreviewResult<string> | null>;
  /** Version of the recipe's text. */
  version(): number;
  say(message: string): void;
}

/** A request that takes longer is given up when the text changes; a shorter one is let finish, and shown. */
const PATIENCE_MS = 300;
/** How long the text must rest before a sharper crop is asked for again. */
const CROP_REST_MS = 250;

/**
 * Asks for pictures while the page can be seen, and sends it what changed: of the text, of the last commit, and a sharper
 * crop. Knows what the page holds, so that only changed plates travel.
 */
export class PanelPictures {
  readonly #host: PicturesHost;
  #visible = true;
  /** What the page holds, or will once it has taken all that was posted: pictures of the text and of the last commit. */
  readonly #held = { now: NO_KEYS, before: NO_KEYS };
  /** The page was told, or soon will be, what there is to see of the text. */
  #told = false;
  #wantsCommitted = false;
  #crop: Crop | undefined;
  /** What the page tries before it has it written. */
  #trial: PanelEdit | undefined;
  #stale = false;
  #running: { readonly controller: AbortController; readonly since: number } | undefined;
  #cropRunning: AbortController | undefined;
  #cropTimer: ReturnType<typeof setTimeout> | undefined;
  #committing: AbortController | undefined;
  readonly #gone = new AbortController();

  constructor(host: PicturesHost) {
    this.#host = host;
  }

  /** Asks for the first picture, which is made while the page still loads. */
  start(): void {
    this.#refresh();
    void this.#job();
  }

  textChanged(): void {
    this.#cropRunning?.abort();
    this.#refresh();
  }

  filesChanged(): void {
    this.#refresh();
    if (this.#wantsCommitted) void this.#committed();
  }

  show(): void {
    this.#visible = true;
    if (this.#stale) this.#refresh();
  }

  /** Until the page is seen again. Where it was not even there yet, it holds nothing of what was posted. */
  hide(wasThere: boolean): void {
    this.#visible = false;
    this.#stale = true;
    if (!wasThere) this.#held.now = NO_KEYS;
    this.#stop();
  }

  /** Another page is in the old one's place: it holds nothing, and what was asked for the old one leaves out too much. */
  forget(): void {
    this.#stop();
    Object.assign(this.#held, { now: NO_KEYS, before: NO_KEYS });
    this.#stale = true;
  }

  /** The page is there, and has wanted nothing yet. */
  pageStarted(): void {
    this.#wantsCommitted = false;
    this.#crop = undefined;
    this.#trial = undefined;
    // The first picture is being made since before the page was there.
    if (this.#stale || (!this.#running && this.#showsNothing)) this.#refresh();
  }

  /** Shows what an edit would give. */
  try(edit: PanelEdit | undefined): void {
    this.#trial = edit;
    this.#refresh();
  }

  /** What was tried is being written. */
  written(): void {
    this.#trial = undefined;
  }

  dispose(): void {
    this.#gone.abort();
    this.#stop();
  }

  /** What was asked for is not wanted any more. */
  #stop(): void {
    for (const asked of [this.#running?.controller, this.#cropRunning, this.#committing]) asked?.abort();
    clearTimeout(this.#cropTimer);
  }

  get #showsNothing(): boolean {
    return this.#held.now.artwork === undefined;
  }

  /** What the page shows besides the picture of the text. */
  want(committed: boolean, crop: Crop | undefined): void {
    if (committed && !this.#wantsCommitted) void this.#committed();
    this.#wantsCommitted = committed;
    if (!committed) this.#committing?.abort();
    const changed = JSON.stringify(crop) !== JSON.stringify(this.#crop);
    this.#crop = crop;
    if (!changed) return;
    this.#cropRunning?.abort();
    clearTimeout(this.#cropTimer);
    if (crop) void this.#sharper(crop);
  }

  #refresh(): void {
    this.#stale = true;
    if (!this.#visible || this.#gone.signal.aborted) return;
    if (!this.#running) void this.#previews();
    // What the stages have made stays made: an interrupted request goes on where it was.
    else if (performance.now() - this.#running.since > PATIENCE_MS) this.#running.controller.abort();
  }

  /** The press can be laid out before there is any picture. */
  async #job(): Promise<void> {
    const result = await this.#preview({ held: NO_KEYS, quick: "job" }, this.#gone.signal).catch(() => null);
    if (result && !this.#told) this.#host.post({ kind: "preview", result });
  }

  /** One request at a time; the newest text is asked about next. */
  async #previews(): Promise<void> {
    while (this.#stale && this.#visible && !this.#gone.signal.aborted) {
      this.#stale = false;
      const controller = new AbortController();
      this.#running = { controller, since: performance.now() };
      try {
        const quick = this.#showsNothing ? "lowResolution" : undefined;
        const result = await this.#preview(
          { held: this.#held.now, quick, trial: this.#trial },
          controller.signal,
        );
        if (!result) continue;
        const { picture, version } = result;
        if (picture) this.#held.now = keysOf(picture);
        this.#told = true;
        this.#host.post({ kind: "preview", result });
        if (picture?.lowResolution || version < this.#host.version()) this.#stale = true;
      } catch (error) {
        if (!controller.signal.aborted) {
          this.#host.say(`The proof cannot be made: ${(error as Error).message}`);
          break;
        }
      }
    }
    this.#running = undefined;
    if (!this.#visible) return;
    const crop = this.#crop;
    clearTimeout(this.#cropTimer);
    if (crop) this.#cropTimer = setTimeout(() => void this.#sharper(crop), CROP_REST_MS);
  }

  async #sharper(crop: Crop): Promise<void> {
    this.#cropRunning?.abort();
    const controller = new AbortController();
    this.#cropRunning = controller;
    const result = await this.#preview({ held: NO_KEYS, crop, trial: this.#trial }, controller.signal).catch(
      () => null,
    );
    if (result?.picture) this.#host.post({ kind: "crop", crop, result });
  }

  async #committed(): Promise<void> {
    this.#committing?.abort();
    const controller = new AbortController();
    this.#committing = controller;
    try {
      const result = await this.#preview({ held: this.#held.before, committed: true }, controller.signal);
      if (!result) return;
      if (result.picture) this.#held.before = keysOf(result.picture);
      this.#host.post({ kind: "committed", result });
    } catch (error) {
      if (!controller.signal.aborted)
        this.#host.say(`The last commit cannot be shown: ${(error as Error).message}`);
    }
  }

  /** Bytes as the page takes them: `Uint8Array`, which travels as it is. Null where nobody waits for it any more. */
  async #preview(
    params: Omit<PreviewParams, "uri">,
    signal: AbortSignal,
  ): Promise<PreviewResult<Uint8Array> | null> {
    const result = await this.#host.preview(params, signal);
    if (!result || signal.aborted) return null;
    const { picture, ...rest } = result;
    return picture ? { ...rest, picture: withBytes(picture, bytesFromBase64) } : rest;
  }
}

/** A plain array of its own: a Buffer would travel as a list of numbers, and its pool with it. */
export function bytesFromBase64(text: string): Uint8Array {
  const buffer = Buffer.from(text, "base64");
  return new Uint8Array(buffer.buffer.slice(buffer.byteOffset, buffer.byteOffset + buffer.length));
}
