import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import type { Browser, Frame, Page } from "playwright-core";
import { TextDocument } from "vscode-languageserver-textdocument";
import { type WebSocket, WebSocketServer } from "ws";
import type { FromPage, ToPage } from "../../../client/panel/protocol.ts";
import type { Store } from "../../../client/panel/store.ts";
import { panelHtml } from "../../../client/panel-html.ts";
import { type PanelEditor, PanelSession } from "../../../client/panel-session.ts";
import type { PanelRange, PreviewResult, WayOut } from "../../../server/wire/panel.ts";
import { TestClient, until } from "../../lsp/client.ts";
import { PACK_IN_PAGE, packed, unpacked } from "./bytes.ts";
import { questionsTo } from "./played-editor.ts";
import { type Theme, themeCss } from "./themes.ts";

const root = fileURLToPath(new URL("../../..", import.meta.url));

export interface PanelOptions {
  /** Folder with the recipe; a copy of the samples without it. */
  readonly folder?: string;
  /** The recipe, from the folder. */
  readonly file?: string;
  readonly theme?: Theme;
  readonly size?: { readonly width: number; readonly height: number };
  readonly reducedMotion?: boolean;
  /** State that the editor kept from before. */
  readonly state?: unknown;
  readonly trusted?: boolean;
  /** Done with the language server before the page is asked for. */
  readonly before?: (client: TestClient) => Promise<void>;
}

/**
 * A proof panel with everything behind it: the built page in a frame of its own under its own security policy, the
 * panel's session, and the built language server over stdio. Only the editor between them is played.
 */
export class TestPanel {
  readonly page: Page;
  readonly client: TestClient;
  readonly session: PanelSession;
  readonly uri: string;
  readonly folder: string;
  /** What the editor was told to show, say and save. */
  readonly revealed: PanelRange[] = [];
  readonly revealedShop: number[] = [];
  readonly said: string[] = [];
  readonly went: WayOut[] = [];
  readonly outputs: string[] = [];
  readonly saved: { readonly name: string; readonly bytes: Uint8Array }[] = [];
  /** Messages to and from the page, by kind; pictures without their bytes. */
  readonly sent: ToPage[] = [];
  readonly received: FromPage[] = [];
  /** Errors and refusals that the browser noted. */
  readonly complaints: string[] = [];
  document: TextDocument;
  /** Texts to go back to. */
  readonly undo: string[] = [];
  frame!: Frame;
  /** When the page was asked for. */
  shownAt: number | undefined;
  #socket: WebSocket | undefined;
  readonly #server: Server;
  readonly #made: string | undefined;

