import { readFileSync } from "node:fs";
import { basename, join } from "node:path";
import { fileURLToPath } from "node:url";
import { type Browser, errors, type Frame, type Locator, type Page } from "playwright-core";
import type { Store } from "../../client/panel/store.ts";
import { until } from "../lsp/client.ts";
import type { Workbench } from "./workbench.ts";

/** How long to wait for a state, in seconds; a loaded machine may take most of it. */
const PATIENCE = 120;
/** Looking takes time from what is looked for. */
const LOOK_EVERY_MS = 50;
/** What is the same at so many looks, one after the other, has come to rest. */
const LOOKS_OF_REST = 6;
/** After so long without a state, what should lead to it is done once more. */
const RETRY_MS = 2_000;

/** Waits for an answer that is not undefined, as long as for any other state here. */
export function found<T>(answer: () => T | undefined | Promise<T | undefined>): Promise<T> {
  return until(async () => {
    const it = await answer();
    if (it === undefined) await new Promise((resolve) => setTimeout(resolve, LOOK_EVERY_MS));
    return it;
  }, PATIENCE);
}

/** Waits until this holds. */
export async function eventually(holds: () => boolean | Promise<boolean>): Promise<void> {
  await found(async () => (await holds()) || undefined);
}

/** One window of the workbench with one folder open, driven as a user does, by keys. */
export class EditorWindow {
  readonly page: Page;
  readonly folder: string;

  private constructor(page: Page, folder: string) {
    this.page = page;
    this.folder = folder;
  }

  /** Opens a window of a user who has never been here, on a folder. */
  static async open(
    browser: Browser,
    { address }: Workbench,
    folder: string,
    size = { width: 1440, height: 900 },
  ): Promise<EditorWindow> {
    const context = await browser.newContext({ viewport: size });
    context.setDefaultTimeout(PATIENCE * 1000);
    const page = await context.newPage();
    await page.goto(`${address}/?folder=${encodeURIComponent(folder)}`);
    const window = new EditorWindow(page, folder);
    await window.#ready();
    return window;
  }

  async close(): Promise<void> {
    await this.page.context().close();
  }

  /** Restarts the window, the editor's own way. */
  async reload(): Promise<void> {
    const loaded = this.page.waitForEvent("load");
    await this.run("Developer: Reload Window");
    await loaded;
    await this.#ready();
  }

