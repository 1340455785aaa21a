import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { errors, type Frame, type Locator, type Page } from "playwright-core";
import { expect, it } from "vitest";
import { again, eventually, settled } from "./editor-window.ts";
import { useWorkbench } from "./use-workbench.ts";

const workbench = useWorkbench();
const RECIPE = "sample-job/night-garden/night-garden.sep.yaml";
/** More stops of the Tab key than the panel has. */
const MOST_STOPS = 60;

/** Name and classes of what has the keyboard in the panel. */
function focused(panel: Frame): Promise<string> {
  return panel.evaluate(() => {
    let element = document.activeElement;
    while (element?.shadowRoot?.activeElement) element = element.shadowRoot.activeElement;
    return `${element?.getAttribute("aria-label") ?? element?.textContent?.trim()} ${element?.className}`;
  });
}

/** Goes through the panel, on or back from where the keyboard was there last, until this has it. */
async function tabTo(page: Page, panel: Frame, key: "Tab" | "Shift+Tab", name: RegExp): Promise<void> {
  await again(async () => {
    await page.keyboard.press("Control+2");
    await panel.waitForFunction(() => document.hasFocus(), undefined, { timeout: 2000 });
  });
  for (let i = 0; i < MOST_STOPS; i++) {
    if (name.test(await focused(panel))) return;
    await page.keyboard.press(key);
  }
  throw new Error(`no ${name} among ${MOST_STOPS} stops`);
}

/** A digest of the large picture. */
function pictureOf(panel: Frame): Promise<string> {
  return panel.locator("picture-view canvas.main").evaluate(async (element) => {
    const canvas = element as HTMLCanvasElement;
    const { data } = canvas.getContext("2d")!.getImageData(0, 0, canvas.width, canvas.height);
    const digest = await crypto.subtle.digest("SHA-256", data);
    return `${canvas.width} ${new Uint8Array(digest).join(" ")}`;
  });
}

