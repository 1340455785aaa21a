import { join } from "node:path";
import { expect, it } from "vitest";
import { eventually } from "./editor-window.ts";
import { job, PLATE_SEA, RECIPE } from "./job.ts";
import { useWorkbench } from "./use-workbench.ts";

const workbench = useWorkbench();

it("ticks the walkthrough's steps that were done, and leads to the log and to a check of every recipe", async () => {
  const broken = RECIPE.replace("ink: sea", "ink: sae");
  const window = await workbench.open({ ...(await job(broken)), "other.sep.yaml": broken });
  const { page } = window;
  const steps = page.locator(".gettingStartedContainer .getting-started-step");
  const done = async () => {
    const ticked = steps.filter({ has: page.locator(".codicon.complete") });
    return (await ticked.allInnerTexts()).map((step) => step.split("\n")[0]);
  };
  await window.openFile("job.sep.yaml");
  await window.run("Platewright: Open Walkthrough");
  await steps.nth(4).waitFor();
  expect(await done()).toEqual([]);

  await window.openFile("job.sep.yaml");
  await page.locator(".squiggly-error").first().waitFor();
  await window.goTo(PLATE_SEA, "  sea: { ink: s".length);
  await window.chooseFix("sea");
  await page.locator(".squiggly-error").first().waitFor({ state: "detached" });
  await window.run("Platewright: Open Proof");
  await window.proof();
  await window.focusText();
  await window.run("Platewright: Save Job Ticket…");
  await window.answerPath(join(window.folder, "ticket.html"));
  await page.getByRole("button", { name: "Open", exact: true }).waitFor();
  await window.run("Platewright: Open Walkthrough");
  await eventually(async () => (await done()).length === 3);
  expect(await done()).toEqual(["See the proof while you type", "Mend a finding", "Send films"]);
  await window.picture("walkthrough");

  await window.run("Platewright: Show Log");
  await page.locator(".part.panel .action-item.checked", { hasText: "Output" }).waitFor();
  await window.picture("log");
  await window.run("Platewright: Check All Recipes");
  await window.run("Problems: Focus on Problems View");
  const problems = page.locator(".markers-panel .monaco-list-row");
  await problems.filter({ hasText: "other.sep.yaml" }).waitFor();
  await problems.filter({ hasText: 'there is no ink "sae"' }).waitFor();
  await window.picture("check-all");
});
