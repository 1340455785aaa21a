/**
 * The process that reads artwork and makes plates for the language server: whatever a broken picture does to a
 * decoder, the server and the text that it holds live on. Speaks over Node's message channel.
 */
import { parseDocument } from "../language/document.ts";
import { resolveRecipe } from "../language/recipe.ts";
import { measure } from "../render/measure.ts";
import type { MeasureAnswer, MeasureMessage } from "./measurer.ts";

const running = new Map<number, AbortController>();

process.on("message", (message: MeasureMessage) => {
  if (message.kind === "cancel") running.get(message.id)?.abort(new Error("cancelled"));
  else void answer(message);
});
// The server is gone: so is the work.
process.on("disconnect", () => process.exit(0));

async function answer(message: Extract<MeasureMessage, { kind: "measure" }>): Promise<void> {
  const { id, recipe, shop, readings, artworkFile } = message;
  const controller = new AbortController();
  running.set(id, controller);
  const reply = (result: MeasureAnswer) => process.send?.(result);
  try {
    const resolved = resolveRecipe(
      parseDocument("recipe", recipe, "recipe"),
      shop === undefined ? undefined : parseDocument("shop", shop, "shop"),
      readings,
    );
    const { artworkPpi, plates } = await measure(resolved, artworkFile, controller.signal);
    reply({ id, artworkPpi, plates: [...plates] });
  } catch (error) {
    reply({ id, error: error instanceof Error ? error.message : String(error) });
  } finally {
    running.delete(id);
  }
}