  private constructor(
    page: Page,
    client: TestClient,
    server: Server,
    uri: string,
    folder: string,
    made?: string,
  ) {
    this.page = page;
    this.client = client;
    this.uri = uri;
    this.folder = folder;
    this.#server = server;
    this.#made = made;
    this.document = TextDocument.create(
      uri,
      "separation-recipe",
      1,
      readFileSync(fileURLToPath(uri), "utf8"),
    );
    this.session = new PanelSession(this.#editor());
    client.connection.onNotification("platewright/changed", () => this.session.filesChanged());
    page.on("console", (message) => {
      if (message.type() === "error" || message.type() === "warning") this.complaints.push(message.text());
    });
    page.on("pageerror", (error) => this.complaints.push(error.message));
  }

  static async open(browser: Browser, options: PanelOptions = {}): Promise<TestPanel> {
    const made = options.folder === undefined ? mkdtempSync(join(tmpdir(), "platewright-panel-")) : undefined;
    if (made) cpSync(`${root}samples`, made, { recursive: true });
    const folder = options.folder ?? made!;
    const uri = pathToFileURL(join(folder, options.file ?? "night-garden/night-garden.sep.yaml")).href;
    const client = new TestClient();
    // The session asks for what it needs: measuring would only make it wait.
    client.settings = { measure: false };
    await client.start(folder, {}, { readArtwork: options.trusted !== false });
    const page = await browser.newPage({
      viewport: options.size ?? { width: 1180, height: 800 },
      reducedMotion: options.reducedMotion ? "reduce" : "no-preference",
    });
    // Patience for a machine that has much else to do.
    page.setDefaultTimeout(60_000);
    const server = createServer();
    const panel = new TestPanel(page, client, server, uri, folder, made);
    await client.open(uri, panel.document.getText());
    await options.before?.(client);
    await panel.#serve(options);
    return panel;
  }

  async close(): Promise<void> {
    this.session.dispose();
    await this.page.close();
    this.#socket?.terminate();
    this.#server.closeAllConnections();
    this.#server.close();
    this.client.process.kill();
    if (this.#made) rmSync(this.#made, { recursive: true, force: true });
  }

  get text(): string {
    return this.document.getText();
  }

  /** What the page was sent about the text, so far. */
  get previews(): PreviewResult<Uint8Array>[] {
    return this.sent.flatMap((message) => (message.kind === "preview" ? [message.result] : []));
  }

  /** Waits for the next large picture on the screen: when that was, on this process's clock. */
  async nextPainted(): Promise<number> {
    const at = await new Promise<number>((resolve) => {
      this.#whenPainted = resolve;
    });
    return at - (await this.#clockAhead());
  }

  #whenPainted: ((at: number) => void) | undefined;
  #ahead: Promise<number> | undefined;

  /** How far the page's clock is ahead of this process's, in milliseconds: as the quickest of some questions says. */
  #clockAhead(): Promise<number> {
    this.#ahead ??= (async () => {
      let quickest = Number.POSITIVE_INFINITY;
      let ahead = 0;
      for (let i = 0; i < 20; i++) {
        const asked = performance.now();
        const there = await this.frame.evaluate(() => performance.timeOrigin + performance.now());
        const took = performance.now() - asked;
        if (took < quickest) {
          quickest = took;
          ahead = there - (asked + took / 2);
        }
      }
      return ahead;
    })();
    return this.#ahead;
  }

  /** Lets go of what was noted so far. */
  forget(): void {
    for (const list of [this.sent, this.received, this.undo, this.revealed]) list.length = 0;
  }

  /** Puts another text into the editor, as typing does. */
  async type(text: string): Promise<void> {
    this.undo.push(this.text);
    await this.#put(text);
  }

  /** Replaces one part of the text by another. */
  change(from: string, to: string): Promise<void> {
    if (!this.text.includes(from)) throw new Error(`the text has no ${from}`);
    return this.type(this.text.replace(from, to));
  }

  /** Takes the latest change back, as the editor does. */
  async undoLast(): Promise<void> {
    await this.#put(this.undo.pop() ?? this.text);
  }

