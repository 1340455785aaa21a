/** Starts the page: store, renderer, host, and the panel itself. */
import workerSource from "worker:./pixels/render-worker.ts";
import "./elements/proof-panel.ts";
import type { ProofPanel } from "./elements/proof-panel.ts";
import { Renderer } from "./pixels/renderer.ts";
import type { FromPage, ToPage } from "./protocol.ts";
import { type Host, Store } from "./store.ts";

/** What the editor puts into the page. */
interface EditorApi {
  postMessage(message: unknown): void;
  getState(): unknown;
  setState(state: unknown): void;
}
declare function acquireVsCodeApi(): EditorApi;

const KEEP_MS = 200;
const MOST_WORKERS = 4;

const editor = acquireVsCodeApi();
const blob = URL.createObjectURL(new Blob([workerSource], { type: "text/javascript" }));
const renderer = new Renderer(
  () => new Worker(blob),
  Math.max(1, Math.min(MOST_WORKERS, navigator.hardwareConcurrency || 2)),
);

let kept: unknown = editor.getState() ?? {};
let keeping: ReturnType<typeof setTimeout> | undefined;
let keptAt = Number.NEGATIVE_INFINITY;
const keepNow = () => {
  clearTimeout(keeping);
  keptAt = performance.now();
  editor.setState(kept);
};
const host: Host = {
  post: (message: FromPage) => editor.postMessage(message),
  kept: () => kept,
  keep(state) {
    kept = state;
    // While the picture is moved, every frame has a state of its own: the first is kept at once, the last soon.
    clearTimeout(keeping);
    if (performance.now() - keptAt >= KEEP_MS) keepNow();
    else keeping = setTimeout(keepNow, KEEP_MS);
  },
};

window.addEventListener("pagehide", keepNow);

const store = new Store(renderer, host);
const panel = document.createElement("proof-panel") as ProofPanel;
panel.store = store;
document.body.append(panel);
window.addEventListener(
  "message",
  ({ data }: MessageEvent<ToPage | { kind: "recipe"; uri: string; locked: boolean }>) => {
    // Which recipe this panel is of: the editor needs it to bring the panel back after a restart.
    if (data.kind === "recipe") host.keep({ ...(kept as object), uri: data.uri, locked: data.locked });
    else void store.receive(data);
  },
);
host.post({ kind: "ready" });
