import type {
  PanelEdit,
  PanelEditAnswer,
  PanelPlace,
  PanelRange,
  PreviewAnswer,
  PreviewQuestion,
  Reason,
  WirePath,
  WirePicture,
  WirePiece,
} from "../server/features/panel/wire.ts";
import type { FromPage, ShownProof, ToPage } from "./panel/protocol.ts";

/** What a session needs of its editor. */
export interface PanelEditor {
  /** The recipe's. */
  readonly uri: string;
  /** To the page. */
  post(message: ToPage): void;
  /** A question to the language server. */
  ask<T>(method: string, params: unknown, signal: AbortSignal): Promise<T>;
  /** Version of the recipe's text. */
  version(): number;
  /** Makes one change of the text, that the user can take back; false where the text has moved on. */
  apply(answer: Extract<PanelEditAnswer, { edits: unknown }>, version: number): Promise<boolean>;
  /** Shows a place of the recipe, or of its shop file. */
  reveal(range: PanelRange): void;
  /** From 1. */
  /** A line of the shop file, from 1. */
  revealShop(shop: string, line: number): void;
  say(message: string): void;
  /** Asks where to, and writes; `bytes` are made once that is known. */
  save(name: string, bytes: (signal: AbortSignal) => Promise<Uint8Array>): Promise<void>;
}

/** A question that takes longer is given up when the text changes; a shorter one is let finish, and shown. */
const PATIENCE_MS = 300;
/** How long the text must rest before a sharper piece is asked for again. */
const PIECE_REST_MS = 250;

/**
 * One panel of one recipe, at the editor's end: asks for pictures while the page can be seen, sends it what changed,
 * and does what it asks. Knows what the page holds, so that only changed plates travel.
 */
