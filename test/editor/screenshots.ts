/**
 * Takes README's pictures of the sample job in the packaged extension, and of its ticket. Run by `npm run screenshots`;
 * takes what `npm run install:editor` installs.
 */
import { spawnSync } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import type { Browser, Locator, Page } from "playwright-core";
import sharp from "sharp";
import { launch } from "../client/panel/chromium.ts";
import { EditorWindow, settled } from "./editor-window.ts";
import { startWorkbench } from "./workbench.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));
const out = `${root}samples/pictures`;
const RECIPE = "night-garden/night-garden.sep.yaml";
const FLASH = "flash, ";
/** Wide enough for a panel with its picture beside the stations. */
const SIZE = { width: 1660, height: 900 };

mkdirSync(out, { recursive: true });
const shop = mkdtempSync(join(tmpdir(), "platewright-shop-"));
// A name that can be seen in a window's title.
const folder = join(shop, "night-garden-job");
for (const part of ["night-garden", "readings", "workshop.shop.yaml"])
  cpSync(`${root}samples/${part}`, join(folder, part), { recursive: true });
const workbench = await startWorkbench("all");
const browser = await launch();
try {
  await picturesOfEditor();
  await pictureOfTicket(browser);
} finally {
  await browser.close();
  await workbench.close();
  rmSync(shop, { recursive: true, force: true });
}

async function picturesOfEditor(): Promise<void> {
  const window = await EditorWindow.open(browser, workbench, folder, SIZE);
  const { page } = window;
  await window.openFile("night-garden.sep.yaml");
  await window.run("View: Toggle Primary Side Bar Visibility");
  await window.run("Platewright: Open Proof");
  const proof = await window.proof();
  const choose = (name: string) => proof.getByRole("radio", { name, exact: true }).click();
  const panel = page.locator(".editor-group-container").nth(1);
  const editor = page.locator(".editor-group-container").nth(0);

  await measured(page);
  await choose("ΔE00");
  // Its figures come with the picture.
  await proof.locator("worst-places li").first().waitFor();
  await proof.locator("view-bar", { hasText: "95 % within" }).waitFor();
  await shot(panel, "difference");
  await choose("Proof");
  await proof.locator('[data-plate="ember"]').click();
  await choose("Plate");
  await proof.locator("worst-places li").first().waitFor({ state: "detached" });
  await settled(proof);
  await shot(panel, "plate");
  await choose("Proof");

  // Without its flash the dark setup prints wet-on-wet: told at the order, and beside the stations.
  const text = window.onDisk(RECIPE).split("\n");
  const line = text.findIndex((text) => text.includes(FLASH)) + 1;
  await window.focusText();
  await window.goTo(line, text[line - 1]!.indexOf(FLASH) + 1);
  for (const _ of FLASH) await page.keyboard.press("Delete");
  await page.locator(".squiggly-warning").first().waitFor();
  await proof.locator(".findings.warning").first().waitFor();
  await measured(page);
  // Over empty text, where it brings up nothing.
  await page.mouse.move(400, 800);
  await window.goTo(line, text[line - 1]!.indexOf("base") + 1);
  await window.run("Go to Next Problem (Error, Warning, Info)");
  await page.locator(".marker-widget").waitFor();
  await page.mouse.move(400, 800);
  await shot(page.locator(".monaco-workbench"), "finding");
  await page.keyboard.press("Escape");
  await page.locator(".marker-widget").waitFor({ state: "detached" });
  await page.keyboard.press("Control+.");
  await page.locator(".action-widget .monaco-list-row", { hasText: "Put a flash after base" }).waitFor();
  await shot(editor, "quick-fix");
}

/** Waits until nothing is being worked out any more; work that takes under a second never shows. */
async function measured(page: Page): Promise<void> {
  const progress = page.locator(".statusbar-item", { hasText: "Measuring plates" });
  await progress.waitFor({ timeout: 10_000 }).catch(() => {});
  await progress.waitFor({ state: "detached" });
}

async function pictureOfTicket(browser: Browser): Promise<void> {
  const file = join(folder, "ticket.html");
  const recipe = join(folder, RECIPE);
  const args = ["ticket", recipe, "--setup", "dark", "--out", file, "--date", "2026-03-14"];
  const { status, stderr } = spawnSync(process.execPath, [`${root}dist/platewright.js`, ...args], {
    encoding: "utf8",
  });
  if (status !== 0) throw new Error(stderr);
  const page = await browser.newPage({ viewport: { width: 900, height: 1150 } });
  await page.goto(pathToFileURL(file).href);
  await shot(page.locator("body"), "ticket", { width: 900, height: 1150 });
}

/** Few colours are enough for an interface; 256 of them keep the pictures small. */
async function shot(part: Locator, name: string, clip?: { width: number; height: number }): Promise<void> {
  const bytes = clip
    ? await part.page().screenshot({ clip: { x: 0, y: 0, ...clip } })
    : await part.screenshot({ animations: "disabled" });
  await sharp(bytes)
    .png({ palette: true, effort: 10, compressionLevel: 9 })
    .toFile(join(out, `${name}.png`));
}
