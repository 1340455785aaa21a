import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { Frame, Locator, Page } from "playwright-core";
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

/** Goes on through the panel by the Tab key, until this has the keyboard. */
async function tabTo(page: Page, panel: Frame, name: RegExp): Promise<void> {
  for (let i = 0; i < MOST_STOPS; i++) {
    if (name.test(await focused(panel))) return;
    await page.keyboard.press("Tab");
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
  /** Answers a question for a place on disk, which fills in one of its own once it has looked at the disk. */
  const answer = (text: string, came: () => boolean) =>
    again(async (within) => {
      if (came()) return;
      await window.input.waitFor(within);
      await eventually(async () => (await window.input.inputValue(within)) !== "");
      await keyboard.press("Control+A");
      await keyboard.type(text);
      if ((await window.input.inputValue(within)) === text) await keyboard.press("Enter");
      await window.input.waitFor({ state: "hidden", ...within });
    });
  const command = (title: string, brought: Locator) =>
    again(async (within) => {
      if (!(await window.input.isVisible())) await keyboard.press("F1");
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
  await command("Platewright: Copy Sample Job…", window.input);
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
  await again(async () => {
    await keyboard.press("Control+2");
    await eventually(() => panel.evaluate(() => document.hasFocus()));
  });
  await tabTo(page, panel, /Proof on black stage/);
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

  // Print: the ticket from the panel's menu, the films from the palette.
  await keyboard.press("Control+2");
  await tabTo(page, panel, /^Output opens/);
  await keyboard.press("Enter");
  await eventually(async () => /^Films/.test(await focused(panel)));
  await keyboard.press("ArrowDown");
  await keyboard.press("Enter");
  await widget.locator(".monaco-list-row.focused", { hasText: "dark" }).waitFor();
  await keyboard.press("Enter");
  const ticket = join(window.folder, "ticket.html");
  await answer(ticket, () => existsSync(ticket));
  await eventually(() => existsSync(ticket));
  expect(readFileSync(ticket, "utf8")).toContain("Night Garden volunteers");
  const chosen = (label: string) => widget.locator(".monaco-list-row.focused", { hasText: label });
  await command("Platewright: Save Films…", chosen("dark"));
  await keyboard.press("Enter");
  await chosen("PDF").waitFor();
  await keyboard.press("Enter");
  const films = join(window.folder, "night-garden-dark.pdf");
  await answer(`${window.folder}/`, () => existsSync(films));
  await eventually(() => existsSync(films));

  expect(recipe()).toContain("order: [base, flash, gold, ");
  await window.picture("keyboard");
});
