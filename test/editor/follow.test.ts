import { expect, it } from "vitest";
import { again, colourAt, eventually } from "./editor-window.ts";
import { job, RECIPE } from "./job.ts";
import { useWorkbench } from "./use-workbench.ts";

const workbench = useWorkbench();

it("one proof follows the text, a lock keeps it, and what is opened from the panel's side opens left of it", async () => {
  const other = RECIPE.replace("Two halves", "Blue alone").replace(", ember, sea]", ", sea]");
  const window = await workbench.open({ ...(await job()), "other.sep.yaml": other });
  await window.openFile("job.sep.yaml");
  await window.run("Platewright: Open Proof");
  await window.proof();
  const panels = window.tab("Proof ");
  await window.tab("Proof job").waitFor();

  // Another recipe: the same panel.
  await window.openFile("other.sep.yaml");
  await window.tab("Proof other").waitFor();
  expect(await panels.count()).toBe(1);

  // With the keyboard in the panel a file opens on the text's side, and the status bar still counts.
  await window.tab("Proof other").click();
  await window.statusItem.waitFor();
  await window.openFile("job.sep.yaml");
  await window.tab("Proof job").waitFor();
  const left = window.page.locator(".editor-group-container").first();
  await left.locator(".tab.active", { hasText: "job.sep.yaml" }).waitFor();

  // Kept: the other recipe gets a panel of its own.
  const kept = window.page.locator('.action-label[aria-label^="Let the Proof Follow the Text"]').first();
  await again(async (within) => {
    if (await kept.isVisible()) return;
    await window.tab("Proof job").click(within);
    await window.run("Platewright: Keep This Proof");
    await kept.waitFor(within);
  });
  await window.focusText();
  await window.openFile("other.sep.yaml");
  await window.run("Platewright: Open Proof");
  await eventually(async () => (await panels.count()) === 2);
  await window.picture("kept");

  // Hidden and shown again, films and picture are there.
  await window.tab("Proof job").click();
  const proof = await window.proof();
  await eventually(async () => (await colourAt(proof, 0.25, 0.5)) !== (await colourAt(proof, 0.75, 0.5)));
  await eventually(
    async () =>
      (await proof
        .locator("plate-thumbnail canvas")
        .first()
        .evaluate((c) => (c as HTMLCanvasElement).width)) > 1,
  );
});
