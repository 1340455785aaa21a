import { spawnSync } from "node:child_process";
import { mkdirSync, renameSync, rmSync, unlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Browser } from "playwright-core";
import sharp from "sharp";
import { afterAll, afterEach, beforeAll, describe, expect, it } from "vitest";
import { until } from "../../lsp/client.ts";
import { CHROMIUM, launch, NEEDS_CHROMIUM } from "./chromium.ts";
import { type PanelOptions, TestPanel } from "./harness.ts";
import { SMALL_RECIPE, smallJob, writeArtwork } from "./jobs.ts";

const MAIN = "picture-view canvas.main";
const hasGit = spawnSync("git", ["--version"]).status === 0;

describe.skipIf(!CHROMIUM)(`the panel ${NEEDS_CHROMIUM}`, () => {
  let browser: Browser;
  const folders: string[] = [];
  const panels: TestPanel[] = [];
  beforeAll(async () => {
    browser = await launch();
  });
  afterEach(async () => {
    for (const panel of panels.splice(0)) await panel.close();
  });
  afterAll(async () => {
    await browser?.close();
    for (const folder of folders) rmSync(folder, { recursive: true, force: true });
  });

  async function job(recipe?: string): Promise<string> {
    const folder = await smallJob(recipe);
    folders.push(folder);
    return folder;
  }
  async function open(folder: string, options: PanelOptions = {}): Promise<TestPanel> {
    const panel = await TestPanel.open(browser, { folder, file: "job.sep.yaml", ...options });
    panels.push(panel);
    return panel;
  }
  const choose = async (panel: TestPanel, name: string | RegExp) => {
    await panel.frame.getByRole("radio", { name, exact: true }).click();
    await panel.settled();
  };

  it("keeps the last good picture as it is, with a word laid over it, while the text has errors", async () => {
    const panel = await open(await job());
    await panel.painted();
    const before = await panel.pixels(MAIN);
    const lies = () => panel.frame.locator(MAIN).boundingBox();
    const place = await lies();
    await panel.change("ink: leaf,", "ink: laef,");
    await panel.settled();
    expect(await lies()).toEqual(place);
    const notice = panel.frame.getByRole("region", { name: "Notices" });
    expect(await notice.innerText()).toContain('There is no ink "laef"');
    expect(Buffer.compare((await panel.pixels(MAIN)).data, before.data)).toBe(0);
    const opacity = () => panel.frame.locator(MAIN).evaluate((canvas) => getComputedStyle(canvas).opacity);
    expect(await opacity()).toBe("1");
    expect(
      await panel.frame.locator('.station:has([data-plate="leaf"]) .findings').getAttribute("title"),
    ).toContain("laef");
    await notice.getByRole("button", { name: /^line \d+$/ }).click();
    await until(() => panel.revealed[0]);
    await notice.getByRole("button", { name: "Dismiss" }).click();
    expect(await notice.innerText()).toBe("");
    await panel.change("ink: laef,", "ink: leef,");
    await panel.settled();
    expect(await notice.innerText()).toContain('There is no ink "leef"');
    await panel.undoLast();
    await panel.undoLast();
    await panel.settled();
    expect(await notice.innerText()).toBe("");
  });

  it("lays the press out before there is a picture, shows few pixels, and then the picture", async () => {
    const folder = await job();
    await sharp(join(folder, "art.png")).resize(1000, 1000).png().toFile(join(folder, "large.png"));
    const text = SMALL_RECIPE.replace("art.png", "large.png");
    writeFileSync(join(folder, "job.sep.yaml"), text);
    const panel = await open(folder);
    await panel.painted();
    const sizes = panel.previews.map(({ job, picture }) => [job?.title, picture?.artwork.width]);
    // Text and picture are asked for together, and a fast machine may have the picture first.
    expect(sizes.filter(([, width]) => width !== undefined)).toEqual([
      ["Four quarters", 316],
      ["Four quarters", 1000],
    ]);
    const shown = await panel.pixels(MAIN);
    expect([shown.width, shown.height]).toEqual([1000, 1000]);
    expect(panel.complaints).toEqual([]);
  });

  it("says that the artwork is missing, and shows it once it is there", async () => {
    const folder = await job();
    unlinkSync(join(folder, "art.png"));
    const panel = await open(folder);
    const notice = panel.frame.getByRole("region", { name: "Notices" });
    await until(async () =>
      (await notice.innerText()).includes("there is no such file") ? true : undefined,
    );
    await panel.settled();
    await notice.getByRole("button", { name: "Choose artwork…" }).click();
    expect(await until(() => panel.went[0])).toBe("chooseArtwork");
    expect(await panel.frame.locator("main").innerText()).toContain("There is no picture to show.");
    await writeArtwork(join(folder, "art.png"));
    panel.session.filesChanged();
    await panel.painted();
    expect(await notice.innerText()).toBe("");
  });

  it("shows films and the inks at hand where the shop file lies outside, and all once it may be read", async () => {
    const folder = await job();
    mkdirSync(join(folder, "job"));
    const shop = 'shop: 1\ninks:\n  leaf: { colour: "#2f8f4e", opacity: 66% }\n';
    writeFileSync(join(folder, "our.shop.yaml"), shop);
    renameSync(join(folder, "art.png"), join(folder, "job", "art.png"));
    const own = /^ {2}leaf: .*opacity.*\n/m;
    const text = SMALL_RECIPE.replace("recipe: 1", "recipe: 1\nshop: ../our.shop.yaml").replace(own, "");
    writeFileSync(join(folder, "job", "job.sep.yaml"), text);
    const panel = await open(join(folder, "job"));
    await panel.painted();
    const notice = panel.frame.getByRole("region", { name: "Notices" });
    expect(await notice.innerText()).toContain("Not in this proof: leaf,");
    // The green quarter is the base's white, the red one in its ink.
    const colours = async () => {
      const { data } = await panel.pixels(MAIN);
      const at = (x: number, y: number) => [...data.subarray((y * 200 + x) * 4, (y * 200 + x) * 4 + 3)];
      return { green: at(140, 60), red: at(60, 60) };
    };
    const without = await colours();
    expect(Math.abs(without.green[1]! - without.green[0]!)).toBeLessThan(5);
    expect(without.red[0]!).toBeGreaterThan(without.red[2]! + 60);
    await notice.getByRole("button", { name: "Read this shop file" }).click();
    expect(await until(() => panel.went[0])).toBe("readShop");
    await panel.client.connection.sendNotification("platewright/alsoRead", {
      files: [join(folder, "our.shop.yaml")],
    });
    await until(async () => {
      const { green } = await colours();
      return green[1]! > green[0]! + 10 ? true : undefined;
    });
    // Painted first; what stands around the picture comes once it rests.
    await panel.settled();
    expect(await notice.innerText()).toBe("");
  });

  it("turns into the films' dots far beyond print size, in register or as one print, and into their mean", async () => {
    const panel = await open(await job());
    await panel.painted();
    const stage = panel.frame.locator(".stage");
    await stage.press("1");
    for (let i = 0; i < 10; i++) await stage.press("+");
    const dots = panel.frame.locator("film-view canvas");
    await dots.waitFor();
    await panel.settled();
    // All squares are there once every pixel is opaque.
    const drawn = () =>
      until(async () => {
        const { data } = await panel.pixels("film-view canvas");
        for (let i = 3; i < data.length; i += 4) if (data[i] !== 255) return undefined;
        return data;
      });
    const register = await drawn();
    const colours = new Set<string>();
    for (let at = 0; at < register.length; at += 4) colours.add(register.subarray(at, at + 3).join());
    // Garment and overprints of solid inks; nothing between them.
    expect(colours.size).toBeGreaterThan(1);
    expect(colours.size).toBeLessThan(20);
    await panel.screenshot("film-dots");
    await choose(panel, "One print");
    await until(async () => (Buffer.compare(await drawn(), register) === 0 ? undefined : true));
    await panel.frame.getByRole("button", { name: "Next print" }).click();
    await panel.frame.getByRole("radio", { name: "Print 2 of 16" }).waitFor();
    await choose(panel, "Mean print");
    expect(await dots.count()).toBe(0);
    await stage.press("0");
    expect(await panel.frame.getByRole("radio", { name: "In register" }).count()).toBe(0);
  });

  it("shows one print at the size of the window, its worst edges marked and listed, and moves a plate by keys", async () => {
    const panel = await open(await job());
    await panel.painted();
    const mean = await panel.pixels(MAIN);
    const edges = panel.frame.locator("worst-places button");
    expect(await edges.count()).toBe(0);
    await choose(panel, "One print");
    const first = await panel.pixels(MAIN);
    expect(Buffer.compare(first.data, mean.data)).not.toBe(0);
    // Far from every edge the print is the mean of all.
    const at = ({ data, width, height }: typeof mean, x: number, y: number) => {
      const i = (Math.floor(y * height) * width + Math.floor(x * width)) * 4;
      return [...data.subarray(i, i + 3)];
    };
    expect(at(first, 0.3, 0.3)).toEqual(at(mean, 0.3, 0.3));
    expect(await edges.count()).toBeGreaterThan(0);
    expect(await panel.frame.locator("picture-view .worst").count()).toBe(await edges.count());
    expect(await edges.first().innerText()).toMatch(
      /1\s+\d+\.\d\s+(bare garment|base shows|.*overlap|.*beyond)/,
    );
    await panel.frame.getByRole("button", { name: "Next print" }).click();
    await panel.settled();
    const second = await panel.pixels(MAIN);
    expect(Buffer.compare(second.data, first.data)).not.toBe(0);
    await panel.screenshot("one-print");

    // Keys move the plate, and not the probe.
    await panel.frame.getByLabel("Arrow keys move").selectOption("sea");
    const liesOff = async () => {
      const said = await panel.frame.locator("worst-places p").innerText();
      const [, x, y] = /^sea lies off by (.+), (.+) mm$/.exec(said.replaceAll("−", "-"))!;
      return [Number(x), Number(y)] as const;
    };
    const [x, y] = await liesOff();
    for (let i = 0; i < 30; i++) await panel.frame.locator(".stage").press("ArrowRight");
    await panel.settled();
    const moved = await liesOff();
    expect(moved[0]).toBeCloseTo(x + 0.3, 6);
    expect(moved[1]).toBe(y);
    expect(await panel.frame.locator("picture-view .cross").count()).toBe(0);
    await panel.screenshot("one-print-moved");
    expect(await edges.first().innerText()).toContain("sea");
    await edges.first().click();
    await panel.settled();
    expect(await panel.frame.locator("picture-view .cross").count()).toBe(1);

    await choose(panel, "Mean print");
    await panel.frame.locator(".stage").press("Escape");
    // Where no plate is seen to move, keys move the probe.
    await panel.frame.locator(".stage").press("ArrowRight");
    expect(await panel.frame.locator("picture-view .cross").count()).toBe(1);
    expect(Buffer.compare((await panel.pixels(MAIN)).data, mean.data)).toBe(0);
    expect(await edges.count()).toBe(0);
  });

  it("reads no artwork in a workspace that is not trusted, says so, and reads it once it is", async () => {
    const panel = await open(await job(), { trusted: false });
    const notice = panel.frame.getByRole("region", { name: "Notices" });
    await until(async () => ((await notice.innerText()).includes("not trusted") ? true : undefined));
    expect(panel.previews.some(({ picture }) => picture)).toBe(false);
    await panel.client.connection.sendNotification("platewright/trusted");
    await panel.painted();
  });

  it("comes back after a reload as it was left", async () => {
    const panel = await open(await job());
    await panel.painted();
    await choose(panel, "white");
    await panel.frame.locator('[data-plate="ember"]').click();
    await panel.frame.locator(".stage").press("1");
    await panel.frame.locator(".stage").press("+");
    await panel.settled();
    const percent = await panel.frame.locator(".percent").innerText();
    await new Promise((resolve) => setTimeout(resolve, 300));
    await panel.reload();
    expect(await panel.frame.getByRole("radio", { name: "white" }).getAttribute("aria-checked")).toBe("true");
    expect(await panel.frame.getByRole("radio", { name: "Plate" }).getAttribute("aria-checked")).toBe("true");
    expect(await panel.frame.locator("view-bar .about").innerText()).toBe("plate ember");
    expect(await panel.frame.locator(".percent").innerText()).toBe(percent);
  });

  it("shows its picture again once it has room for it", async () => {
    const panel = await open(await job());
    await panel.painted();
    const canvas = panel.frame.locator("picture-view canvas.main");
    await panel.page.locator("iframe").evaluate((frame) => {
      frame.style.display = "none";
    });
    await canvas.waitFor({ state: "detached" });
    await panel.page.locator("iframe").evaluate((frame) => {
      frame.style.display = "block";
    });
    await canvas.waitFor();
    await panel.painted();
  });

  it("takes kept state that is odd for none", async () => {
    const state = {
      garment: 7,
      mode: "upside down",
      after: -3,
      without: "all",
      scale: "large",
      centre: [null],
    };
    const panel = await open(await job(), { state });
    await panel.painted();
    expect(await panel.frame.getByRole("radio", { name: "black" }).getAttribute("aria-checked")).toBe("true");
    expect(panel.complaints).toEqual([]);
  });

  it("does no work while it is hidden, and catches up when it is shown", async () => {
    const panel = await open(await job());
    await panel.painted();
    panel.session.setVisible(false);
    panel.sent.length = 0;
    await panel.change("within: 10, fade: 8", "within: 2, fade: 1");
    await panel.cursorAt("title");
    await new Promise((resolve) => setTimeout(resolve, 400));
    expect(panel.sent).toEqual([]);
    panel.session.setVisible(true);
    await until(() => panel.previews[0]);
    expect(panel.previews[0]!.version).toBe(panel.document.version);
  });

  it("is one for each recipe", async () => {
    const folder = await job();
    writeFileSync(join(folder, "other.sep.yaml"), SMALL_RECIPE.replace("Four quarters", "Another"));
    const [one, two] = [await open(folder), await open(folder, { file: "other.sep.yaml" })];
    await one.painted();
    await two.painted();
    two.sent.length = 0;
    await one.change("Four quarters", "Four corners");
    await one.settled();
    expect(await one.frame.locator("h1").innerText()).toBe("Four corners");
    expect(await two.frame.locator("h1").innerText()).toBe("Another");
    expect(two.sent).toEqual([]);
  });

  it("shows the garment that it was opened for", async () => {
    const panel = await open(await job());
    panel.session.show("white");
    await panel.painted();
    expect(await panel.frame.getByRole("radio", { name: "white" }).getAttribute("aria-checked")).toBe("true");
  });

  describe.skipIf(!hasGit)("beside the last commit (needs git)", () => {
    async function committed(): Promise<string> {
      const folder = await job();
      git(folder, "init", "-q");
      git(folder, "add", ".");
      git(folder, "commit", "-q", "-m", "first");
      return folder;
    }
    function git(folder: string, ...args: string[]): void {
      const who = ["-c", "user.name=A Printer", "-c", "user.email=printer@example.org"];
      const { status, stderr } = spawnSync("git", [...who, ...args], { cwd: folder, encoding: "utf8" });
      expect(status, stderr).toBe(0);
    }

    it("shows before, after and the difference, of the composite and of each plate", async () => {
      const panel = await open(await committed());
      await panel.painted();
      const before = await panel.pixels(MAIN);
      await panel.change('near: "#d8431f"\n      within: 10', 'near: "#3a4fa0"\n      within: 10');
      await panel.settled();
      const after = await panel.pixels(MAIN);
      expect(Buffer.compare(after.data, before.data)).not.toBe(0);
      await choose(panel, "Last commit");
      await panel.frame.locator("view-bar span", { hasText: /^commit [0-9a-f]{8}$/ }).waitFor();
      await panel.settled();
      const difference = await panel.pixels(MAIN);
      // The red quarter changed, the green one did not.
      const at = (data: Uint8Array, x: number, y: number) => [
        ...data.subarray((y * 200 + x) * 4, (y * 200 + x) * 4 + 3),
      ];
      expect(lightness(at(difference.data, 60, 60))).toBeGreaterThan(lightness(at(difference.data, 140, 60)));
      await panel.screenshot("commit-difference");
      await choose(panel, "Before");
      expect(Buffer.compare((await panel.pixels(MAIN)).data, before.data)).toBe(0);
      await choose(panel, "After");
      expect(Buffer.compare((await panel.pixels(MAIN)).data, after.data)).toBe(0);
      expect(
        await panel.frame
          .locator(".station:has(.changed) .row")
          .evaluateAll((all) => all.map((row) => row.getAttribute("data-plate"))),
      ).toEqual(["ember"]);
      await panel.frame.locator('[data-plate="ember"]').click();
      await choose(panel, "Difference");
      const plate = await panel.pixels(MAIN);
      await panel.screenshot("commit-plate");
      // Less ink on red (blue in the map), more on blue (brown), the same on green (near white).
      const [red, green, blue] = [at(plate.data, 60, 60), at(plate.data, 140, 60), at(plate.data, 60, 140)];
      expect(red[2]!).toBeGreaterThan(red[0]!);
      expect(blue[0]!).toBeGreaterThan(blue[2]!);
      expect(Math.min(...green)).toBeGreaterThan(240);
      await panel.frame.locator('[data-plate="leaf"]').click();
      await panel.settled();
      const over = panel.frame.locator(".over-picture");
      expect(await over.innerText()).toBe("Nothing changed in plate leaf since the last commit");
      await panel.undoLast();
      await choose(panel, "Composite");
      expect(await over.innerText()).toBe("Nothing changed since the last commit");
    });

    it("takes the artwork as the commit has it", async () => {
      const folder = await committed();
      await writeArtwork(join(folder, "art.png"), ["#3a4fa0", "#2f8f4e", "#d8431f", "#101012"]);
      const panel = await open(folder, { state: { mode: "commit", commit: "before" } });
      await until(() => panel.sent.find(({ kind }) => kind === "committed"));
      await panel.painted();
      const { data } = await panel.pixels(MAIN);
      const at = (60 * 200 + 60) * 4;
      // Red then, blue now.
      expect(data[at]!).toBeGreaterThan(data[at + 2]!);
    });

    it("says so where there is no repository, no commit, or the recipe is in none", async () => {
      const says = async (folder: string) => {
        const panel = await open(folder, { state: { mode: "commit" } });
        return until(async () => {
          const over = panel.frame.locator(".over-picture");
          return (await over.count()) > 0 ? over.innerText() : undefined;
        });
      };
      const folder = await job();
      expect(await says(folder)).toContain("This folder is in no git repository");
      const [alone] = panels;
      await alone!.frame.getByRole("button", { name: "Begin a repository" }).click();
      await until(() => alone!.went[0]);
      expect(alone!.went).toEqual(["beginGit"]);
      git(folder, "init", "-q");
      expect(await says(folder)).toContain("The repository has no commit yet");
      writeFileSync(join(folder, "note.txt"), "first");
      git(folder, "add", "note.txt");
      git(folder, "commit", "-q", "-m", "first");
      expect(await says(folder)).toContain("ob.sep.yaml: it is not in the commit");
    });
  });
});

/** Rough, for comparing. */
function lightness([r, g, b]: readonly number[]): number {
  return 0.2 * r! + 0.7 * g! + 0.1 * b!;
}
