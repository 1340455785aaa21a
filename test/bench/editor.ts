import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser } from "playwright-core";
import { CHROMIUM, launch } from "../client/panel/chromium.ts";
import { EditorWindow } from "../editor/editor-window.ts";
import { isInstalled } from "../editor/installed.ts";
import { startWorkbench, type Workbench } from "../editor/workbench.ts";
import { until } from "../lsp/client.ts";
import { figures, quantile, type Row } from "./measure.ts";

const RECIPE = "sample-job/night-garden/night-garden.sep.yaml";
const COPIED = 3;
const OPENED = 5;
/** Seconds to wait for a copy. */
const PATIENCE = 60;

/** In the packaged extension in a real editor: how long until a user sees the sample's picture. */
export async function editorRows(): Promise<Row[]> {
  if (!CHROMIUM || !isInstalled()) {
    console.log("  the editor is not measured: it takes Chromium and npm run install:editor\n");
    return [];
  }
  const workbench = await startWorkbench("all");
  const browser = await launch();
  const copied: number[] = [];
  const opened: number[] = [];
  try {
    for (let i = 0; i < COPIED; i++) {
      const folder = mkdtempSync(join(tmpdir(), "platewright-bench-"));
      writeFileSync(join(folder, "readme.txt"), "An empty shop.\n");
      const { window, took } = await copy(browser, workbench, folder);
      copied.push(took);
      if (i === COPIED - 1) for (let j = 0; j < OPENED; j++) opened.push(await reopen(window));
      await window.close();
      rmSync(folder, { recursive: true, force: true, maxRetries: 50, retryDelay: 100 });
    }
  } finally {
    await browser.close();
    await workbench.close();
  }
  return [
    row("sample job copied → its first picture, in a window that has just been opened", copied, 3000),
    row("open proof → first picture, in a window that has shown it before", opened, 2000),
  ];
}

/** Copies the sample in a window of its own; milliseconds from the copy's last file to its picture. */
async function copy(
  browser: Browser,
  workbench: Workbench,
  folder: string,
): Promise<{ window: EditorWindow; took: number }> {
  const window = await EditorWindow.open(browser, workbench, folder);
  await window.run("Platewright: Copy Sample Job…");
  const answered = window.answerPath(`${folder}/`);
  await until(() => existsSync(join(folder, RECIPE)) || undefined, PATIENCE);
  const start = performance.now();
  await window.proof();
  const took = performance.now() - start;
  await answered;
  return { window, took };
}

/** Closes the proof and opens it again by its key; milliseconds from the key to the picture. */
async function reopen(window: EditorWindow): Promise<number> {
  const tab = window.tab("Proof night-garden");
  await tab.click({ button: "middle" });
  await tab.waitFor({ state: "detached" });
  await window.focusText();
  await window.page.keyboard.press("Control+K");
  const start = performance.now();
  await window.page.keyboard.press("v");
  await window.proof();
  return performance.now() - start;
}

function row(what: string, times: readonly number[], target: number): Row {
  return { what, measured: figures(times), target: `≤ ${target} ms`, met: quantile(times, 0.5) <= target };
}