export class PanelSession {
  readonly #editor: PanelEditor;
  #ready = false;
  #visible = true;
  #held: { artwork?: string; plates: Record<string, string> } = { plates: {} };
  /** The page had a glance, which is nothing to hold: all of it gives way to the next picture. */
  #glanced = false;
  /** The page was told, or soon will be, what there is to see of the text. */
  #told = false;
  #heldBefore: { artwork?: string; plates: Record<string, string> } = { plates: {} };
  #wantsCommitted = false;
  #piece: WirePiece | undefined;
  #stale = false;
  #running: { readonly controller: AbortController; readonly since: number } | undefined;
  #pieceRunning: AbortController | undefined;
  #pieceTimer: ReturnType<typeof setTimeout> | undefined;
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
    this.#pieceRunning?.abort();
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
    const place = await this.#ask<PanelPlace | null>("platewright/placeAt", {
      uri: this.#editor.uri,
      position,
    });
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
    if (!this.#ready) this.#holdsNothing();
    this.#running?.controller.abort();
    this.#pieceRunning?.abort();
    this.#committing?.abort();
    clearTimeout(this.#pieceTimer);
  }

  /** Shows a garment, now or as soon as the page is there. */
  show(garment: string): void {
    this.#post({ kind: "show", garment });
  }

  save(what: "proof" | "sheet"): void {
    this.#editor.post({ kind: "save", what });
  }

  dispose(): void {
    this.#gone.abort();
    this.#running?.controller.abort();
    this.#pieceRunning?.abort();
    this.#committing?.abort();
    clearTimeout(this.#pieceTimer);
  }

  async received(message: FromPage): Promise<void> {
    switch (message.kind) {
      case "ready":
        return this.#started();
      case "want":
        return this.#want(message.committed, message.piece);
      case "edit":
        return this.#edit(message.edit);
      case "reveal":
        return this.#reveal(message.path);
      case "revealShop":
        return this.#revealShop(message.line);
      case "why": {
        const { plate, point } = message;
        const params = { uri: this.#editor.uri, plate, point };
        const reasons = (await this.#ask<Reason[] | null>("platewright/why", params)) ?? [];
        this.#editor.post({ kind: "why", plate, reasons });
        const [first] = reasons;
        if (first) await this.#reveal(first.path);
        return;
      }
      case "saveProof":
        return this.#saveProof(message.shown);
      case "saveSheet":
        return this.#editor.save("plates.png", () => Promise.resolve(message.png));
    }
  }

  async #revealShop(line: number): Promise<void> {
    const shop = await this.#ask<string | null>("platewright/shopOf", { uri: this.#editor.uri });
    if (shop !== null) this.#editor.revealShop(shop, line);
  }

  #started(): void {
    if (this.#ready) {
      // Another page in this one's place: it holds nothing, and what was asked for the old one leaves out too much.
      this.#running?.controller.abort();
      this.#committing?.abort();
      this.#pieceRunning?.abort();
      this.#holdsNothing();
      this.#heldBefore = { plates: {} };
      this.#stale = true;
    }
    this.#ready = true;
    this.#wantsCommitted = false;
    this.#piece = undefined;
    for (const message of this.#waiting.splice(0)) this.#editor.post(message);
    // The first picture is being made since before the page was there.
    if (this.#stale || (!this.#running && this.#showsNothing)) this.#refresh();
  }

  #post(message: ToPage): void {
    if (this.#ready) this.#editor.post(message);
    else this.#waiting.push(message);
  }

  get #showsNothing(): boolean {
    return this.#held.artwork === undefined && !this.#glanced;
  }

  #holdsNothing(): void {
    this.#held = { plates: {} };
    this.#glanced = false;
  }

  #want(committed: boolean, piece: WirePiece | undefined): void {
    if (committed && !this.#wantsCommitted) void this.#committed();
    this.#wantsCommitted = committed;
    if (!committed) this.#committing?.abort();
    const changed = JSON.stringify(piece) !== JSON.stringify(this.#piece);
    this.#piece = piece;
    if (!changed) return;
    this.#pieceRunning?.abort();
    clearTimeout(this.#pieceTimer);
    if (piece) void this.#sharper(piece);
  }

  #refresh(): void {
    this.#stale = true;
    if (!this.#visible || this.#gone.signal.aborted) return;
    if (!this.#running) void this.#previews();
    // What the stages have made stays made: an interrupted question goes on where it was.
    else if (performance.now() - this.#running.since > PATIENCE_MS) this.#running.controller.abort();
  }

  /** The press can be laid out before there is any picture. */
  async #job(): Promise<void> {
    const question = { held: { plates: {} }, quick: "job" } as const;
    const answer = await this.#preview(question, this.#gone.signal).catch(() => null);
    if (answer && !this.#told) this.#post({ kind: "preview", answer: unpacked(answer) });
  }

  /** One question at a time; the newest text is asked about next. */
  async #previews(): Promise<void> {
    while (this.#stale && this.#visible && !this.#gone.signal.aborted) {
      this.#stale = false;
      const controller = new AbortController();
      this.#running = { controller, since: performance.now() };
      try {
        const quick = this.#showsNothing ? "glance" : undefined;
        const answer = await this.#preview({ held: this.#held, quick }, controller.signal);
        if (!answer || controller.signal.aborted) continue;
        if (answer.picture?.glance) this.#glanced = true;
        else this.#held = nowHeld(this.#held, answer.picture);
        this.#told = true;
        this.#post({ kind: "preview", answer: unpacked(answer) });
        if (answer.picture?.glance || answer.version < this.#editor.version()) this.#stale = true;
      } catch (error) {
        if (!controller.signal.aborted) {
          this.#editor.say(`The proof cannot be made: ${(error as Error).message}`);
          break;
        }
      }
    }
    this.#running = undefined;
    if (!this.#visible) return;
    const piece = this.#piece;
    clearTimeout(this.#pieceTimer);
    if (piece) this.#pieceTimer = setTimeout(() => void this.#sharper(piece), PIECE_REST_MS);
  }

  async #sharper(piece: WirePiece): Promise<void> {
    this.#pieceRunning?.abort();
    const controller = new AbortController();
    this.#pieceRunning = controller;
    const answer = await this.#preview({ held: { plates: {} }, piece }, controller.signal).catch(() => null);
    if (answer?.picture && !controller.signal.aborted)
      this.#editor.post({ kind: "piece", piece, answer: unpacked(answer) });
  }

  async #committed(): Promise<void> {
    this.#committing?.abort();
    const controller = new AbortController();
    this.#committing = controller;
    try {
      const answer = await this.#preview({ held: this.#heldBefore, committed: true }, controller.signal);
      if (!answer || controller.signal.aborted) return;
      this.#heldBefore = nowHeld(this.#heldBefore, answer.picture);
      this.#editor.post({ kind: "committed", answer: unpacked(answer) });
    } catch (error) {
      if (!controller.signal.aborted)
        this.#editor.say(`The last commit cannot be shown: ${(error as Error).message}`);
    }
  }

  #preview(
    question: Omit<PreviewQuestion, "uri">,
    signal: AbortSignal,
  ): Promise<PreviewAnswer<string> | null> {
    return this.#editor.ask("platewright/preview", { uri: this.#editor.uri, ...question }, signal);
  }

  async #edit(edit: PanelEdit): Promise<void> {
    const version = this.#editor.version();
    const answer = await this.#ask<PanelEditAnswer | null>("platewright/panelEdit", {
      uri: this.#editor.uri,
      edit,
    });
    if (!answer) return;
    if ("refused" in answer) {
      this.#editor.say(`Nothing was changed: ${answer.refused}.`);
      return;
    }
    const applied = await this.#editor.apply(answer, version);
    if (applied) this.#editor.post({ kind: "said", text: `written: ${answer.did}` });
    else this.#editor.say("Nothing was changed: the text moved on meanwhile. Try again.");
  }

  async #reveal(path: WirePath): Promise<void> {
    const range = await this.#ask<PanelRange | null>("platewright/rangeOf", { uri: this.#editor.uri, path });
    if (!range) return;
    this.#echo = placeKey(range.start);
    this.#editor.reveal(range);
  }

  #saveProof(shown: ShownProof): Promise<void> {
    const after = shown.without.length > 0 ? "-look" : "";
    return this.#editor.save(`proof-${shown.garment}${after}.png`, async (signal) => {
      const params = { uri: this.#editor.uri, ...shown };
      const { png } = await this.#editor.ask<{ png: string }>("platewright/proofPicture", params, signal);
      return fromBase64(png);
    });
  }

  #ask<T>(method: string, params: unknown): Promise<T> {
    return this.#editor.ask<T>(method, params, this.#gone.signal);
  }
}

