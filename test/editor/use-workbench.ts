import { mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Browser } from "playwright-core";
import { afterAll, afterEach, beforeAll, inject } from "vitest";
import { put } from "../cli/program.ts";
import { launch } from "../client/panel/chromium.ts";
import { EditorWindow } from "./editor-window.ts";
import type { Workbench } from "./workbench.ts";

const pictures = fileURLToPath(new URL("../../build/editor", import.meta.url));

/**
 * A browser for the tests of one file. `open` gives a window on a new folder with these files; after the test it is closed, and
 * where the test failed a picture of it stays in build/editor.
 */
export function useWorkbench(): {
  open(files: Readonly<Record<string, string | Uint8Array>>, workbench?: Workbench): Promise<EditorWindow>;
} {
  let browser: Browser;
  const windows: EditorWindow[] = [];
  beforeAll(async () => {
    browser = await launch();
  });
  afterAll(() => browser?.close());
  afterEach(async ({ task }) => {
    for (const [i, window] of windows.entries()) {
      if (task.result?.state === "fail") {
        mkdirSync(pictures, { recursive: true });
        const name = `${task.name.replace(/[^\w]+/g, "-")}${i === 0 ? "" : `-${i + 1}`}.png`;
        await window.page.screenshot({ path: join(pictures, name) });
      }
      await window.close();
      rmSync(window.folder, { recursive: true, force: true, maxRetries: 50, retryDelay: 100 });
    }
    windows.length = 0;
  });
  return {
    async open(files, workbench = inject("workbench")) {
      const folder = mkdtempSync(join(tmpdir(), "platewright-job-"));
      for (const [name, content] of Object.entries(files)) put(folder, name, content);
      const window = await EditorWindow.open(browser, workbench, folder);
      windows.push(window);
      return window;
    },
  };
}
