import { renameSync } from "node:fs";
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { artPng, platewright, put, RECIPE } from "../cli/program.ts";
import { CHROMIUM, launch, NEEDS_CHROMIUM } from "../client/panel/chromium.ts";
import { TestPanel } from "../client/panel/harness.ts";
import { until } from "../lsp/client.ts";
import { scratch } from "../output/folders.ts";

/** Page content that would run a script or fetch something, in each place where a page could put a text. */
function hostileTexts(origin: string): string[] {
  return [
    "<script>window.ran=1</script>",
    `<script src="${origin}/a.js"></script>`,
    "</title><script>window.ran=2</script>",
    "</style><script>window.ran=3</script>",
    "--><script>window.ran=4</script>",
    `<img src="${origin}/b.png" onerror="window.ran=5">`,
    `"><img src=${origin}/c.png onerror=window.ran=6>`,
    `'><svg onload=window.ran=7>`,
    `" onmouseover="window.ran=8" autofocus onfocus="window.ran=9`,
    `<iframe src="javascript:parent.ran=10"></iframe>`,
    `<link rel=stylesheet href=${origin}/d.css>`,
    `<style>@import url(${origin}/e.css);*{background:url(${origin}/f.png)}</style>`,
    `<meta http-equiv=refresh content="0;url=${origin}/g">`,
    `<base href=${origin}/>`,
    `<object data=${origin}/h></object>`,
    "javascript:window.ran=11",
    `url(${origin}/i.png)`,
    // biome-ignore lint/suspicious/noTemplateCurlyInString: what a template would take for its own.
    "${window.ran=12}{{window.ran=13}}",
    "&lt;script&gt;&#60;script&#62;window.ran=14",
  ];
}

