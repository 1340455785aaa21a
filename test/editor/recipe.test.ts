import { expect, it } from "vitest";
import { eventually } from "./editor-window.ts";
import { job, PLATE_SEA, RECIPE } from "./job.ts";
import { useWorkbench } from "./use-workbench.ts";

const workbench = useWorkbench();

it("wakes on a recipe: stations in the status bar, no finding", async () => {
  const window = await workbench.open(await job());
  await window.openFile("job.sep.yaml");
  await window.statusItem.filter({ hasText: "4/6 stations" }).waitFor();
  // With the decoder's figures: coverage stands behind each plate.
  await window.page.locator(".view-line", { hasText: "base:" }).filter({ hasText: "%" }).waitFor();
  await window.statusItem.locator(".codicon-check").waitFor();
});

it("shows a finding, and a quick fix mends it", async () => {
  const window = await workbench.open(await job(RECIPE.replace("ink: sea", "ink: sae")));
  await window.openFile("job.sep.yaml");
  await window.page.locator(".squiggly-error").first().waitFor();
  await window.run("Problems: Focus on Problems View");
  await window.page
    .locator(".markers-panel .monaco-list-row", { hasText: 'there is no ink "sae"' })
    .waitFor();

  await window.openFile("job.sep.yaml");
  await window.goTo(PLATE_SEA, "  sea: { ink: s".length);
  await window.chooseFix("sea");
  await window.page.locator(".squiggly-error").first().waitFor({ state: "detached" });
  await window.save();
  expect(window.onDisk("job.sep.yaml")).toBe(RECIPE);
});

it("completes an ink from the shop's ink library", async () => {
  const window = await workbench.open(await job(RECIPE.replace("ink: sea", "ink: ")));
  await window.openFile("job.sep.yaml");
  await window.statusItem.filter({ hasText: "stations" }).waitFor();
  await window.goTo(PLATE_SEA, "  sea: { ink: ".length + 1);
  const sea = window.page.locator(".suggest-widget .monaco-list-row", { hasText: "sea" }).first();
  await window.pressFor("Control+Space", sea);
  await window.page.keyboard.type("se");
  await window.page.locator(".suggest-widget .monaco-list-row.focused", { hasText: "sea" }).waitFor();
  await window.page.keyboard.press("Enter");
  await window.save();
  expect(window.onDisk("job.sep.yaml")).toBe(RECIPE);
});

it("renames an ink in the shop file and in every recipe, open or not", async () => {
  const window = await workbench.open({ ...(await job()), "other.sep.yaml": RECIPE });
  await window.openFile("job.sep.yaml");
  await window.statusItem.filter({ hasText: "4/6 stations" }).waitFor();
  await window.goTo(PLATE_SEA, "  sea: { ink: s".length);
  const name = window.page.locator(".rename-box input");
  await window.pressFor("F2", name);
  await name.fill("ocean");
  await name.press("Enter");
  await eventually(() => window.onDisk("other.sep.yaml").includes("ink: ocean"));
  await eventually(() => window.onDisk("small.shop.yaml").includes("\n  ocean: {"));
  await eventually(() => window.onDisk("job.sep.yaml").includes("ink: ocean"));
  // The plate of the same name is another thing.
  expect(window.onDisk("job.sep.yaml")).toBe(RECIPE.replace("ink: sea", "ink: ocean"));
});

it("an empty recipe offers an outline", async () => {
  const window = await workbench.open({ "new.sep.yaml": "", "art.png": (await job())["art.png"]! });
  await window.openFile("new.sep.yaml");
  await window.page.locator(".statusbar-item", { hasText: "Separation recipe" }).waitFor();
  await window.page.locator(".squiggly-error").first().waitFor();
  await window.chooseFix("outline");
  await eventually(async () => (await window.lines()).some((line) => line.startsWith("plates:")));
});
