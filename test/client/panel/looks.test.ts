import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type { Browser, Locator } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { linearFromSrgb } from "../../../server/engine/colour/srgb.ts";
import { CHROMIUM, launch, NEEDS_CHROMIUM } from "./chromium.ts";
import { TestPanel } from "./harness.ts";
import { THEMES, type Theme } from "./themes.ts";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** What axe-core finds in the panel, a line a fault. */
async function faults(panel: TestPanel, rules?: readonly string[]): Promise<string[]> {
  const { length } = panel.complaints;
  // Through the debugger: the page's policy refuses scripts of others.
  await panel.frame.evaluate(`if (!window.axe) { ${axe} }`);
  const found = await panel.frame.evaluate(async (only) => {
    interface Axe {
      run(
        root: unknown,
        options: unknown,
      ): Promise<{ violations: { id: string; nodes: { html: string; failureSummary?: string }[] }[] }>;
    }
    const options = only ? { runOnly: only } : {};
    const { violations } = await (window as unknown as { axe: Axe }).axe.run(document, options);
    return violations.flatMap(({ id, nodes }) =>
      nodes.map((node) => `${id}: ${node.html} ${node.failureSummary}`),
    );
  }, rules);
  // The policy refuses the styles that axe-core tries things with.
  panel.complaints.length = length;
  return found;
}

/** In the page: whether all of an element's text is to be seen. */
function isWhole(element: Element): boolean {
  return element.scrollWidth <= element.clientWidth;
}

/** Contrast (WCAG 2.2) of what has the keyboard: of its ring with the panel, which parts the two; 1 without a ring. */
async function ringOf(element: Locator): Promise<number> {
  const [ring, panel] = await element.evaluate((element) => {
    const { outlineStyle, outlineWidth, outlineOffset, outlineColor } = getComputedStyle(element);
    const panel = getComputedStyle(document.querySelector("proof-panel")!).backgroundColor;
    const seen =
      outlineStyle === "solid" &&
      Number.parseFloat(outlineWidth) >= 2 &&
      Number.parseFloat(outlineOffset) >= 1;
    return [seen ? outlineColor : panel, panel] as const;
  });
  const luminance = (css: string): number => {
    const [r, g, b] = css.match(/[\d.]+/g)!.map((v) => linearFromSrgb(Number(v) / 255));
    return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
  };
  const [dark, light] = [luminance(ring), luminance(panel)].sort((a, b) => a - b);
  return (light! + 0.05) / (dark! + 0.05);
}

