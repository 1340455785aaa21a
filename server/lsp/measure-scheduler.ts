import type { CancellationToken } from "vscode-languageserver/node";
import { filesOf } from "../language/project.ts";
import type { Measurer } from "./measurer.ts";
import { artworkOf, plateFilesOf } from "./pictures.ts";
import type { Measured, MeasureRequest } from "./work-messages.ts";
import type { Workspace } from "./workspace.ts";

const NOT_MEASURED: Measured = { measurements: { artworkPpi: undefined, plates: new Map() }, marks: [] };

/** How long typing must rest before pixels are looked at. */
const REST_MS = 400;
/** Work shorter than this shows no progress. */
const PATIENCE_MS = 1000;

/** What the scheduler asks of the server, and tells it. */
export interface MeasureSchedulerHost {
  wanted(): boolean;
  progress(title: string): Promise<{ done(): void; readonly cancelled?: CancellationToken }>;
  measured(uri: string): void;
  failed(uri: string, message: string): void;
}

/** Measures open recipes after typing pauses. A new change ends the measurement under way. */
export class MeasureScheduler {
  /** False in a workspace that is not trusted. */
  allowed = true;
  readonly #workspace: Workspace;
  readonly #measurer: Measurer;
  readonly #host: MeasureSchedulerHost;
  readonly #running = new Map<string, AbortController>();

  constructor(workspace: Workspace, measurer: Measurer, host: MeasureSchedulerHost) {
    this.#workspace = workspace;
    this.#measurer = measurer;
    this.#host = host;
  }

  changed(uri: string): void {
    this.closed(uri);
    if (!this.allowed || !this.#host.wanted()) return;
    const controller = new AbortController();
    this.#running.set(uri, controller);
    const timer = setTimeout(() => void this.#measure(uri, controller), REST_MS);
    timer.unref();
    controller.signal.addEventListener("abort", () => clearTimeout(timer));
  }

  closed(uri: string): void {
    this.#running.get(uri)?.abort();
    this.#running.delete(uri);
  }

  dispose(): void {
    for (const controller of this.#running.values()) controller.abort();
  }

  async #measure(uri: string, controller: AbortController): Promise<void> {
    const asked = await measureRequest(this.#workspace, uri);
    if (!asked) return;
    const { request, artwork } = asked;

    let progress: Awaited<ReturnType<MeasureSchedulerHost["progress"]>> | undefined;
    const patience = setTimeout(async () => {
      progress = await this.#host.progress("Measuring plates");
      progress.cancelled?.onCancellationRequested(() => controller.abort());
      if (!this.#running.has(uri)) progress.done();
    }, PATIENCE_MS);
    try {
      this.#workspace.setMeasured(uri, await this.#measurer.measure(request, controller.signal));
      this.#host.measured(uri);
    } catch (error) {
      if (controller.signal.aborted) return;
      const { message } = error as Error;
      this.#host.failed(uri, message);
      this.#workspace.setMeasured(uri, { ...NOT_MEASURED, problem: { artwork, message } });
      this.#host.measured(uri);
    } finally {
      clearTimeout(patience);
      progress?.done();
      if (this.#running.get(uri) === controller) this.#running.delete(uri);
    }
  }
}

/** What is asked of the measuring process of an open recipe; undefined where nothing can be made of it. */
export async function measureRequest(
  workspace: Workspace,
  uri: string,
): Promise<{ readonly request: MeasureRequest; readonly artwork: string | undefined } | undefined> {
  const model = await workspace.checked(uri);
  const artworkFile = model && artworkOf(model);
  if (!model || artworkFile === undefined || !model.readable) return undefined;
  const { source, shop, readings } = model;
  const request = {
    recipe: source.text,
    shop: shop?.source.text,
    readings,
    artworkFile,
    plateFiles: plateFilesOf(model),
    within: await workspace.files.within(uri),
  };
  return { request, artwork: filesOf(source).artwork };
}
