/**
 * The process that reads artwork and makes plates for the language server: whatever a broken picture does to a
 * decoder, the server and the text that it holds live on. Speaks over Node's message channel.
 */
import { setImmediate } from "node:timers/promises";
import { parseDocument } from "../language/document.ts";
import { resolveRecipe } from "../language/recipe.ts";
import { measurementsOf, previewPrint } from "../render/measure.ts";
import { lookAtPixels } from "../rules/check.ts";
import type { MeasureAnswer, MeasureMessage } from "./measurer.ts";

const running = new Map<number, AbortController>();

process.on("message", (message: MeasureMessage) => {
  if (message.kind === "cancel") running.get(message.id)?.abort(new Error("cancelled"));
  else void answer(message);
});
// The server is gone: so is the work.
process.on("disconnect", () => process.exit(0));

async function answer(message: Extract<MeasureMessage, { kind: "measure" }>): Promise<void> {
  const { id, recipe, shop, artworkFile } = message;
  const controller = new AbortController();
  running.set(id, controller);
  const reply = (result: MeasureAnswer) => process.send?.(result);
  try {
    const resolved = resolveRecipe(
      parseDocument("recipe", recipe, "recipe"),
      shop === undefined ? undefined : parseDocument("shop", shop, "shop"),
    );
    const pace = async () => {
      // Lets a message that cancels come in.
      await setImmediate();
      controller.signal.throwIfAborted();
    };
    const print = await previewPrint(resolved, artworkFile, pace, controller.signal);
    const measurements = await measurementsOf(print);
    const marks = await lookAtPixels(print, pace);
    reply({ id, measurements, marks });
  } catch (error) {
    reply({ id, error: error instanceof Error ? error.message : String(error) });
  } finally {
    running.delete(id);
  }
}
