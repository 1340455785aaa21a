import type {
  LeftOver,
  PanelEdit,
  PanelEditResult,
  PanelPlace,
  PanelRange,
  ProofView,
  Reason,
  WayOut,
  WirePath,
} from "../server/wire/panel.ts";
import type { FromPage, Output, ToPage } from "./panel/protocol.ts";
import { bytesFromBase64, PanelPictures } from "./panel-pictures.ts";

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

/**
 * One panel of one recipe, at the editor's end: does what the page asks, and has it shown pictures (`PanelPictures`) and
 * places of the text.
 */
export class PanelSession {
  readonly #editor: PanelEditor;
  #ready = false;
  #visible = true;
  readonly #pictures: PanelPictures;
  /** For the page, which is not there yet. */
  readonly #waiting: ToPage[] = [];
  /** Where the panel put the cursor: its coming there is no news to the panel. */
  #echo: string | undefined;
  readonly #gone = new AbortController();

  constructor(editor: PanelEditor) {
    this.#editor = editor;
    this.#pictures = new PanelPictures({
      post: (message) => this.#post(message),
      preview: (params, signal) => this.#request("platewright/preview", params, signal),
      version: () => editor.version(),
      say: (message) => editor.say(message),
    });
  }

  /** Asks for the first picture, which is made while the page still loads. */
  start(): void {
    this.#pictures.start();
  }

  /** The recipe's text has changed. */
  textChanged(): void {
    this.#pictures.textChanged();
  }

  /** Something else has: the shop file, the artwork, trust. */
  filesChanged(): void {
    this.#pictures.filesChanged();
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
      this.#pictures.show();
      return;
    }
    // What waited for the page was never held by it.
    this.#pictures.hide(this.#ready);
    this.#waiting.length = 0;
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
    this.#pictures.dispose();
  }

  /** Does what the page asks for. */
  async received(message: FromPage): Promise<void> {
    switch (message.kind) {
      case "ready":
        return this.#started();
      case "want":
        return this.#pictures.want(message.committed, message.crop);
      case "edit":
        this.#pictures.written();
        return this.#edit(message.edit);
      case "try":
        return this.#pictures.try(message.edit);
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
    if (this.#ready) this.#pictures.forget();
    this.#ready = true;
    for (const message of this.#waiting.splice(0)) this.#editor.post(message);
    this.#pictures.pageStarted();
  }

  #post(message: ToPage): void {
    if (this.#ready) this.#editor.post(message);
    else this.#waiting.push(message);
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
      return bytesFromBase64(png);
    });
  }

  #request<T>(method: string, params: object, signal: AbortSignal = this.#gone.signal): Promise<T> {
    return this.#editor.request<T>(method, { uri: this.#editor.uri, ...params }, signal);
  }
}

function placeKey({ line, character }: PanelRange["start"]): string {
  return `${line}:${character}`;
}
