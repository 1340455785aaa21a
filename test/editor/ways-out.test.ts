import { join } from "node:path";
import { expect, it } from "vitest";
import { eventually } from "./editor-window.ts";
import { job, RECIPE } from "./job.ts";
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
  await window.focusText();
  await window.goTo(LINE, AT_FILE);
  await window.page.keyboard.press("Control+Shift+ArrowRight");
  await window.page.keyboard.insertText("rat");
  await window.page.keyboard.press("Control+Shift+ArrowRight");
  await window.page.keyboard.press("Control+Shift+ArrowRight");
  await window.page.keyboard.insertText(".png");
  await eventually(async () => (await window.lines())[LINE - 1]?.includes("rat.png") ?? false);
  await window.goTo(LINE, AT_FILE);
  await window.chooseFix("Write art.png");
  await window.proof();
  await window.page.locator(".squiggly-error").first().waitFor({ state: "detached" });

  // Another file, chosen from the panel.
  await window.save();
  expect(window.onDisk("job.sep.yaml")).toBe(RECIPE);
  await window.page.keyboard.press("Control+Z");
  await notices.getByRole("button", { name: "Choose artwork…" }).click();
  await window.answerPath(join(window.folder, "other", "art.png"));
  await eventually(async () => (await window.lines())[LINE - 1]?.includes("other/art.png") ?? false);
  await eventually(async () => (await notices.innerText()) === "");
});
