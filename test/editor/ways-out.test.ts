import { rmSync, writeFileSync } from "node:fs";
import { basename, join } from "node:path";
import { expect, it } from "vitest";
import { put } from "../cli/program.ts";
import { eventually } from "./editor-window.ts";
import { job, RECIPE, SHOP } from "./job.ts";
import { useWorkbench } from "./use-workbench.ts";

const workbench = useWorkbench();
const LINE = RECIPE.split("\n").findIndex((line) => line.startsWith("artwork:")) + 1;
const AT_FILE = "artwork: { file: a".length;

it("every failure of a file has a finding, a sentence and a way out", async () => {
  const files = await job(RECIPE.replace("art.png", "readme.txt"));
  const window = await workbench.open({
    ...files,
    "readme.txt": "No picture.\n",
    "other/art.png": files["art.png"]!,
  });
  await window.openFile("job.sep.yaml");
  await window.run("Platewright: Open Proof");
  const panel = await window.panel();
  const notices = panel.getByRole("region", { name: "Notices" });

  // A file that is no picture: in the panel, in the text and in the status bar.
  await notices.getByRole("button", { name: "Choose artwork…" }).waitFor();
  await window.page.locator(".squiggly-error").first().waitFor();
  await window.statusItem.locator(".codicon-error").waitFor();
  await window.picture("odd-artwork");

  // A file that is not there: one of nearly that name.
  put(window.folder, "job.sep.yaml", RECIPE.replace("art.png", "rat.png"));
  await eventually(async () => (await window.lines()).join("\n").includes("rat.png"));
  await window.focusText();
  await window.goTo(LINE, AT_FILE);
  await window.chooseFix("Write art.png");
  await window.proof();
  await window.page.locator(".squiggly-error").first().waitFor({ state: "detached" });
  await window.save();
  expect(window.onDisk("job.sep.yaml")).toBe(RECIPE);

  // Another file, chosen from the panel.
  put(window.folder, "job.sep.yaml", RECIPE.replace("art.png", "readme.txt"));
  await notices.getByRole("button", { name: "Choose artwork…" }).click();
  await window.answerPath(join(window.folder, "other", "art.png"));
  await eventually(async () => (await notices.innerText()) === "");
  await window.focusText();
  await eventually(async () => (await window.lines()).join("\n").includes("file: other/art.png"));
  await window.save();

  // A shop file outside of the workspace: films and the inks at hand, and a button.
  const shop = SHOP.replace("shop: 1\n", "shop: 1\n# beside the folder\n");
  const outside = `${window.folder}.shop.yaml`;
  writeFileSync(outside, shop);
  try {
    put(window.folder, "job.sep.yaml", RECIPE.replace("small.shop.yaml", `../${basename(outside)}`));
    await notices.getByText("Not in this proof: white, ember and sea").waitFor();
    await window.picture("shop-outside");
    await notices.getByRole("button", { name: "Read this shop file" }).click();
    await eventually(async () => (await notices.innerText()) === "");
    await window.statusItem.locator(".codicon-check").waitFor();
  } finally {
    rmSync(outside);
  }
});