  async #put(text: string): Promise<void> {
    const version = this.document.version + 1;
    this.document = TextDocument.create(this.uri, "separation-recipe", version, text);
    await this.client.change(this.uri, { text });
    this.session.textChanged();
  }

  /** Puts the cursor where `needle` starts. */
  async cursorAt(needle: string): Promise<void> {
    const offset = this.text.indexOf(needle);
    if (offset < 0) throw new Error(`the text has no ${needle}`);
    await this.session.cursorMoved(this.document.positionAt(offset));
  }

  /** Loads the page again, as a window restart does; what the editor kept of it is handed over. */
  async reload(): Promise<void> {
    this.sent.length = 0;
    const frame = this.page.frameLocator("iframe");
    await this.page.evaluate("restart()");
    await frame.locator("picture-view canvas.main").waitFor();
    // The frame that was taken away may stand in the page's list a while longer.
    const inner = await this.page.locator("iframe").elementHandle();
    this.frame = (await inner!.contentFrame())!;
    await this.painted();
  }

  /** Waits until the large picture shows the text as it is. */
  async painted(rest = true): Promise<void> {
    await until(async () => {
      const width = await this.frame
        .locator("picture-view canvas.main")
        .first()
        .evaluate((canvas) => (canvas as HTMLCanvasElement).width)
        .catch(() => 1);
      return width > 1 ? true : undefined;
    });
    if (rest) await this.settled();
  }

  /** Version of the text that the page was told of last. */
  #told = -1;

  readonly #question = questionsTo(() => this.client);
  /** Questions of the session that have no answer yet. */
  #asking = 0;

  /** Waits until the page was told of the text as it is, should it be told at all, and nothing is on its way any more. */
  async settled(): Promise<void> {
    const patience = Date.now() + 3000;
    await until(() => {
      const told = this.#told === this.document.version && this.#asking === 0;
      return told || Date.now() > patience ? true : undefined;
    });
    let last = -1;
    await until(async () => {
      await new Promise((resolve) => setTimeout(resolve, 60));
      await until(() => this.#drained());
      const count = this.sent.length + this.received.length;
      const quiet = count === last;
      last = count;
      return quiet ? true : undefined;
    });
  }

  #marks = 0;

  /** Whether the page has taken all that was sent, and shows it; undefined where it does not answer yet. */
  async #drained(): Promise<true | undefined> {
    const mark = ++this.#marks;
    this.#socket?.send(packed({ kind: "mark", mark }));
    const shown = this.frame.evaluate(async (mark) => {
      const page = window as unknown as { mark?: number };
      const frame = () => new Promise((resolve) => requestAnimationFrame(() => setTimeout(resolve)));
      // A page that came in another's place never hears of this one.
      for (const end = Date.now() + 1000; page.mark !== mark; await frame())
        if (Date.now() > end) return false;
      const { store } = document.querySelector("proof-panel") as unknown as { store: Store };
      await store.receive({ kind: "mark" } as never);
      do for (let i = 0; i < 2; i++) await frame();
      while (!store.renderer.resting);
      return true;
    }, mark);
    return (await shown.catch(() => false)) ? true : undefined;
  }

  /** Pixels of a canvas in the page, RGBA. */
  async pixels(selector: string): Promise<{ width: number; height: number; data: Uint8Array }> {
    const { width, height, base64 } = await this.frame.locator(selector).evaluate(async (element) => {
      const canvas = element as HTMLCanvasElement;
      const { data } = canvas.getContext("2d")!.getImageData(0, 0, canvas.width, canvas.height);
      const reader = new FileReader();
      const url = await new Promise<string>((resolve) => {
        reader.onload = () => resolve(String(reader.result));
        reader.readAsDataURL(new Blob([data]));
      });
      return { width: canvas.width, height: canvas.height, base64: url.slice(url.indexOf(",") + 1) };
    });
    return { width, height, data: Buffer.from(base64, "base64") };
  }

  async screenshot(name: string): Promise<void> {
    await this.page.screenshot({ path: `${root}build/panel/${name}.png` });
  }

  async #serve({ theme = "dark", state }: PanelOptions): Promise<void> {
    const sockets = new WebSocketServer({ server: this.#server });
    sockets.on("connection", (socket) => {
      this.#socket = socket;
      socket.binaryType = "arraybuffer";
      socket.on("message", (data: ArrayBuffer) => {
        const message = unpacked(data) as FromPage;
        if ("painted" in message) {
          this.#whenPainted?.(message.painted as number);
          return;
        }
        this.received.push(message);
        void this.session.received(message);
      });
    });
    this.#server.on("request", ({ url = "/" }, response) => {
      const origin = `http://127.0.0.1:${(this.#server.address() as AddressInfo).port}`;
      const file = /^\/dist\/([a-z.]+)(?:\?.*)?$/.exec(url)?.[1];
      if (file) {
        const type = { js: "text/javascript", css: "text/css", ttf: "font/ttf" }[file.split(".").at(-1)!];
        response.setHeader("content-type", type ?? "application/octet-stream");
        response.end(readFileSync(`${root}dist/panel/${file}`));
      } else {
        response.setHeader("content-type", "text/html; charset=utf-8");
        response.end(url === "/page" ? framed(origin, theme) : hostPage(state));
      }
    });
    await new Promise<void>((resolve) => this.#server.listen(0, "127.0.0.1", resolve));
    const { port } = this.#server.address() as AddressInfo;
    this.shownAt = performance.now();
    this.session.start();
    await this.page.goto(`http://127.0.0.1:${port}/`);
    this.frame = await until(() => this.page.frames()[1]);
  }

  #editor(): PanelEditor {
    return {
      uri: this.uri,
      post: (message) => {
        if (message.kind === "preview") this.#told = message.result.version;
        this.sent.push(message);
        this.#socket?.send(packed(message));
      },
      request: async (...question) => {
        this.#asking++;
        return this.#question<never>(...question).finally(() => this.#asking--);
      },
      version: () => this.document.version,
      apply: async ({ edits }, version) => {
        if (version !== this.document.version) return false;
        await this.type(TextDocument.applyEdits(this.document, [...edits]));
        return true;
      },
      reveal: (range) => {
        this.revealed.push(range);
        void this.session.cursorMoved(range.start);
      },
      revealShop: (_, line) => this.revealedShop.push(line),
      output: (what) => this.outputs.push(what),
      go: (way) => this.went.push(way),
      say: (message) => this.said.push(message),
      save: async (name, bytes) => {
        this.saved.push({ name, bytes: await bytes(new AbortController().signal) });
      },
    };
  }
}