describe.skipIf(!CHROMIUM)(`hostile words in every field ${NEEDS_CHROMIUM}`, () => {
  const { fresh } = scratch();
  const asked: string[] = [];
  let server: Server;
  let origin: string;
  let browser: Browser;
  let hostile: string;

  beforeAll(async () => {
    server = createServer(({ url }, response) => {
      asked.push(url ?? "");
      response.end();
    });
    await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
    origin = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
    hostile = hostileTexts(origin).join(" ");
    browser = await launch();
  });
  afterAll(async () => {
    await browser?.close();
    server?.closeAllConnections();
    server?.close();
  });

  /** What a page tried: scripts that ran, requests, and what its policy or the browser complained of. */
  async function watched(open: (page: Page) => Promise<unknown>): Promise<unknown> {
    asked.length = 0;
    const page = await browser.newPage();
    const complaints: string[] = [];
    page.on("console", (message) => complaints.push(message.text()));
    page.on("pageerror", (error) => complaints.push(error.message));
    page.on("dialog", (dialog) => void dialog.dismiss());
    await open(page);
    const tried = { ran: await page.evaluate("window.ran"), asked: [...asked], complaints };
    await page.close();
    return tried;
  }
  const nothing = { ran: undefined, asked: [], complaints: [] };
  const shown = (file: string) => async (page: Page) => {
    await page.goto(pathToFileURL(file).href);
    expect(await page.locator("body").innerText()).toContain("<script>window.ran=1</script>");
    await page.locator("body").hover();
    await page.keyboard.press("Tab");
  };

  /** A sound job with words that it may choose itself, from its title to its files' names. */
  async function job(): Promise<{ folder: string; recipe: string }> {
    const folder = fresh();
    const said = JSON.stringify(hostile);
    const named = "<img src=x onerror=window.ran=20>";
    put(folder, `${named}.png`, await artPng());
    const recipe = `${RECIPE.replace(
      "title: Two halves",
      `title: ${said}\nshop: ${JSON.stringify(`${named}.shop.yaml`)}`,
    )
      .replace("file: art.png", `file: ${JSON.stringify(`${named}.png`)}`)
      .replace("inks:", `# allow rising-range: ${hostile}\ninks:`)
      .replace(
        "  ember: { ink: ember",
        `  # allow far-ink: ${hostile}\n  ember: { mesh: fine, ink: ember`,
      )}adjust:
  - { plate: ember, curve: [[0, 0], [100, 90]], lesson: { date: 2026-03-14, because: ${said} } }
`;
    put(folder, `${named}.sep.yaml`, recipe);
    put(
      folder,
      `${named}.shop.yaml`,
      `shop: 1
title: ${said}
press: { stations: 10, flashes: 2 }
meshes: { fine: { count: 225/in, thread: 40 um, opening: 73 um, thickness: 59 um } }
usual-mesh: { colour: fine, underbase: fine }
press-notes: { underbase: ${said}, colour: ${said}, flash: ${said}, cool-down: ${said}, highlight: ${said}, shadow: ${said} }
`,
    );
    return { folder, recipe: `${named}.sep.yaml` };
  }

  it("do run where a page puts them in as they are, so that the tests below can fail", async () => {
    const file = put(
      fresh(),
      "raw.html",
      `<!doctype html><body>${hostileTexts(origin).slice(0, 12).join("\n")}`,
    );
    expect(await watched((page) => page.goto(pathToFileURL(file).href))).not.toMatchObject({
      ran: undefined,
    });
    expect(asked.length).toBeGreaterThan(3);
  });

  it("are words in the job ticket", async () => {
    const { folder, recipe } = await job();
    const run = await platewright(folder, "ticket", recipe, "--setup", "dark", "--out", "t.html");
    expect(run, run.err).toMatchObject({ status: 0 });
    expect(await watched(shown(join(folder, "t.html")))).toEqual(nothing);
  });

  it("are words in an order's pages", async () => {
    const { folder, recipe } = await job();
    const said = JSON.stringify(hostile);
    put(
      folder,
      "a.order.yaml",
      `order: 1
title: ${said}
customer: ${said}
prints: { front: { recipe: ${JSON.stringify(recipe)}, place: front } }
lines: [{ garment: black, sizes: { M: 2 }, prints: [front] }]
`,
    );
    const run = await platewright(folder, "order", "a.order.yaml", "--out", "o", "--no-films");
    expect(run, run.err).toMatchObject({ status: 0 });
    for (const page of ["a-office.html", "a-ticket-front-dark.html"])
      expect(await watched(shown(join(folder, "o", page)))).toEqual(nothing);
    // A long title is cut on the sheet.
    const sheet = async (page: Page) => page.goto(pathToFileURL(join(folder, "o/a-approval.html")).href);
    expect(await watched(sheet)).toEqual(nothing);
  });

  it("are words in the review", async () => {
    const { folder, recipe } = await job();
    const before = put(
      folder,
      "<script>window.ran=21<.sep.yaml",
      RECIPE.replace("Two halves", "'</style><b>'"),
    );
    put(folder, "art.png", await artPng());
    const run = await platewright(folder, "review", before, recipe, "--html", "r.html");
    expect(run, run.err).toMatchObject({ err: "" });
    expect(await watched(shown(join(folder, "r.html")))).toEqual(nothing);
  });

  it("are words in the proof panel, in a sound recipe and in names that nobody knows", async () => {
    const { folder, recipe } = await job();
    renameSync(join(folder, recipe), join(folder, "job.sep.yaml"));
    asked.length = 0;
    const panel = await TestPanel.open(browser, { folder, file: "job.sep.yaml" });
    try {
      await panel.painted();
      const broken = panel.text
        .replace(
          "{ mesh: fine, ink: ember",
          `{ mesh: ${JSON.stringify(hostile)}, ink: ${JSON.stringify(hostile)}`,
        )
        .replace("order: [ember]", `order: [ember, ${JSON.stringify(hostile)}]`)
        .replace(
          "garments: [brick], ",
          `${JSON.stringify(hostile)}: 1, garments: [${JSON.stringify(hostile)}], `,
        );
      expect(broken).not.toBe(panel.text);
      const notices = panel.frame.getByRole("region", { name: "Notices" });
      await panel.type(broken);
      await until(async () => ((await notices.innerText()).includes("window.ran") ? true : undefined));
      await panel.undoLast();
      await panel.change(
        JSON.stringify("<img src=x onerror=window.ran=20>.png"),
        JSON.stringify(`${hostile}.png`),
      );
      await panel.settled();
      expect(await panel.frame.evaluate("window.ran")).toBeUndefined();
      expect(await panel.page.evaluate("window.ran")).toBeUndefined();
      expect({ asked, complaints: panel.complaints }).toEqual({ asked: [], complaints: [] });
    } finally {
      await panel.close();
    }
  });
});
