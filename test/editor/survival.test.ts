import { expect, inject, it } from "vitest";
import { colourAt, eventually, found } from "./editor-window.ts";
import { job, PLATE_EMBER, PLATE_SEA, RECIPE, TRAP } from "./job.ts";
import { useWorkbench } from "./use-workbench.ts";
import { nativeModulesOf, processesOf } from "./workbench.ts";

const workbench = useWorkbench();
const running = (program: string) => processesOf(inject("workbench"), program);
/** The one process that runs a program, another one than `before`. */
const another = (program: string, before?: number) =>
  found(() => {
    const [pid, ...more] = running(program).filter((pid) => pid !== before);
    return more.length === 0 ? pid : undefined;
  });

it("starts the server again when it was killed, says so, and keeps what was typed", async () => {
  const window = await workbench.open(await job());
  await window.openFile("job.sep.yaml");
  await window.statusItem.filter({ hasText: "4/6 stations" }).waitFor();
  const server = await another("platewright.js");
  await window.goTo(PLATE_SEA, "  sea: { ink: ".length + 1);
  await window.typeOverWord("sae");
  await window.page.locator(".squiggly-error").first().waitFor();

  process.kill(server, "SIGKILL");
  await window.notifications
    .filter({ hasText: "The Platewright server stopped and is started again" })
    .waitFor();
  await another("platewright.js", server);
  expect((await window.lines())[PLATE_SEA - 1]).toContain("ink: sae");
  // The new server knows the text that was never saved.
  await window.goTo(PLATE_SEA, "  sea: { ink: ".length + 1);
  await window.typeOverWord("sea");
  await window.page.locator(".squiggly-error").first().waitFor({ state: "detached" });
  await window.goTo(PLATE_EMBER, "  ember: { ink: ".length + 1);
  await window.typeOverWord("embre");
  await window.page.locator(".squiggly-error").first().waitFor();
  await window.save();
  expect(window.onDisk("job.sep.yaml")).toBe(RECIPE.replace("ink: ember", "ink: embre"));
});

it("starts the picture decoder again when it was killed, says so, and the picture follows the text", async () => {
  const window = await workbench.open(await job());
  await window.openFile("job.sep.yaml");
  await window.run("Platewright: Open Proof");
  const proof = await window.proof();
  const other = await colourAt(proof, 0.75, 0.5);
  const server = await another("platewright.js");
  const decoder = await another("measure-process.js");

  // Held, so that it dies over a question; that was put once the panel has an answer to a later one.
  process.kill(decoder, "SIGSTOP");
  await window.focusText();
  // Another ink alone would need no plate made.
  await window.goTo(TRAP, "  - { plate: base, choke: 0.2".length + 1);
  await window.page.keyboard.insertText("5");
  await window.goTo(PLATE_EMBER, "  ember: { ink: ".length + 1);
  await window.typeOverWord("sea");
  await window.goTo(PLATE_SEA, 4);
  await proof.locator('[data-plate="sea"][aria-current="true"]').waitFor();
  process.kill(decoder, "SIGKILL");
  await proof.getByText("the process that reads artwork stopped").waitFor();
  expect((await window.lines())[PLATE_EMBER - 1]).toContain("ink: sea");

  await window.goTo(1, "recipe: 1".length + 1);
  await window.page.keyboard.insertText(" ");
  await eventually(async () => (await colourAt(proof, 0.25, 0.5)) === other);
  await another("measure-process.js", decoder);
  expect(running("platewright.js")).toEqual([server]);
});

it("runs no native module", async () => {
  const window = await workbench.open(await job());
  await window.openFile("job.sep.yaml");
  await window.run("Platewright: Open Proof");
  await window.proof();
  const server = await another("platewright.js");
  const decoder = await another("measure-process.js");
  expect([server, decoder].flatMap(nativeModulesOf)).toEqual([]);
});