/** The page as it ships, with what an editor puts in front of it: its interface and its theme. */
function framed(origin: string, theme: Theme): string {
  const nonce = "n0nce";
  const html = panelHtml(
    { script: "/dist/panel.js", style: "/dist/panel.css", icons: "/dist/codicon.css", source: origin },
    nonce,
  );
  const api = `window.acquireVsCodeApi = () => ({
    postMessage: (message) => parent.postMessage(message, "*"),
    getState: () => parent.kept,
    setState: (state) => { parent.kept = JSON.parse(JSON.stringify(state)); },
  });
  window.addEventListener("message", ({ data }) => { if (data.kind === "mark") window.mark = data.mark; });
  (${saysWhenPainted.toString()})();`;
  const added = `<style nonce="${nonce}">${themeCss(theme)}</style><script nonce="${nonce}">${api}</script>`;
  return html.replace("</head>", `${added}</head>`);
}

/** In the page. */
function saysWhenPainted(): void {
  void customElements.whenDefined("proof-panel").then(() => {
    const { store } = document.querySelector("proof-panel") as unknown as { store: EventTarget };
    store.addEventListener("painted", () => {
      // A message sent from an animation frame arrives once that frame has been painted.
      requestAnimationFrame(() => {
        const { port1, port2 } = new MessageChannel();
        port1.onmessage = () =>
          window.parent.postMessage({ painted: performance.timeOrigin + performance.now() }, "*");
        port2.postMessage(0);
      });
    });
  });
}

/** The editor's window: a frame for the page, and a socket to this process. */
function hostPage(state: unknown): string {
  return `<!doctype html><title>editor</title>
<style>html, body, iframe { margin: 0; border: 0; width: 100%; height: 100%; display: block; overflow: hidden }</style>
<script>
${PACK_IN_PAGE}
${unpacked.toString()}
window.kept = ${JSON.stringify(state ?? null)} ?? undefined;
const socket = new WebSocket(location.href.replace("http", "ws"));
socket.binaryType = "arraybuffer";
socket.onmessage = ({ data }) => document.querySelector("iframe").contentWindow.postMessage(unpacked(data), "*");
window.onmessage = ({ data }) => socket.send(pack(data));
function restart() {
  document.querySelector("iframe")?.remove();
  const frame = document.createElement("iframe");
  frame.src = "/page";
  document.body.append(frame);
}
socket.onopen = restart;
</script><body></body>`;
}

/** A folder of its own with a recipe and its artwork. */
export function jobFolder(files: Readonly<Record<string, string | Uint8Array>>): string {
  const folder = mkdtempSync(join(tmpdir(), "platewright-panel-"));
  for (const [name, content] of Object.entries(files)) writeFileSync(join(folder, name), content);
  return folder;
}
