import { afterAll, beforeAll, expect, it } from "vitest";
import { job, RECIPE } from "./job.ts";
import { useWorkbench } from "./use-workbench.ts";
import { processesOf, startWorkbench } from "./workbench.ts";

const workbench = useWorkbench();
let restricted: Awaited<ReturnType<typeof startWorkbench>>;
beforeAll(async () => {
  restricted = await startWorkbench("ask");
});
afterAll(() => restricted?.close());

it("checks a recipe in a restricted workspace without reading artwork, and reads it once trusted", async () => {
  const window = await workbench.open(await job(RECIPE.replace("ink: sea", "ink: sae")), restricted);
  await window.openFile("job.sep.yaml");
  await window.page.locator(".squiggly-error").first().waitFor();
  await window.goTo(RECIPE.split("\n").findIndex((line) => line.startsWith("  sea:")) + 1, 15);
  await window.page.keyboard.press("Shift+End");
  await window.typeOverRest("sea, extract: { near: '#3a4fa0', within: 10 } }");
});