  async #ready(): Promise<void> {
    await this.explorerEntry().first().waitFor();
  }

  explorerEntry(name?: string): Locator {
    const rows = this.page.locator(".explorer-folders-view .monaco-list-row");
    return name === undefined ? rows : rows.filter({ has: this.page.getByText(name, { exact: true }) });
  }

  /** Text of a file of the folder as it is on disk. */
  onDisk(name: string): string {
    return readFileSync(join(this.folder, name), "utf8");
  }

  /** Opens a file by its path from the folder, and waits until it can be typed into. */
  async openFile(path: string): Promise<void> {
    await this.#ask("Control+P", path, basename(path));
    await this.tab(basename(path)).and(this.page.locator(".active")).waitFor();
    await this.page.locator(".editor-group-container.active .view-lines .view-line").first().waitFor();
  }

  /** Runs a command by its title in the command palette. */
  run(title: string): Promise<void> {
    return this.#ask("F1", `>${title}`, title);
  }

  /** Chooses an action from the menu of a file in the explorer, until what it brings can be seen. */
  chooseInExplorer(name: string, action: string, brought: Locator): Promise<void> {
    return again(async (within) => {
      if (await brought.isVisible()) return;
      await this.page.keyboard.press("Escape");
      await this.explorerEntry(name).click({ button: "right", ...within });
      const item = this.page.locator(".monaco-menu .action-item", { hasText: action });
      await item.hover(within);
      // A menu that has just come up takes a quick click for the end of the one that opened it.
      await item.click({ ...within, delay: 200 });
      await brought.waitFor(within);
    });
  }

  /** Presses a key until what it brings can be seen: with a server that is busy it may bring nothing. */
  pressFor(key: string, brought: Locator): Promise<void> {
    return again(async (within) => {
      await this.page.keyboard.press(key);
      await brought.waitFor(within);
    });
  }

  /** Chooses a quick fix at the cursor; a rebuilt list may take it away again while it is looked at. */
  chooseFix(title: string): Promise<void> {
    return again(async (within) => {
      await this.page.keyboard.press("Escape");
      await this.page.keyboard.press("Control+.");
      await this.page.locator(".action-widget .monaco-list-row", { hasText: title }).first().click(within);
    });
  }

  /** Opens the quick input by a key, types into it and takes the first entry with this label. */
  #ask(key: string, text: string, label: string): Promise<void> {
    return again(async (within) => {
      if (!(await this.input.isVisible())) await this.page.keyboard.press(key);
      // The list is that of the moment when something was typed.
      await this.input.fill("", within);
      await this.input.fill(text, within);
      await this.entry(label).first().click(within);
    });
  }

  /** The quick input, as it can be seen. */
  get input(): Locator {
    return this.page.locator(".quick-input-widget:not(.hidden) .quick-input-box input");
  }

  entry(label: string): Locator {
    const rows = this.page.locator(".quick-input-widget:not(.hidden) .quick-input-list .monaco-list-row");
    return rows.filter({ hasText: label });
  }

  /** Answers a question for a place on disk by its whole path. */
  async answerPath(path: string): Promise<void> {
    const accept = this.page.locator(".quick-input-widget:not(.hidden) .quick-input-action .monaco-button");
    await accept.first().waitFor();
    await again(async (within) => {
      if (await this.input.isVisible()) {
        await this.#fillPath(path, within);
        await accept.first().click(within);
      }
      await this.input.waitFor({ state: "hidden", ...within });
    });
  }

  /** The question fills in a place of its own once it has looked at the disk, and would write over a hasty answer. */
  async #fillPath(path: string, within: { readonly timeout: number }): Promise<void> {
    await eventually(async () => (await this.input.inputValue(within)) !== "");
    let kept = 0;
    await eventually(async () => {
      if ((await this.input.inputValue(within)) === path) kept++;
      else {
        kept = 0;
        await this.input.fill(path, within);
      }
      return kept >= LOOKS_OF_REST;
    });
  }

  tab(name: string): Locator {
    return this.page.locator(".tabs-container .tab").filter({ hasText: name });
  }

  get statusItem(): Locator {
    return this.page.locator('.statusbar-item[id="platewright.platewright.platewright.status"]');
  }

  get notifications(): Locator {
    return this.page.locator(".notifications-toasts .notification-list-item");
  }

  /** Lines of the active editor that can be seen. */
  async lines(): Promise<string[]> {
    const texts = await this.page
      .locator(".editor-group-container.active .view-lines .view-line")
      .evaluateAll((lines) =>
        lines
          .map((line) => ({
            top: Number.parseFloat((line as HTMLElement).style.top),
            text: line.textContent ?? "",
          }))
          .sort((a, b) => a.top - b.top)
          .map(({ text }) => text),
      );
    return texts.map((text) => text.replaceAll("\u00a0", " "));
  }

  /** Puts the cursor at a line and column, both from 1. */
  goTo(line: number, column = 1): Promise<void> {
    return again(async (within) => {
      if (!(await this.input.isVisible())) await this.page.keyboard.press("Control+G");
      await this.input.fill(`:${line}:${column}`, within);
      await this.input.press("Enter", within);
      await this.page.locator(".statusbar-item", { hasText: `Ln ${line}, Col ${column}` }).waitFor(within);
    });
  }

  /** Replaces the word at the cursor by another, in one go. */
  async typeOverWord(text: string): Promise<void> {
    await this.page.keyboard.press("Control+Shift+ArrowRight");
    await this.page.keyboard.insertText(text);
  }

  /** Gives the keyboard to the editor's first column, where the text stands. */
  focusText(): Promise<void> {
    // A press may be lost on its way out of the panel's page.
    const focused = this.page.locator(".editor-group-container.active .monaco-editor.focused");
    return this.pressFor("Control+1", focused);
  }

  /** Saves the active file, and waits until it is. */
  async save(): Promise<void> {
    await this.page.keyboard.press("Control+S");
    await this.page.locator(".editor-group-container.active .tab.active:not(.dirty)").waitFor();
  }

  /** Keeps a picture of the window as it is, to be looked at. */
  async picture(name: string): Promise<void> {
    await this.page.screenshot({
      path: fileURLToPath(new URL(`../../build/editor/seen-${name}.png`, import.meta.url)),
    });
  }

  /** The proof panel's page. */
  panel(): Promise<Frame> {
    return this.#frame(() => document.querySelector("proof-panel") !== null);
  }

  /** The proof panel's page, once it shows a picture. */
  proof(): Promise<Frame> {
    return this.#frame(() => {
      const view = document.querySelector("proof-panel")?.shadowRoot?.querySelector("picture-view");
      return (view?.shadowRoot?.querySelector<HTMLCanvasElement>("canvas.main")?.width ?? 0) > 1;
    });
  }

  /** The frame of the window in which this holds. */
  #frame(holds: () => boolean): Promise<Frame> {
    return found(async () => {
      for (const frame of this.page.frames())
        if (await frame.evaluate(holds).catch(() => false)) return frame;
      return undefined;
    });
  }
}

/**
 * Does steps anew until all of them get through: files, commands and menus may become known later, and the keyboard may
 * be taken away while the window still opens something.
 */
export function again(steps: (within: { readonly timeout: number }) => Promise<void>): Promise<void> {
  return eventually(async () => {
    try {
      await steps({ timeout: RETRY_MS });
      return true;
    } catch (error) {
      if (!(error instanceof errors.TimeoutError)) throw error;
      return false;
    }
  });
}

/** Colour of the picture's pixel at a share of its width and height, as `#rrggbb`. */
export async function colourAt(
  proof: Frame,
  x: number,
  y: number,
  canvas = "picture-view canvas.main",
): Promise<string> {
  return proof.locator(canvas).evaluate(
    (element, [x, y]) => {
      const canvas = element as HTMLCanvasElement;
      const at = [Math.floor(canvas.width * x!), Math.floor(canvas.height * y!)] as const;
      const [r, g, b] = canvas.getContext("2d")!.getImageData(at[0], at[1], 1, 1).data;
      return `#${[r!, g!, b!].map((v) => v.toString(16).padStart(2, "0")).join("")}`;
    },
    [x, y],
  );
}

/** Waits until a proof panel shows at full what it was told and asked for last, and nothing is being rendered any more. */
export function settled(panel: Frame): Promise<void> {
  return eventually(() =>
    panel.evaluate(async () => {
      // What is to be seen is asked for in the first frame, and painted by the second.
      for (let i = 0; i < 2; i++)
        await new Promise((resolve) => requestAnimationFrame(() => setTimeout(resolve)));
      const { store } = document.querySelector("proof-panel") as unknown as { store: Store };
      return store.placed !== undefined && !store.placed.lowResolution && store.renderer.resting;
    }),
  );
}