it("README's five minutes, by keys alone", async () => {
  const window = await workbench.open({ "readme.txt": "An empty shop.\n" });
  const { page } = window;
  const { keyboard } = page;
  const recipe = () => readFileSync(join(window.folder, RECIPE), "utf8");
  const widget = page.locator(".quick-input-widget:not(.hidden)");
  /** A question for a place on disk, which the palette before it has not. */
  const asked = widget.locator(".quick-input-action .monaco-button").first();
  /**
   * Answers a question for a place on disk until what it asks for comes: it fills in a place of its own once it has
   * looked at the disk, and may first go to the one that is written.
   */
  const answer = (text: string, came: () => boolean) =>
    again(async (within) => {
      if (came()) return;
      if ((await asked.isVisible()) && (await window.input.inputValue(within)) !== "") {
        await keyboard.press("Control+A");
        await keyboard.type(text);
        if ((await window.input.inputValue(within)) === text) await keyboard.press("Enter");
        await asked.waitFor({ state: "hidden", ...within });
      }
      if (!came()) throw new errors.TimeoutError("it is being made, or asked for once more");
    });
  const command = (title: string, brought: Locator) =>
    again(async (within) => {
      if (await brought.isVisible()) return;
      await keyboard.press("Escape");
      await keyboard.press("F1");
      await window.input.waitFor(within);
      await keyboard.press("Control+A");
      await keyboard.type(`>${title}`);
      await widget.locator(".monaco-list-row.focused", { hasText: title }).waitFor(within);
      await keyboard.press("Enter");
      await brought.waitFor(within);
    });
  /** Selects a piece of the text, the first of its kind. */
  const select = async (before: string, piece: string) => {
    const lines = recipe().split("\n");
    const line = lines.findIndex((text) => text.includes(before + piece));
    const column = lines[line]!.indexOf(before + piece) + before.length + 1;
    await window.focusText();
    await again(async (within) => {
      if (!(await window.input.isVisible())) await keyboard.press("Control+G");
      await window.input.waitFor(within);
      await keyboard.press("Control+A");
      await keyboard.type(`:${line + 1}:${column}`);
      await keyboard.press("Enter");
      await page.locator(".statusbar-item", { hasText: `Ln ${line + 1}, Col ${column}` }).waitFor(within);
    });
    for (const _ of piece) await keyboard.press("Shift+ArrowRight");
  };

  // Copy the sample.
  await command("Platewright: Copy Sample Job…", asked);
  await answer(`${window.folder}/`, () => existsSync(join(window.folder, RECIPE)));
  await window.tab("night-garden.sep.yaml").waitFor();
  const panel = await window.proof();
  await window.statusItem.filter({ hasText: "stations" }).waitFor();

  // Change something, and undo it.
  await settled(panel);
  const before = await pictureOf(panel);
  await select("hue: [23, ", "65");
  await keyboard.type("85");
  await eventually(async () => (await pictureOf(panel)) !== before);
  await keyboard.press("Control+Z");
  await keyboard.press("Control+Z");
  await eventually(async () => (await pictureOf(panel)) === before);

  // Look at a place, and take the shirt along the press.
  await tabTo(page, panel, "Tab", /Proof on black stage/);
  await keyboard.press("ArrowRight");
  await panel.locator("probe-bar .difference b").waitFor();
  await keyboard.press("[");
  await panel.getByText("after station 9 of 10").waitFor();
  await eventually(async () => (await pictureOf(panel)) !== before);
  await keyboard.press("]");
  await eventually(async () => (await pictureOf(panel)) === before);

  // Make a mistake, and mend it.
  await select("order: [base, flash, ", "gold");
  await keyboard.type("godl");
  await page.locator(".squiggly-error").first().waitFor();
  const fix = page.locator(".action-widget .monaco-list-row", { hasText: "gold" }).first();
  await window.pressFor("Control+.", fix);
  await keyboard.press("Enter");
  await page.locator(".squiggly-error").first().waitFor({ state: "detached" });

  // A smaller print, whose films are soon made.
  await select("night-garden.svg, width: ", "12");
  await keyboard.type("3");
  await eventually(async () => (await window.lines()).some((line) => line.includes("width: 3 in")));

  // Print: the ticket from the panel's menu, the films from the palette.
  const menu = panel.getByRole("menuitem", { name: "Films…" });
  await again(async (within) => {
    if (!(await menu.isVisible())) {
      await tabTo(page, panel, "Shift+Tab", /^Output opens/);
      await keyboard.press("Enter");
    }
    await menu.waitFor(within);
    // A menu whose keyboard something else took is closed, and opened once more.
    const end = Date.now() + within.timeout;
    while (!/^Films/.test(await focused(panel))) {
      if (Date.now() < end) continue;
      await keyboard.press("Escape");
      throw new errors.TimeoutError("the menu has no keyboard");
    }
  });
  await keyboard.press("ArrowDown");
  await keyboard.press("Enter");
  // A list that has just come up may pass over the first key.
  const chosen = (label: string) => widget.locator(".monaco-list-row.focused", { hasText: label });
  await chosen("dark").waitFor();
  await window.pressFor("Enter", asked);
  const ticket = join(window.folder, "ticket.html");
  await answer(ticket, () => existsSync(ticket));
  expect(readFileSync(ticket, "utf8")).toContain("Night Garden volunteers");
  // A list that has lost the keyboard to something else is asked for once more.
  await again(async (within) => {
    if (await chosen("PDF").isVisible()) return;
    await keyboard.press("F1");
    await chosen("dark").waitFor({ state: "hidden", ...within });
    await command("Platewright: Save Films…", chosen("dark"));
    await keyboard.press("Enter");
    await chosen("PDF").waitFor(within);
  });
  await window.pressFor("Enter", asked);
  const films = join(window.folder, "night-garden-dark.pdf");
  await answer(`${window.folder}/`, () => existsSync(films));

  expect(recipe()).toContain("order: [base, flash, gold, ");
  await window.picture("keyboard");
});
