import type {
  LeftOver,
  PanelEdit,
  PanelEditResult,
  PanelPlace,
  PanelRange,
  PreviewParams,
  PreviewResult,
  ProofView,
  Reason,
  WayOut,
  WirePath,
} from "../server/wire/panel.ts";
import { type Crop, keysOf, NO_KEYS, withBytes } from "../server/wire/preview.ts";
import type { FromPage, Output, ToPage } from "./panel/protocol.ts";

/** What a session needs of its editor. */
export interface PanelEditor {
  /** The recipe's. */
  readonly uri: string;
  /** To the page. */
  post(message: ToPage): void;
  /** A request to the language server. */
  request<T>(method: string, params: unknown, signal: AbortSignal): Promise<T>;
  /** Version of the recipe's text. */
  version(): number;
  /** Makes one change of the text, that the user can take back; false where the text has moved on. */
  apply(edit: Extract<PanelEditResult, { edits: unknown }>, version: number): Promise<boolean>;
  /** Shows a place of the recipe. */
  reveal(range: PanelRange): void;
  /** A line of the shop file, from 1. */
  revealShop(shop: string, line: number): void;
  say(message: string): void;
  /** Writes what goes to the press. */
  output(what: Output): void;
  /** Goes a way out of what keeps the picture from being shown. */
  go(way: WayOut): void;
  /** Asks where to, and writes; `bytes` are made once that is known. */
  save(name: string, bytes: (signal: AbortSignal) => Promise<Uint8Array>): Promise<void>;
}

/** A request that takes longer is given up when the text changes; a shorter one is let finish, and shown. */
const PATIENCE_MS = 300;
/** How long the text must rest before a sharper crop is asked for again. */
const CROP_REST_MS = 250;

/**
 * One panel of one recipe, at the editor's end: asks for pictures while the page can be seen, sends it what changed,
 * and does what it asks. Knows what the page holds, so that only changed plates travel.
 */
export class PanelSession {
  readonly #editor: PanelEditor;
  #ready = false;
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
  /** For the page, which is not there yet. */
  readonly #waiting: ToPage[] = [];
  /** Where the panel put the cursor: its coming there is no news to the panel. */
  #echo: string | undefined;
  readonly #gone = new AbortController();

  constructor(editor: PanelEditor) {
    this.#editor = editor;
  }

  /** Asks for the first picture, which is made while the page still loads. */
  start(): void {
    this.#refresh();
    void this.#job();
  }

  /** The recipe's text has changed. */
  textChanged(): void {
    this.#cropRunning?.abort();
    this.#refresh();
  }