describe.skipIf(!CHROMIUM)(`the panel's looks ${NEEDS_CHROMIUM}`, () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launch();
  });
  afterAll(() => browser?.close());

  it.each(Object.keys(THEMES) as Theme[])(
    "in theme %s nothing is at fault that axe-core knows, and the page's policy refuses nothing",
    async (theme) => {
      const panel = await TestPanel.open(browser, { theme });
      // Structure is the same in every theme; colours are not, and three pictures have no words of their own.
      const rules = theme === "dark" ? undefined : ["color-contrast"];
      const modes = ["Proof", "Wipe", "ΔE00", "Plate", "All garments", "Last commit"].filter(
        (mode) => !rules || !["Wipe", "Plate", "All garments"].includes(mode),
      );
      const look = async (name: string) => {
        await panel.settled();
        await panel.screenshot(`${theme}-${name}`);
        expect.soft(await faults(panel, rules), name).toEqual([]);
      };
      try {
        await panel.painted();
        for (const mode of modes) {
          await panel.frame.getByRole("radio", { name: mode, exact: true }).click();
          await look(mode.toLowerCase().replaceAll(" ", "-").replace("δe00", "difference"));
        }
        await panel.frame.getByRole("radio", { name: "Proof", exact: true }).click();
        await panel.frame.getByRole("radio", { name: "One print" }).click();
        await look("one-print");
        await panel.frame.getByRole("radio", { name: "Mean print" }).click();
        // Reached by keys, what is chosen of a group bears a ring that stands out from all around it.
        const chosen = panel.frame.getByRole("radio", { name: "Proof", exact: true });
        await panel.frame.getByRole("radio", { name: "black", exact: true }).press("Tab");
        expect(await chosen.evaluate((radio) => radio.matches(":focus"))).toBe(true);
        expect(await ringOf(chosen)).toBeGreaterThanOrEqual(3);
        await panel.frame.locator(".stage").click({ position: { x: 360, y: 300 } });
        await panel.frame.getByRole("button", { name: /^Why is/ }).click();
        await look("probe");
        const loupe = panel.frame.locator("dot-loupe");
        await panel.frame.locator(".stage").press("d");
        await loupe.getByRole("radio", { name: "One print" }).click();
        await look("loupe");
        await panel.frame.locator(".stage").press("d");
        await panel.frame.getByRole("button", { name: "Adjust tone here…" }).click();
        await panel.frame.getByRole("radio", { name: "Ellipse", exact: true }).click();
        const stage = panel.frame.locator(".stage");
        await stage.dragTo(stage, { sourcePosition: { x: 250, y: 180 }, targetPosition: { x: 480, y: 400 } });
        await look("region");
        await panel.change("ink: gold", "ink: glod");
        await look("errors");
        expect(panel.complaints).toEqual([]);
      } finally {
        await panel.close();
      }
    },
  );

  it("needs no sideways scrolling, however narrow, wide or low it is", async () => {
    const panel = await TestPanel.open(browser, { size: { width: 400, height: 800 } });
    try {
      await panel.painted();
      expect.soft(await faults(panel)).toEqual([]);
      for (const [name, width, height] of [
        ["narrow", 400, 800],
        ["low", 900, 460],
        ["wide", 2400, 1000],
      ] as const) {
        await panel.page.setViewportSize({ width, height });
        await panel.settled();
        await panel.screenshot(name);
        const spilt = await panel.frame.evaluate(
          () => document.documentElement.scrollWidth > document.documentElement.clientWidth,
        );
        expect.soft(spilt, name).toBe(false);
      }
    } finally {
      await panel.close();
    }
  });

  it("keeps the picture in sight in a narrow column, while its stations scroll", async () => {
    const panel = await TestPanel.open(browser, { size: { width: 560, height: 860 } });
    try {
      await panel.painted();
      const last = panel.frame.locator("station-list .station").last();
      await last.scrollIntoViewIfNeeded();
      await panel.settled();
      await panel.screenshot("column");
      const [picture, station] = [
        await panel.frame.locator(".stage").boundingBox(),
        await last.boundingBox(),
      ];
      expect(picture!.y).toBeGreaterThan(0);
      expect(picture!.height).toBeGreaterThan(250);
      expect(station!.y).toBeGreaterThan(picture!.y + picture!.height);
      expect(station!.y + station!.height).toBeLessThanOrEqual(860);
      // A place that is pinned there leaves the picture where it is.
      const lies = () => panel.frame.locator("picture-view canvas.main").boundingBox();
      const place = await lies();
      await panel.frame.locator(".stage").press("ArrowRight");
      await panel.settled();
      await panel.screenshot("column-pinned");
      expect(await lies()).toEqual(place);
      await panel.frame.locator(".stage").press("Escape");
      // The panel's half of a window of 1600 × 950 with the side bar open.
      await panel.page.setViewportSize({ width: 640, height: 820 });
      await panel.settled();
      await panel.screenshot("ten-stations");
      const beside = await panel.frame.locator(".stage").boundingBox();
      const all = await panel.frame.locator("station-list .station").all();
      expect(all).toHaveLength(10);
      for (const row of all) {
        const box = await row.boundingBox();
        expect(box!.x).toBeGreaterThanOrEqual(beside!.x + beside!.width);
        expect(box!.y + box!.height).toBeLessThanOrEqual(820);
      }
      expect(await panel.frame.getByText("flash", { exact: true }).evaluate(isWhole)).toBe(true);
      // And in the narrowest column beside them nothing under the picture is cut off that is to be read or pressed.
      await panel.page.setViewportSize({ width: 600, height: 820 });
      const whole = async (name: string, ...parts: readonly string[]) => {
        await panel.settled();
        await panel.screenshot(`half-${name}`);
        const column = (await panel.frame.locator(".stage").boundingBox())!;
        for (const part of parts) {
          const box = (await panel.frame.locator(part).last().boundingBox())!;
          expect.soft(box.x + box.width, part).toBeLessThanOrEqual(column.x + column.width);
        }
      };
      const mode = (name: string) => panel.frame.getByRole("radio", { name, exact: true }).click();
      await mode("ΔE00");
      await panel.frame.locator("view-bar .said .figures").waitFor();
      await whole("difference", "view-bar .said .figures", "picture-tools button");
      await mode("Proof");
      await mode("One print");
      await panel.frame.locator(".stage").press("ArrowRight");
      await whole("one-print", "print-bar select", "probe-bar .difference");
      await panel.frame.getByRole("button", { name: "Adjust tone here…" }).click();
      await whole("region", "region-form vscode-button", "region-form output", "picture-tools button");
    } finally {
      await panel.close();
    }
  });

  it("moves nothing by itself where the user wants no motion", async () => {
    const panel = await TestPanel.open(browser, { reducedMotion: true });
    try {
      await panel.painted();
      const moving = await panel.frame.evaluate(() => {
        const all: Element[] = [];
        const walk = (root: Document | ShadowRoot) => {
          for (const element of root.querySelectorAll("*")) {
            all.push(element);
            if (element.shadowRoot) walk(element.shadowRoot);
          }
        };
        walk(document);
        return all
          .filter((element) => {
            const { transitionDuration, animationName } = getComputedStyle(element);
            return (
              transitionDuration.split(",").some((time) => Number.parseFloat(time) > 0) ||
              animationName !== "none"
            );
          })
          .map((element) => element.tagName);
      });
      expect(moving).toEqual([]);
    } finally {
      await panel.close();
    }
  });
});
