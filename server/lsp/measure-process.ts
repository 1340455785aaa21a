/**
 * The process that reads artwork and makes plates for the language server: whatever a broken picture does to a
 * decoder, the server and the text that it holds live on. Speaks over Node's message channel.
 */
import { setImmediate } from "node:timers/promises";
import { endWithParent } from "../artwork/parent-watch.ts";
import { committedArtwork } from "../jobs/commit.ts";
import { nearerPlates } from "../jobs/nearer-plates.ts";
import { proofPng } from "../jobs/proof.ts";
import { unfit } from "../jobs/tune.ts";
import { whatIsLeft } from "../jobs/what-is-left.ts";
import { parseDocument } from "../language/document.ts";
import type { Recipe } from "../language/recipe.ts";
import { resolveRecipe } from "../language/resolve-recipe.ts";
import { type ArtworkSource, readForPlates } from "../render/artworks.ts";
import { measure } from "../render/measure.ts";
import { plateSources } from "../render/plate-sources.ts";
import { preview } from "../render/preview.ts";
import { previewPrint } from "../render/print.ts";
import { StageCache } from "../render/stage-cache.ts";
import { lookAtPixels } from "../rules/check.ts";
import type { LeftOver } from "../wire/panel.ts";
import type {
  Measured,
  MeasureRequest,
  PreviewWork,
  ProofWork,
  WorkMessage,
  WorkResult,
} from "./work-messages.ts";

/** Stages of the recipes looked at last: a job of a dozen plates at preview size takes about 60 MB. */
const CACHE_BYTES = 256_000_000;

/** Pixels of which it is told why they are off: a second of work. */
const LEFT_PIXELS = 300;

const cache = new StageCache(CACHE_BYTES);
const running = new Map<number, AbortController>();

process.on("message", (message: WorkMessage) => {
  const { id } = message;
  if (message.kind === "cancel") running.get(id)?.abort(new Error("cancelled"));
  else void answer(id, (signal) => done(message, signal));
});
// The server is gone: so is the work.
process.on("disconnect", () => process.kill(process.pid, "SIGKILL"));
endWithParent();

function done(message: Exclude<WorkMessage, { kind: "cancel" }>, signal: AbortSignal): Promise<unknown> {
  switch (message.kind) {
    case "measure":
      return measured(message.work, signal);
    case "preview":
      return previewed(message.work, signal);
    case "proof":
      return proved(message.work, turns(signal));
    case "nearer":
      return nearer(message.work, signal);
    case "left":
      return left(message.work, signal);
  }
}

async function measured(work: MeasureRequest, signal: AbortSignal): Promise<Measured> {
  const recipe = recipeOf(work);
  const source = await sourceOf(work, recipe);
  const measurements = await measure(recipe, source, cache, signal);
  const print = await previewPrint(recipe, source, cache, signal);
  const marks = await lookAtPixels(print, turns(signal));
  return { measurements, marks };
}

async function nearer(work: MeasureRequest, signal: AbortSignal): Promise<ReadonlyMap<string, number>> {
  const recipe = recipeOf(work);
  const { artwork } = await previewPrint(recipe, await sourceOf(work, recipe), cache, signal);
  const doc = parseDocument("recipe", work.recipe, "recipe");
  return nearerPlates(doc, recipe, artwork, turns(signal));
}

async function left(work: MeasureRequest, signal: AbortSignal): Promise<LeftOver> {
  const recipe = recipeOf(work);
  const reason = unfit(recipe);
  if (reason !== undefined) return { garments: [], most: reason };
  const { artwork } = await previewPrint(recipe, await sourceOf(work, recipe), cache, signal);
  const garments = new Map([...recipe.garments.keys()].map((name) => [name, 1]));
  return whatIsLeft(recipe, artwork, garments, LEFT_PIXELS, turns(signal));
}

async function proved(work: ProofWork, turn: () => Promise<void>): Promise<Uint8Array> {
  const recipe = recipeOf(work);
  const artwork = await readForPlates(recipe, await sourceOf(work, recipe));
  return (await proofPng(recipe, artwork, work, { plates: turn, proof: turn })).png;
}

/** Lets a panel's questions, and a message that cancels, come in. */
function turns(signal: AbortSignal): () => Promise<void> {
  return async () => {
    await setImmediate();
    signal.throwIfAborted();
  };
}

async function sourceOf(
  { artworkFile, plateFiles = {}, within }: MeasureRequest,
  recipe: Recipe,
): Promise<ArtworkSource> {
  const plates = await plateSources(recipe, async (path) => ({ file: plateFiles[path] ?? path }));
  return { file: artworkFile, within, plates };
}

function recipeOf({ recipe, shop, readings }: MeasureRequest): Recipe {
  return resolveRecipe(
    parseDocument("recipe", recipe, "recipe"),
    shop === undefined ? undefined : parseDocument("shop", shop, "shop"),
    readings,
  );
}

function previewed({ artwork, ...rest }: PreviewWork, signal: AbortSignal) {
  const { blob, plates = [], ...onDisk } = artwork;
  const { file, within, view } = onDisk;
  const picture = blob === undefined ? onDisk : { ...committedArtwork(file, blob, within), view };
  const source = {
    ...picture,
    plates: plates.map(({ blob, ...plate }) => ({
      ...plate,
      stored: blob === undefined ? undefined : committedArtwork(plate.file, blob, within).stored,
    })),
  };
  return preview({ ...rest, source }, cache, signal);
}

async function answer(id: number, work: (signal: AbortSignal) => Promise<unknown>): Promise<void> {
  const controller = new AbortController();
  running.set(id, controller);
  const reply = (result: WorkResult) => process.send?.(result);
  try {
    reply({ id, result: await work(controller.signal) });
  } catch (error) {
    reply({ id, error: error instanceof Error ? error.message : String(error) });
  } finally {
    running.delete(id);
  }
}