  /** Something else has: the shop file, the artwork, trust. */
  filesChanged(): void {
    this.#refresh();
    if (this.#wantsCommitted) void this.#committed();
  }

  /** The cursor stands elsewhere in the recipe's text. */
  async cursorMoved(position: PanelRange["start"]): Promise<void> {
    if (!this.#ready || !this.#visible) return;
    const echo = this.#echo === placeKey(position);
    this.#echo = undefined;
    if (echo) return;
    const place = await this.#request<PanelPlace | null>("platewright/placeAt", { position });
    if (place) this.#editor.post({ kind: "place", place });
  }

  /** A hidden page is asked nothing for, and forgets what it holds. */
  setVisible(visible: boolean): void {
    this.#visible = visible;
    if (visible) {
      if (this.#stale) this.#refresh();
      return;
    }
    this.#stale = true;
    this.#waiting.length = 0;
    // What waited for the page was never held by it.
    if (!this.#ready) this.#held.now = NO_KEYS;
    this.#stop();
  }

  /** Shows a garment, now or as soon as the page is there. */
  show(garment: string): void {
    this.#post({ kind: "show", garment });
  }

  save(what: "proof" | "sheet"): void {
    this.#post({ kind: "save", what });
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

  /** Does what the page asks for. */
  async received(message: FromPage): Promise<void> {
    switch (message.kind) {
      case "ready":
        return this.#started();
      case "want":
        return this.#want(message.committed, message.crop);
      case "edit":
        this.#trial = undefined;
        return this.#edit(message.edit);
      case "try":
        this.#trial = message.edit;
        this.#refresh();
        return;
      case "reveal":
        return this.#reveal(message.path);
      case "revealShop":
        return this.#revealShop(message.line);
      case "why": {
        const { plate, point } = message;
        const reasons = (await this.#request<Reason[] | null>("platewright/why", { plate, point })) ?? [];
        this.#editor.post({ kind: "why", plate, reasons });
        const [first] = reasons;
        if (first) await this.#reveal(first.path);
        return;
      }
      case "left":
        return this.#left();
      case "output":
        return this.#editor.output(message.what);
      case "go":
        return this.#editor.go(message.way);
      case "saveProof":
        return this.#saveProof(message.shown);
      case "saveSheet":
        return this.#editor.save("plates.png", () => Promise.resolve(message.png));
    }
  }

  async #left(): Promise<void> {
    try {
      const left = await this.#request<LeftOver | null>("platewright/left", {});
      this.#editor.post({ kind: "left", left: left ?? { garments: [], most: "the recipe has errors" } });
    } catch (error) {
      if (!this.#gone.signal.aborted)
        this.#editor.post({ kind: "left", left: { garments: [], most: (error as Error).message } });
    }
  }

  async #revealShop(line: number): Promise<void> {
    const shop = await this.#request<string | null>("platewright/fileNamed", { of: "shop" });
    if (shop !== null) this.#editor.revealShop(shop, line);
  }

  #started(): void {
    if (this.#ready) {
      // Another page in this one's place: it holds nothing, and what was asked for the old one leaves out too much.
      this.#stop();
      Object.assign(this.#held, { now: NO_KEYS, before: NO_KEYS });
      this.#stale = true;
    }
    this.#ready = true;
    this.#wantsCommitted = false;
    this.#crop = undefined;
    this.#trial = undefined;
    for (const message of this.#waiting.splice(0)) this.#editor.post(message);
    // The first picture is being made since before the page was there.
    if (this.#stale || (!this.#running && this.#showsNothing)) this.#refresh();
  }

  #post(message: ToPage): void {
    if (this.#ready) this.#editor.post(message);
    else this.#waiting.push(message);
  }

  get #showsNothing(): boolean {
    return this.#held.now.artwork === undefined;
  }

  #want(committed: boolean, crop: Crop | undefined): void {
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
    if (result && !this.#told) this.#post({ kind: "preview", result });
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
        this.#post({ kind: "preview", result });
        if (picture?.lowResolution || version < this.#editor.version()) this.#stale = true;
      } catch (error) {
        if (!controller.signal.aborted) {
          this.#editor.say(`The proof cannot be made: ${(error as Error).message}`);
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
    if (result?.picture) this.#editor.post({ kind: "crop", crop, result });
  }

  async #committed(): Promise<void> {
    this.#committing?.abort();
    const controller = new AbortController();
    this.#committing = controller;
    try {
      const result = await this.#preview({ held: this.#held.before, committed: true }, controller.signal);
      if (!result) return;
      if (result.picture) this.#held.before = keysOf(result.picture);
      this.#editor.post({ kind: "committed", result });
    } catch (error) {
      if (!controller.signal.aborted)
        this.#editor.say(`The last commit cannot be shown: ${(error as Error).message}`);
    }
  }

  /** Bytes as the page takes them: `Uint8Array`, which travels as it is. Null where nobody waits for it any more. */
  async #preview(
    params: Omit<PreviewParams, "uri">,
    signal: AbortSignal,
  ): Promise<PreviewResult<Uint8Array> | null> {
    const result = await this.#request<PreviewResult<string> | null>("platewright/preview", params, signal);
    if (!result || signal.aborted) return null;
    const { picture, ...rest } = result;
    return picture ? { ...rest, picture: withBytes(picture, fromBase64) } : rest;
  }

  async #edit(edit: PanelEdit): Promise<void> {
    const version = this.#editor.version();
    const result = await this.#request<PanelEditResult | null>("platewright/panelEdit", { edit });
    if (!result) return;
    if ("refused" in result) {
      this.#editor.say(`Nothing was changed: ${result.refused}.`);
      return;
    }
    const applied = await this.#editor.apply(result, version);
    if (applied) this.#editor.post({ kind: "said", text: `written: ${result.did}` });
    else this.#editor.say("Nothing was changed: the text moved on meanwhile. Try again.");
  }

  async #reveal(path: WirePath): Promise<void> {
    const range = await this.#request<PanelRange | null>("platewright/rangeOf", { path });
    if (!range) return;
    this.#echo = placeKey(range.start);
    this.#editor.reveal(range);
  }

  #saveProof(shown: ProofView): Promise<void> {
    const after = shown.without.length > 0 ? "-look" : "";
    return this.#editor.save(`proof-${shown.garment}${after}.png`, async (signal) => {
      const { png } = await this.#request<{ png: string }>("platewright/proofPicture", shown, signal);
      return fromBase64(png);
    });
  }

  #request<T>(method: string, params: object, signal: AbortSignal = this.#gone.signal): Promise<T> {
    return this.#editor.request<T>(method, { uri: this.#editor.uri, ...params }, signal);
  }
}

function placeKey({ line, character }: PanelRange["start"]): string {
  return `${line}:${character}`;
}

/** A plain array of its own: a Buffer would travel as a list of numbers, and its pool with it. */
function fromBase64(text: string): Uint8Array {
  const buffer = Buffer.from(text, "base64");
  return new Uint8Array(buffer.buffer.slice(buffer.byteOffset, buffer.byteOffset + buffer.length));
}