function placeKey({ line, character }: PanelRange["start"]): string {
  return `${line}:${character}`;
}

function nowHeld(
  held: { artwork?: string; plates: Record<string, string> },
  picture: WirePicture<string> | undefined,
): { artwork?: string; plates: Record<string, string> } {
  if (!picture) return held;
  return {
    artwork: picture.artwork.key,
    plates: Object.fromEntries(picture.plates.map(({ name, key }) => [name, key])),
  };
}

/** Bytes as the page takes them: `Uint8Array`, which travels as it is. */
function unpacked(answer: PreviewAnswer<string>): PreviewAnswer<Uint8Array> {
  const { picture, ...rest } = answer;
  if (!picture) return rest;
  const { artwork, plates } = picture;
  return { ...rest, picture: { ...picture, artwork: bytesIn(artwork), plates: plates.map(bytesIn) } };
}

function bytesIn<T extends { readonly bytes?: string }>({ bytes, ...rest }: T) {
  return { ...rest, ...(bytes === undefined ? {} : { bytes: fromBase64(bytes) }) };
}

/** A plain array of its own: a Buffer would travel as a list of numbers, and its pool with it. */
function fromBase64(text: string): Uint8Array {
  const buffer = Buffer.from(text, "base64");
  return new Uint8Array(buffer.buffer.slice(buffer.byteOffset, buffer.byteOffset + buffer.length));
}
