import { rmSync } from "node:fs";
import { pathToFileURL } from "node:url";
import type { Browser } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { parseDocument } from "../../../server/language/document.ts";
import { assembleProject } from "../../../server/language/project.ts";
import { checkProject } from "../../../server/rules/check.ts";
import { until } from "../../lsp/client.ts";
import { CHROMIUM, launch, NEEDS_CHROMIUM } from "./chromium.ts";
import { TestPanel } from "./harness.ts";
import { SIDE, SMALL_RECIPE, smallJob } from "./jobs.ts";

/** Middle of each quarter of the artwork, in millimetres. */
const RED = [30, 30] as const;
const GREEN = [70, 30] as const;
const BLUE = [30, 70] as const;
const DARK = [70, 70] as const;

describe.skipIf(!CHROMIUM)(`what the panel writes into the recipe ${NEEDS_CHROMIUM}`, () => {
  let browser: Browser;
  let folder: string;
  let panel: TestPanel;
  beforeAll(async () => {
    browser = await launch();
    folder = await smallJob();
    panel = await TestPanel.open(browser, { folder, file: "job.sep.yaml" });
    await panel.painted();
  });
  afterAll(async () => {
    await panel?.close();
    await browser?.close();
    if (folder) rmSync(folder, { recursive: true, force: true });
  });
  beforeEach(async () => {
    panel.received.length = 0;
    panel.revealed.length = 0;
    panel.said.length = 0;
  });
  afterEach(async () => {
    while (panel.undo.length > 0) await panel.undoLast();
    expect(panel.text).toBe(SMALL_RECIPE);
    await panel.frame.locator(".stage").press("Escape");
    await panel.settled();
  });

  const errors = () => {
    const doc = parseDocument("job.sep.yaml", panel.text);
    return checkProject(assembleProject(doc, undefined, true)).filter(({ level }) => level === "error");
  };
  const value = () => parseDocument("job.sep.yaml", panel.text).value as Record<string, never>;
  const comments = () => [...panel.text.matchAll(/#[^"\n]*[a-z. ]$/gm)].map(([text]) => text.trim());

  /** The place in the window of a place of the print. */
  async function place([x, y]: readonly [number, number]): Promise<{ x: number; y: number }> {
    const canvas = await panel.frame.locator("picture-view canvas.main").boundingBox();
    const stage = await panel.frame.locator(".stage").boundingBox();
    if (!canvas || !stage) throw new Error("no picture");
    const mm = canvas.width / 100;
    return { x: canvas.x - stage.x + x * mm, y: canvas.y - stage.y + y * mm };
  }
  async function pin(at: readonly [number, number]): Promise<void> {
    await panel.frame.locator(".stage").click({ position: await place(at) });
  }
  async function written(): Promise<void> {
    await until(() => (panel.text === SMALL_RECIPE ? undefined : true));
    await panel.settled();
    expect(errors()).toEqual([]);
  }

  it("a station moved by keys changes the order, its comments with it", async () => {
    await panel.frame.locator('[data-plate="sea"]').press("Alt+ArrowUp");
    await written();
    expect(panel.text).toContain("      - ember\n      - sea # last\n      - leaf\n");
    expect(comments()).toEqual(
      expect.arrayContaining(["# first down", "# the warm one", "# Everything red."]),
    );
    const names = await panel.frame.locator(".station .name").allInnerTexts();
    expect(names.map((name) => name.replace(/^.*plate\s*/s, ""))).toEqual([
      "base",
      "flash",
      "ember",
      "sea",
      "leaf",
    ]);
  });

  it("a station dragged to another place changes the order", async () => {
    const rows = panel.frame.locator(".station");
    await rows
      .nth(4)
      .locator(".number")
      .dragTo(rows.nth(2), { targetPosition: { x: 60, y: 4 } });
    await written();
    expect(value()).toMatchObject({ setups: { dark: { order: ["base", "flash", "sea", "ember", "leaf"] } } });
  });

  it("a station moved by its menu, with keys alone, changes the order", async () => {
    const menu = panel.frame.getByRole("button", { name: "Station 5, sea", exact: true });
    await menu.press("ArrowDown");
    await panel.frame.getByRole("menuitem", { name: "Leave out" }).press("ArrowDown");
    await panel.frame.getByRole("menuitem", { name: "Move up" }).press("Enter");
    await written();
    expect(value()).toMatchObject({ setups: { dark: { order: ["base", "flash", "ember", "sea", "leaf"] } } });
  });

  it("one undo takes a move back", async () => {
    await panel.frame.locator('[data-plate="ember"]').press("Alt+ArrowDown");
    await written();
    expect(panel.undo).toHaveLength(1);
    expect(value()).toMatchObject({ setups: { dark: { order: ["base", "flash", "leaf", "ember", "sea"] } } });
    await panel.undoLast();
    expect(panel.text).toBe(SMALL_RECIPE);
  });

  it("a picked colour goes into the plate at the cursor, what it took before beside it", async () => {
    await panel.cursorAt('near: "#d8431f"');
    await pin(GREEN);
    await panel.frame.getByRole("button", { name: "Extract into ember" }).click();
    await written();
    expect(value()).toMatchObject({
      plates: {
        ember: {
          extract: {
            any: [
              { near: "#d8431f", within: 10, fade: 8 },
              { near: "#2f8f4e", within: 8, fade: 6 },
            ],
          },
        },
      },
    });
    expect(panel.text).toContain("# red as in the artwork");
    const { data } = await panel.pixels("picture-view canvas.main");
    expect(data.length).toBe(SIDE * SIDE * 4);
  });

  it("a picked colour joins the choices of a plate that takes one of several", async () => {
    await panel.cursorAt("sea: { ink: sea");
    await pin(RED);
    await panel.frame.getByRole("button", { name: "Extract into sea" }).click();
    await written();
    expect(panel.text).toContain('{ near: "#ffffff", within: 3 }, { near: "#d8431f", within: 8, fade: 6 }]');
  });

  it("a picked colour becomes a plate of its own, in the nearest ink, in every setup", async () => {
    await pin(DARK);
    await panel.frame.getByRole("button", { name: "Extract as new plate" }).click();
    await written();
    const { plates, setups } = value() as unknown as {
      plates: Record<string, { extract: unknown }>;
      setups: Record<string, { order: string[] }>;
    };
    const added = Object.keys(plates).at(-1)!;
    expect(plates[added]?.extract).toEqual({ near: "#101012", within: 8, fade: 6 });
    expect(setups.dark?.order).toContain(added);
    expect(setups.light?.order).toContain(added);
  });

  it("a plate that takes all of the artwork is not told to take more", async () => {
    await panel.cursorAt("base: { ink");
    await pin(RED);
    await panel.frame.getByRole("button", { name: "Extract into base" }).click();
    await until(() => panel.said[0]);
    expect(panel.said).toEqual(["Nothing was changed: plate base takes all of the artwork already."]);
  });

  it("a picked colour is given to an ink", async () => {
    await pin(BLUE);
    await panel.frame.getByLabel("Ink that gets this colour").selectOption("ember");
    await panel.frame.getByRole("button", { name: "Give to ink" }).click();
    await written();
    expect(panel.text).toContain('  ember: { colour: "#3a4fa0", opacity: 70% } # the warm one\n');
  });

  it.each([
    ["Rectangle", { rectangle: { from: ["20 mm", "25 mm"], to: ["45 mm", "40 mm"] }, feather: "4 mm" }],
    [
      "Ellipse",
      { ellipse: { centre: ["32.5 mm", "32.5 mm"], radii: ["12.5 mm", "7.5 mm"] }, feather: "4 mm" },
    ],
  ])("a drawn %s is written into adjust", async (shape, region) => {
    await panel.cursorAt("  ember:\n    ink");
    await panel.frame.getByRole("button", { name: "Adjust tone here…" }).click();
    await panel.frame.getByRole("radio", { name: shape, exact: true }).click();
    const stage = panel.frame.locator(".stage");
    await stage.dragTo(stage, {
      sourcePosition: await place([20, 25]),
      targetPosition: await place([45, 40]),
    });
    await panel.frame.getByRole("button", { name: "Write into recipe" }).click();
    await written();
    const { adjust } = value() as unknown as { adjust: { plate: string; curve: unknown; region: unknown }[] };
    expect(adjust).toHaveLength(2);
    expect(adjust[1]).toMatchObject({
      plate: "ember",
      curve: [
        [0, 0],
        [50, 60],
        [100, 100],
      ],
    });
    expect(rounded(adjust[1]?.region)).toEqual(rounded(region));
  });

  it("a polygon drawn by keys is written into adjust", async () => {
    await panel.frame.getByRole("button", { name: "Adjust tone here…" }).press("Enter");
    await panel.frame.getByRole("radio", { name: "Rectangle", exact: true }).press("ArrowLeft");
    const stage = panel.frame.locator(".stage");
    for (const keys of ["Enter", "Shift+ArrowRight Enter", "Shift+ArrowDown Enter", "Shift+Enter"])
      for (const key of keys.split(" ")) await stage.press(key);
    await panel.frame.getByLabel("Plate", { exact: true }).selectOption("sea");
    await panel.frame.getByRole("button", { name: "Write into recipe" }).click();
    await written();
    const { adjust } = value() as unknown as { adjust: { plate: string; region: { polygon: unknown[] } }[] };
    expect(adjust[1]?.plate).toBe("sea");
    expect(adjust[1]?.region.polygon).toHaveLength(3);
  });

  it("a curve is seen in the picture before it is written, and gone when it is discarded", async () => {
    await panel.settled();
    const before = await panel.pixels("picture-view canvas.main");
    // The plate prints at half its tone in this region already.
    await panel.cursorAt("  leaf: { ink: leaf");
    await panel.frame.getByRole("button", { name: "Adjust tone here…" }).click();
    const stage = panel.frame.locator(".stage");
    await stage.dragTo(stage, {
      sourcePosition: await place([56, 14]),
      targetPosition: await place([84, 30]),
    });
    const curve = panel.frame.getByLabel("50 % becomes", { exact: true });
    await curve.fill("0");
    await panel.frame.getByRole("img", { name: "Curve: 50 % becomes 0 %" }).waitFor();
    const asBefore = async () =>
      Buffer.compare((await panel.pixels("picture-view canvas.main")).data, before.data) === 0;
    await until(async () => ((await asBefore()) ? undefined : true));
    expect(panel.text).toBe(SMALL_RECIPE);
    await panel.frame.getByRole("button", { name: "Discard" }).click();
    await until(async () => ((await asBefore()) ? true : undefined));
    expect(panel.text).toBe(SMALL_RECIPE);
  });

  it("a colour is cut out as background, seen among the stations, and left in again", async () => {
    await pin(BLUE);
    await panel.frame.getByRole("button", { name: "Cut as background" }).click();
    await written();
    expect(panel.text).toContain('background: { colour: "#3a4fa0" }');
    const stage = panel.frame.getByRole("group", { name: "Background" });
    await stage.getByText("Background #3a4fa0 cut out, enclosed parts kept").waitFor();
    await stage.getByRole("button", { name: "Background", exact: true }).click();
    await panel.frame.getByRole("menuitem", { name: "Leave the background in" }).click();
    await until(() => (panel.text === SMALL_RECIPE ? true : undefined));
  });

  it("why is this ink here: the lines that put it there, the first of them shown at once", async () => {
    await pin(GREEN);
    await panel.frame.getByRole("button", { name: "Why is leaf here?" }).click();
    const list = panel.frame.getByRole("region", { name: "Why leaf is here" });
    await list.waitFor();
    const line = (needle: string) => SMALL_RECIPE.slice(0, SMALL_RECIPE.indexOf(needle)).split("\n").length;
    expect(await list.locator("li").allInnerTexts()).toEqual([
      `line ${line('extract: { near: "#2f8f4e"')} extract takes this colour, 100 %`,
      `line ${line("plate: leaf")} leaf's tone is adjusted in its region`,
    ]);
    // The page asks for it once its list is drawn.
    await until(() => panel.revealed[0]);
    expect(panel.revealed.map(({ start }) => start.line + 1)).toEqual([line('extract: { near: "#2f8f4e"')]);
    await list.getByRole("button").nth(1).click();
    await until(() => panel.revealed[1]);
    expect(panel.revealed[1]!.start.line + 1).toBe(line("plate: leaf"));
  });

  it("a click on a station shows its lines; that the cursor then stands there is no news", async () => {
    const places = () => panel.sent.filter(({ kind }) => kind === "place").length;
    const before = places();
    await panel.frame.locator('[data-plate="ember"]').click();
    await until(() => panel.revealed[0]);
    await panel.settled();
    expect(panel.revealed.map(({ start }) => start.line)).toEqual([
      panel.document.positionAt(SMALL_RECIPE.indexOf("  ember:\n")).line,
    ]);
    expect(places()).toBe(before);
  });

  it("the cursor in a plate's block selects it, and nothing is written or shown for that", async () => {
    await panel.cursorAt("within: 10\n");
    await until(async () =>
      (await panel.frame.locator('[data-plate="ember"]').getAttribute("aria-current")) === "true"
        ? true
        : undefined,
    );
    await panel.settled();
    expect(panel.revealed).toEqual([]);
  });

  it("a region under the cursor is outlined where it lies", async () => {
    await panel.cursorAt("rectangle:");
    const outlined = panel.frame.locator('.region[data-region="0"] rect.over');
    await outlined.waitFor();
    const at = await place([50, 10]);
    expect(Number(await outlined.getAttribute("x"))).toBeCloseTo(at.x, 0);
    expect(Number(await outlined.getAttribute("y"))).toBeCloseTo(at.y, 0);
    await panel.cursorAt("title:");
    await outlined.waitFor({ state: "detached" });
  });

  it("text that moved on meanwhile is not written into", async () => {
    const { version } = panel.document;
    expect(pathToFileURL(folder).href).toBe(panel.uri.slice(0, panel.uri.lastIndexOf("/")));
    const edit = { kind: "order", setup: "light", order: [1, 0, 2] } as const;
    const asked = panel.session.received({ kind: "edit", edit });
    await panel.change("title: Four quarters", "title: Four");
    await asked;
    expect(panel.document.version).toBe(version + 1);
    expect(panel.said[0]).toMatch(/^Nothing was changed: the text moved on/);
  });
});

/** Lengths to half a millimetre: a hand on a mouse is no finer. */
function rounded(value: unknown): unknown {
  return JSON.parse(
    JSON.stringify(value, (_key, v: unknown) =>
      typeof v === "string" && v.endsWith(" mm") ? `${Math.round(Number.parseFloat(v) * 2) / 2} mm` : v,
    ),
  );
}
