import { afterAll, beforeAll, expect, it } from "vitest";
import { job, PLATE_SEA, RECIPE } from "./job.ts";
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
  await window.goTo(PLATE_SEA, "  sea: { ink: ".length + 1);
  await window.typeOverWord("sea");
  await window.page.locator(".squiggly-error").first().waitFor({ state: "detached" });

  await window.run("Platewright: Open Proof");
  const panel = await window.panel();
  await panel.getByText("this workspace is not trusted").first().waitFor();
  expect(processesOf(restricted, "platewright.js")).toHaveLength(1);
  expect(processesOf(restricted, "measure-process.js")).toEqual([]);

  await window.run("Workspaces: Manage Workspace Trust");
  await window.page.getByRole("button", { name: "Trust", exact: true }).click();
  await window.proof();
  expect(processesOf(restricted, "measure-process.js")).toHaveLength(1);
});
