import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { inflateRawSync } from "node:zlib";
import type { Browser } from "playwright-core";
import sharp from "sharp";
import { afterAll, afterEach, beforeAll, describe, expect, it } from "vitest";
import type { Store } from "../../../client/panel/store.ts";
import type { PreviewResult } from "../../../server/wire/panel.ts";
import { until } from "../../lsp/client.ts";
import { CHROMIUM, launch, NEEDS_CHROMIUM } from "./chromium.ts";
import { TestPanel } from "./harness.ts";

const program = fileURLToPath(new URL("../../../dist/platewright.js", import.meta.url));
const MAIN = "picture-view canvas.main";

describe.skipIf(!CHROMIUM)(`the panel's picture of the demo ${NEEDS_CHROMIUM}`, () => {
  let browser: Browser;
  let panel: TestPanel;
  let out: string;
  let ppi: number;
  beforeAll(async () => {
    browser = await launch();
    panel = await TestPanel.open(browser);
    out = mkdtempSync(join(tmpdir(), "platewright-panel-"));
    await panel.painted();
    ppi = panel.previews.at(-1)!.picture!.artwork.ppi;
  });
  afterAll(async () => {
    await panel?.close();
    await browser?.close();
    if (out) rmSync(out, { recursive: true, force: true });
  });
  afterEach(async () => {
    await choose("Proof");
    await choose("black");
    await panel.frame.locator(".stage").press("0");
    await panel.frame.locator(".stage").press("Escape");
    await panel.settled();
  });

  async function choose(name: string): Promise<void> {
    await panel.frame.getByRole("radio", { name, exact: true }).click();
    await panel.settled();
  }

  async function output(label: string): Promise<void> {
    await panel.frame.getByRole("button", { name: "Output", exact: true }).click();
    await panel.frame.getByRole("menuitem", { name: label, exact: true }).click();
  }

  /** What the command line makes of the same recipe at the same size, RGB; and what it says. */
  async function proof(garment: string, ...more: string[]) {
    const file = join(out, `${garment}${more.join("")}.png`);
    const args = [
      "proof",
      fileURLToPath(panel.uri),
      "--garment",
      garment,
      "--out",
      file,
      "--ppi",
      String(ppi),
      ...more,
    ];
    const { status, stdout, stderr } = spawnSync(process.execPath, [program, ...args], { encoding: "utf8" });
    expect(status, stderr).toBe(0);
    const { data, info } = await sharp(file).removeAlpha().raw().toBuffer({ resolveWithObject: true });
    return { data, info, said: stdout };
  }

  /** Largest difference of any channel of any pixel, in 255ths. */
  function furthest(
    shown: { width: number; height: number; data: Uint8Array },
    made: Awaited<ReturnType<typeof proof>>,
  ) {
    expect([shown.width, shown.height]).toEqual([made.info.width, made.info.height]);
    let most = 0;
    for (let i = 0; i < shown.width * shown.height; i++) {
      if (shown.data[i * 4 + 3] !== 255) return 255;
      for (let c = 0; c < 3; c++)
        most = Math.max(most, Math.abs(shown.data[i * 4 + c]! - made.data[i * 3 + c]!));
    }
    return most;
  }

  it.each(["black", "white"])("is within 1/255 of the command line's proof on %s", async (garment) => {
    await choose(garment);
    expect(furthest(await panel.pixels(MAIN), await proof(garment))).toBeLessThanOrEqual(1);
  });

  it("steps through the stations back and forth, flashes included, each as the command line's", async () => {
    const here = () => panel.frame.locator(".carriage .where").innerText();
    const body = panel.frame.locator(".stage");
    for (let i = 0; i < 10; i++) await body.press("[");
    expect(await here()).toBe("bare garment");
    await body.press("]");
    await panel.settled();
    const based = await panel.pixels(MAIN);
    expect(furthest(based, await proof("black", "--after", "1"))).toBeLessThanOrEqual(1);
    await body.press("]");
    await panel.settled();
    expect(await here()).toBe("after station 2 of 10, flash");
    expect(Buffer.compare((await panel.pixels(MAIN)).data, based.data)).toBe(0);
    await panel.frame.getByRole("button", { name: "On one station" }).click();
    await panel.frame.getByRole("button", { name: "On one station" }).click();
    await panel.settled();
    expect(await here()).toBe("after station 4 of 10, leaf");
    expect(furthest(await panel.pixels(MAIN), await proof("black", "--after", "4"))).toBeLessThanOrEqual(1);
    await panel.frame.getByRole("slider", { name: "Stations that have printed" }).press("End");
    expect(await here()).toBe("all 10 stations");
  });

  it("leaves a station out for a look, and the recipe as it is", async () => {
    const text = panel.text;
    const before = await panel.pixels(MAIN);
    await panel.frame.getByRole("button", { name: "Station 4, leaf", exact: true }).click();
    await panel.frame.getByRole("menuitem", { name: "Leave out" }).click();
    await panel.settled();
    const without = await panel.pixels(MAIN);
    expect(Buffer.compare(without.data, before.data)).not.toBe(0);
    await panel.frame.getByRole("button", { name: "put back" }).click();
    await panel.settled();
    expect(Buffer.compare((await panel.pixels(MAIN)).data, before.data)).toBe(0);
    await panel.frame.locator('[data-plate="leaf"]').press("Delete");
    await panel.settled();
    expect(Buffer.compare((await panel.pixels(MAIN)).data, without.data)).toBe(0);
    await panel.frame.locator('[data-plate="leaf"]').press("Delete");
    await panel.settled();
    expect(Buffer.compare((await panel.pixels(MAIN)).data, before.data)).toBe(0);
    expect(panel.text).toBe(text);
  });

  it("maps ΔE00 with a scale, and its figures are those of the command line", async () => {
    await choose("ΔE00");
    const figures = await panel.frame.locator("view-bar .figures[role=status]").innerText();
    const { said } = await proof("black");
    const [mean, p95] = [...said.matchAll(/(?:mean ΔE00|percentile) ([\d.]+)/g)].map(([, v]) => Number(v));
    const [ours, ours95] = [...figures.matchAll(/[\d.]+(?=,|$)/g)].map(([v]) => Number(v));
    expect(ours).toBeCloseTo(mean!, 1);
    expect(Math.abs(ours95! - p95!)).toBeLessThanOrEqual(0.1);
    // The scale reaches what 95 % keep within.
    const scale = panel.frame.getByRole("img", { name: /^Scale of ΔE00/ });
    const end = Number(/0 to (\d+)/.exec((await scale.getAttribute("aria-label"))!)![1]);
    expect(end).toBeGreaterThanOrEqual(p95!);
    const place = panel.frame.getByRole("list", { name: "Worst places, ΔE00" }).getByRole("button").first();
    const said0 = await place.innerText();
    await place.click();
    await panel.settled();
    // It goes there: the probe stands where it is bad, and the plates named print there.
    const at = Number(await panel.frame.locator("probe-bar .difference b").innerText());
    expect(at).toBeGreaterThan(mean!);
    const [, ...names] = said0.split(/\s|,|and/).filter(Boolean);
    for (const name of names) {
      const row = panel.frame.locator(`.row[data-plate="${name}"]`);
      if ((await row.count()) > 0) expect(await row.locator(".tone b").innerText()).not.toBe("0 %");
    }
  });

  it("says what keeps the garment's print from being nearer, when asked", async () => {
    await choose("ΔE00");
    await panel.frame.getByRole("button", { name: "Why no nearer?" }).click();
    const told = panel.frame.locator("what-is-left [role=status]");
    await told.waitFor();
    const [split, most] = await told.locator("p").allInnerTexts();
    expect(split).toMatch(/^ΔE00 \d\.\d\d at sampled pixels, \d\.\d\d out of gamut, /);
    expect(most).toMatch(/^Most would come of /);
  });

  it("wipes between artwork and proof by mouse and keys", async () => {
    await choose("Wipe");
    const wipe = panel.frame.getByRole("slider", { name: /^Wipe/ });
    expect(await wipe.getAttribute("aria-valuenow")).toBe("50");
    await wipe.press("ArrowLeft");
    expect(await wipe.getAttribute("aria-valuenow")).toBe("48");
    const box = (await wipe.boundingBox())!;
    await panel.page.mouse.move(box.x + box.width / 2, box.y + 200);
    await panel.page.mouse.down();
    await panel.page.mouse.move(box.x + box.width / 2 + 80, box.y + 200, { steps: 4 });
    await panel.page.mouse.up();
    expect(Number(await wipe.getAttribute("aria-valuenow"))).toBeGreaterThan(55);
    // The demo's artwork is opaque in the middle: its own pixels.
    const shown = await panel.pixels("picture-view canvas.wipe");
    const artwork = sharp(fileURLToPath(new URL("night-garden.svg", panel.uri)), { density: 96 });
    const { data } = await artwork
      .resize(shown.width, shown.height, { fit: "fill" })
      .raw()
      .toBuffer({ resolveWithObject: true });
    const middle = (Math.floor(shown.height / 2) * shown.width + Math.floor(shown.width / 2)) * 4;
    for (let c = 0; c < 3; c++)
      expect(Math.abs(shown.data[middle + c]! - data[middle + c]!)).toBeLessThan(40);
  });

  it("shows a plate alone as film, black on clear, with the tones of the command line's plates", async () => {
    await panel.frame.locator('[data-plate="violet"]').click();
    await panel.settled();
    const { data, width, height } = await panel.pixels(MAIN);
    const args = ["plates", fileURLToPath(panel.uri), "--out", join(out, "plates"), "--ppi", String(ppi)];
    expect(spawnSync(process.execPath, [program, ...args]).status).toBe(0);
    const plate = await sharp(join(out, "plates/violet.png")).raw().toBuffer({ resolveWithObject: true });
    expect([plate.info.width, plate.info.height]).toEqual([width, height]);
    const { channels } = plate.info;
    let wrong = 0;
    for (let i = 0; i < width * height; i++) {
      if (255 - data[i * 4 + 3]! !== plate.data[i * channels]) wrong++;
    }
    expect(wrong).toBe(0);
    await choose("In ink");
    const inked = await panel.pixels(MAIN);
    // A corner, where nothing prints: the garment.
    expect([...inked.data.subarray(0, 4)]).toEqual([0x17, 0x17, 0x1a, 255]);
    await choose("As film");
  });

  it("shows all garments at once, each with its setup", async () => {
    const large = await panel.pixels(MAIN);
    await choose("All garments");
    const under = panel.frame.locator("garment-sheet .under");
    // Figures follow their pictures.
    await expect.poll(() => under.filter({ hasText: "mean" }).count(), { timeout: 20_000 }).toBe(3);
    const names = await under.allInnerTexts();
    const { said } = await proof("black");
    const mean = Number(/mean ΔE00 ([\d.]+)/.exec(said)![1]);
    expect(names.map((name) => name.replace(/\s+/g, " "))).toEqual([
      expect.stringMatching(/^black mean ΔE00 \d+\.\d setup dark, 9 screens$/),
      expect.stringMatching(/^white mean ΔE00 \d+\.\d setup light, 7 screens$/),
      expect.stringMatching(/^brick mean ΔE00 \d+\.\d setup dark, 9 screens$/),
    ]);
    expect(Number(/ΔE00 ([\d.]+)/.exec(names[0]!)![1])).toBeCloseTo(mean, 0);
    const small = await panel.pixels('garment-sheet canvas[data-print="black dark"]');
    expect(Buffer.compare(small.data, large.data)).toBe(0);
    // A low panel scrolls, and cuts no picture off.
    await panel.page.setViewportSize({ width: 640, height: 480 });
    const cards = await panel.frame.locator("garment-sheet button").all();
    for (const card of cards) {
      const [outer, inner] = await Promise.all([card.boundingBox(), card.locator("canvas").boundingBox()]);
      expect(inner!.y + inner!.height).toBeLessThanOrEqual(outer!.y + outer!.height);
    }
    await panel.page.setViewportSize({ width: 1180, height: 800 });
    await panel.frame.locator("garment-sheet button").nth(2).click();
    await panel.settled();
    expect(await panel.frame.getByRole("radio", { name: "brick" }).getAttribute("aria-checked")).toBe("true");
  });

  it("zooms to print size and beyond by keys, wheel and buttons, moves, and fits again", async () => {
    const percent = async () => Number.parseInt(await panel.frame.locator(".percent").innerText(), 10);
    const stage = panel.frame.locator(".stage");
    const fitted = await percent();
    await stage.press("1");
    expect(await percent()).toBe(100);
    const box = async () => (await panel.frame.locator(MAIN).boundingBox())!;
    // 12 inches at 96 CSS pixels each.
    expect((await box()).width).toBeCloseTo(12 * 96, 0);
    const before = await box();
    await stage.press("Alt+ArrowRight");
    expect((await box()).x).toBeCloseTo(before.x - 60, 0);
    const at = (await stage.boundingBox())!;
    await panel.page.mouse.move(at.x + 200, at.y + 200);
    await panel.page.mouse.down();
    await panel.page.mouse.move(at.x + 250, at.y + 230, { steps: 3 });
    await panel.page.mouse.up();
    expect((await box()).x).toBeCloseTo(before.x - 10, 0);
    await panel.page.keyboard.down("Control");
    await panel.page.mouse.wheel(0, -400);
    await panel.page.keyboard.up("Control");
    await panel.settled();
    expect(await percent()).toBeGreaterThan(150);
    await panel.frame.getByRole("button", { name: "Fit" }).click();
    expect(await percent()).toBe(fitted);
  });

  it("asks for a sharper crop where the screen shows more than the preview has, and drops it again", async () => {
    const stage = panel.frame.locator(".stage");
    await stage.press("1");
    for (let i = 0; i < 5; i++) await stage.press("+");
    const crop = panel.frame.locator("picture-view canvas.crop");
    await crop.waitFor();
    await until(async () =>
      (await crop.evaluate((canvas) => (canvas as HTMLCanvasElement).width)) > 1 ? true : undefined,
    );
    const main = (await panel.frame.locator(MAIN).boundingBox())!;
    const [{ width }, placed] = [await panel.pixels("picture-view canvas.crop"), (await crop.boundingBox())!];
    // Twice as sharp as the preview, at least; and it covers the window.
    expect(width / placed.width).toBeGreaterThan((2 * 924) / main.width);
    await panel.screenshot("crop");
    await stage.press("0");
    await crop.waitFor({ state: "detached" });
  });

  it("tells the colours under the pointer and the tone of every plate", async () => {
    const stage = panel.frame.locator(".stage");
    const main = (await panel.frame.locator(MAIN).boundingBox())!;
    const at = (await stage.boundingBox())!;
    const { data, width } = await panel.pixels(MAIN);
    // A place on the moon.
    const [x, y] = [Math.round(width * 0.3), Math.round(width * 0.35)];
    const scale = main.width / width;
    await stage.hover({
      position: { x: main.x - at.x + (x + 0.5) * scale, y: main.y - at.y + (y + 0.5) * scale },
    });
    await panel.settled();
    const patches = await panel.frame
      .locator("probe-bar .patch")
      .evaluateAll((all) => all.map((patch) => getComputedStyle(patch).backgroundColor));
    const i = (y * width + x) * 4;
    expect(patches[1]).toBe(`rgb(${data[i]}, ${data[i + 1]}, ${data[i + 2]})`);
    expect(await panel.frame.locator("probe-bar .difference b").innerText()).toMatch(/^\d+\.\d$/);
    const tones = await panel.frame.locator(".station .tone b").allInnerTexts();
    expect(tones).toHaveLength(9);
    // The base gives way to the black that shades the moon there.
    expect([tones[0], tones[7]]).toEqual(["92 %", "8 %"]);
    await stage.press("ArrowRight");
    expect(await panel.frame.locator("probe-bar [aria-label='With this colour']").isVisible()).toBe(true);
  });

  it("hands what goes to the press on to the editor", async () => {
    for (const label of [
      "Films…",
      "Job ticket…",
      "Plates…",
      "TIFF of inks…",
      "Composite PDF…",
      "Page for review…",
    ])
      await output(label);
    expect(await until(() => (panel.outputs.length === 6 ? panel.outputs : undefined))).toEqual([
      "films",
      "ticket",
      "plates",
      "inksTiff",
      "compositePdf",
      "reviewPage",
    ]);
  });

  it("saves the composite at print size as it is shown, and all plates on one sheet", async () => {
    await output("Plate sheet…");
    const sheet = await until(() => panel.saved.find(({ name }) => name === "plates.png"));
    const { width, height } = await sharp(sheet.bytes).metadata();
    // Nine plates, three in a row.
    expect([width, height]).toEqual([40 + 3 * 600, 40 + 50 + 3 * (Math.round((560 * 1078) / 924) + 116)]);
    await panel.change("width: 12 in", "width: 1.5 in");
    await panel.settled();
    for (let i = 0; i < 7; i++) await panel.frame.locator(".stage").press("[");
    await output("Proof as shown…");
    const saved = await until(() => panel.saved.find(({ name }) => name === "proof-black.png"));
    const small = await sharp(saved.bytes).metadata();
    // A drawing is drawn at 300 pixels an inch.
    expect([small.width, small.density]).toEqual([450, 300]);
    const { data } = await sharp(saved.bytes).removeAlpha().raw().toBuffer({ resolveWithObject: true });
    const recipe = join(panel.folder, "night-garden/smaller.sep.yaml");
    writeFileSync(recipe, panel.text);
    const file = join(out, "smaller.png");
    const args = ["proof", recipe, "--garment", "black", "--after", "3", "--out", file];
    expect(spawnSync(process.execPath, [program, ...args]).status).toBe(0);
    expect(Buffer.compare(data, await sharp(file).removeAlpha().raw().toBuffer())).toBe(0);
    await panel.undoLast();
    await panel.frame.getByRole("slider", { name: "Stations that have printed" }).press("End");
    await panel.settled();
  });

  it("paints an edit of one plate, and only that plate travels", async () => {
    panel.sent.length = 0;
    await panel.change("hue: [23, 65]", "hue: [28, 60]");
    await panel.settled();
    expect(panel.previews).toHaveLength(1);
    const { artwork, plates } = panel.previews[0]!.picture!;
    expect(artwork.bytes).toBeUndefined();
    const travelled = plates.filter(({ bytes }) => bytes);
    expect(travelled.map(({ name }) => name)).toEqual(["ember"]);
    expect(travelled[0]!.bytes!.constructor).toBe(Uint8Array);
    // What travels is what differs from the plate that the page held: it must come out as the plate itself.
    expect(travelled[0]!.differsFrom).toBeDefined();
    expect(await heldPlates(panel)).toEqual(await sentWhole(panel));
    await panel.undoLast();
    await panel.settled();
    expect(await heldPlates(panel)).toEqual(await sentWhole(panel));
  });

  it("an ink's colour alone lets no plate travel", async () => {
    panel.sent.length = 0;
    const before = await panel.pixels(MAIN);
    await panel.type(
      panel.text.replace("plates:\n", 'inks:\n  gold: { colour: "#00ff00", opacity: 90% }\n\nplates:\n'),
    );
    await panel.settled();
    const after = await panel.pixels(MAIN);
    expect(Buffer.compare(after.data, before.data)).not.toBe(0);
    expect(panel.previews[0]!.picture!.plates.some(({ bytes }) => bytes)).toBe(false);
    await panel.undoLast();
    await panel.settled();
    expect(readFileSync(fileURLToPath(panel.uri), "utf8")).toBe(panel.text);
  });

  it("shows the dots of the films under a loupe, of all inks and of one plate", async () => {
    const stage = panel.frame.locator(".stage");
    const box = (await stage.boundingBox())!;
    const main = (await panel.frame.locator(MAIN).boundingBox())!;
    // On the moon, where base and black print halftones.
    await panel.page.mouse.move(main.x + 0.3 * main.width, main.y + 0.35 * main.width);
    await stage.press("d");
    await panel.settled();
    const loupe = panel.frame.locator("dot-loupe");
    expect(await loupe.locator("p").innerText()).toMatch(
      /^45 lpi, 67\.5°, round; 1200 dpi, 0\.15 in across; varies by \d\.\d ΔE00 from print to print$/,
    );
    const inks = await panel.pixels("dot-loupe canvas");
    await panel.screenshot("loupe");
    // One print has its plates off, a key moves one of them on, and all go back into register.
    await loupe.getByRole("radio", { name: "One print" }).click();
    const off = await panel.pixels("dot-loupe canvas");
    expect(off).not.toEqual(inks);
    await panel.screenshot("loupe-print");
    await loupe.getByLabel("Arrow keys move").selectOption("black");
    await loupe.locator("canvas").focus();
    for (let i = 0; i < 5; i++) await panel.page.keyboard.press("ArrowRight");
    expect(await panel.pixels("dot-loupe canvas")).not.toEqual(off);
    await loupe.getByRole("radio", { name: "In register" }).click();
    expect(await panel.pixels("dot-loupe canvas")).toEqual(inks);
    const colours = new Set<string>();
    for (let at = 0; at < inks.data.length; at += 4) colours.add(inks.data.subarray(at, at + 3).join());
    // Every pixel is garment or some overprint of solid inks.
    expect(colours.size).toBeGreaterThan(1);
    expect(colours.size).toBeLessThan(60);
    await choose("Plate");
    await choose("As film");
    await panel.page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await panel.settled();
    const film = await panel.pixels("dot-loupe canvas");
    for (let at = 0; at < film.data.length; at += 4) expect([17, 238]).toContain(film.data[at]);
    await stage.press("d");
    expect(await loupe.count()).toBe(0);
  });
});

/** A digest of each plate that the page holds. */
function heldPlates(panel: TestPanel): Promise<Record<string, string>> {
  return panel.frame.evaluate(async () => {
    const { store } = document.querySelector("proof-panel") as unknown as { store: Store };
    const digests: Record<string, string> = {};
    for (const [name, tones] of store.renderer.picture("now")!.plates) {
      const digest = await crypto.subtle.digest("SHA-256", tones as Uint8Array<ArrayBuffer>);
      digests[name] = Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, "0")).join(
        "",
      );
    }
    return digests;
  });
}

/** The same of the plates as they are sent to a page that holds none. */
async function sentWhole(panel: TestPanel): Promise<Record<string, string>> {
  const answer = await panel.client.request<PreviewResult<string>>("platewright/preview", {
    uri: panel.uri,
    held: { plates: {} },
  });
  const plates = answer.picture!.plates.map(({ name, bytes }) => {
    const tones = inflateRawSync(Buffer.from(bytes!, "base64"));
    return [name, createHash("sha256").update(tones).digest("hex")] as const;
  });
  return Object.fromEntries(plates);
}
