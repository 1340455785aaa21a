import { expect, it } from "vitest";
import { colourAt, type EditorWindow, eventually } from "./editor-window.ts";
import { job, PLATE_EMBER, PLATE_SEA, RECIPE } from "./job.ts";
import { useWorkbench } from "./use-workbench.ts";

const workbench = useWorkbench();
const TITLE = "Platewright: Open Proof";

/** A window with the job's recipe and its proof beside it. */
async function opened(): Promise<EditorWindow> {
  const window = await workbench.open(await job());
  await window.openFile("job.sep.yaml");
  await window.run(TITLE);
  await window.proof();
  return window;
}

it("opens beside the recipe, and the picture follows the text", async () => {
  const window = await opened();
  const proof = await window.proof();
  const before = await colourAt(proof, 0.25, 0.5);
  const other = await colourAt(proof, 0.75, 0.5);
  expect(before).not.toBe(other);

  await window.focusText();
  await window.goTo(PLATE_EMBER, "  ember: { ink: ".length + 1);
  await window.typeOverWord("sea");
  await eventually(async () => (await colourAt(proof, 0.25, 0.5)) === other);

  await window.page.keyboard.press("Control+Z");
  await eventually(async () => (await colourAt(proof, 0.25, 0.5)) === before);
});

it("reorders stations in the text, and one undo takes it back", async () => {
  const window = await opened();
  const proof = await window.proof();
  const names = () => proof.locator(".station .name").allInnerTexts();
  const order = async () => (await names()).map((name) => /\S+$/.exec(name)?.[0]).join(" ");
  expect(await order()).toBe("base flash ember sea");

  await proof.locator('[data-plate="sea"]').press("Alt+ArrowUp");
  await eventually(async () => (await order()) === "base flash sea ember");
  await window.focusText();
  await window.save();
  expect(window.onDisk("job.sep.yaml")).toBe(RECIPE.replace("ember, sea]", "sea, ember]"));

  await window.page.keyboard.press("Control+Z");
  await eventually(async () => (await order()) === "base flash ember sea");
  await window.save();
  expect(window.onDisk("job.sep.yaml")).toBe(RECIPE);
});

it("selects a plate by a click on its station, which the text follows, and by the cursor in the text", async () => {
  const window = await opened();
  const proof = await window.proof();
  await proof.locator('[data-plate="ember"]').click();
  await proof.locator('[data-plate="ember"][aria-current="true"]').waitFor();
  await window.page.locator(".active-line-number", { hasText: `${PLATE_EMBER}` }).waitFor();
  await window.focusText();
  await window.goTo(PLATE_SEA, 4);
  await proof.locator('[data-plate="sea"][aria-current="true"]').waitFor();
});

it("stands there again after the window was loaded anew", async () => {
  const window = await opened();
  const before = await colourAt(await window.proof(), 0.25, 0.5);
  await window.reload();
  const proof = await window.proof();
  await eventually(async () => (await colourAt(proof, 0.25, 0.5)) === before);
  await window.tab("Proof job").waitFor();
});

it("draws dots under the glass, by the compiled loops that its policy has to let through", async () => {
  const window = await opened();
  const proof = await window.proof();
  const stage = proof.locator("picture-view .stage");
  // Ten millimetres to the left of the middle, and the glass.
  await stage.press("Shift+ArrowLeft");
  await stage.press("d");
  const solid = await colourAt(proof, 0.25, 0.5);
  await eventually(async () => (await colourAt(proof, 0.5, 0.5, "dot-loupe canvas")) === solid);
});
