import { spawnSync } from "node:child_process";
import { mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { CHROMIUM, launch, NEEDS_CHROMIUM } from "../client/panel/chromium.ts";
import { scratch } from "../output/folders.ts";
import { artPng, platewright, put, putJob, RECIPE } from "./program.ts";

const { fresh } = scratch();
const hasGit = spawnSync("git", ["--version"]).status === 0;
const WIDER = RECIPE.replace("hue: [20, 60]", "hue: [15, 65]");
const HOSTILE = `</title><script>document.title="x"</script><img src=x onerror="document.title='x'">`;

function git(folder: string, ...args: string[]): string {
  const who = [
    "-c",
    "user.name=A Printer",
    "-c",
    "user.email=printer@example.org",
    "-c",
    "protocol.file.allow=always",
  ];
  const { status, stdout, stderr } = spawnSync("git", [...who, ...args], { cwd: folder, encoding: "utf8" });
  expect(status, stderr).toBe(0);
  return stdout.trim();
}

/** A repository with a job in the folder `tees`, committed. */
async function repository(): Promise<string> {
  const top = fresh();
  mkdirSync(join(top, "tees"));
  await putJob(join(top, "tees"));
  git(top, "init", "-q", "-b", "main");
  commit(top, "first");
  return top;
}

function commit(top: string, message: string): void {
  git(top, "add", "-A");
  git(top, "commit", "-q", "-m", message);
}

describe("review of two files", () => {
  it("tells no change, a change and a new error apart", async () => {
    const job = await putJob(fresh());
    put(job, "same.sep.yaml", `# a comment\n${RECIPE.replace("width: 1 in", "width: 25.4 mm")}`);
    put(job, "wider.sep.yaml", WIDER);
    put(job, "broken.sep.yaml", RECIPE.replace("{ ink: white", "{ ink: wite"));
    const of = (file: string) => platewright(job, "review", "job.sep.yaml", file);
    expect(await of("same.sep.yaml")).toEqual({
      status: 0,
      signal: null,
      out: "Two halves: job.sep.yaml → same.sep.yaml\nno change to the print\n",
      err: "",
    });
    const wider = await of("wider.sep.yaml");
    expect([wider.status, wider.out.split("\n").slice(1, 4)]).toEqual([
      3,
      ["1 change to the print", "", "  ember: hue range widened 20–60 → 15–65"],
    ]);
    const broken = await of("broken.sep.yaml");
    expect([broken.status, broken.out]).toEqual([
      1,
      expect.stringContaining('error: plates.base.ink: There is no ink "wite"'),
    ]);
  });

  it("tells of artwork that changed under the same recipe", async () => {
    const job = await putJob(fresh());
    const other = await putJob(fresh());
    const art = await artPng();
    put(other, "art.png", await sharp(Buffer.from(art)).negate({ alpha: false }).png().toBuffer());
    const { status, out } = await platewright(job, "review", "job.sep.yaml", join(other, "job.sep.yaml"));
    expect(status).toBe(3);
    expect(out).toMatch(/ {2}artwork: picture changed in 3\.\d cm², /);
    put(other, "art.png", await sharp(Buffer.from(art)).png({ compressionLevel: 0 }).toBuffer());
    const again = await platewright(job, "review", "job.sep.yaml", join(other, "job.sep.yaml"));
    expect([again.status, again.out]).toEqual([
      0,
      expect.stringContaining("file saved anew; its picture is the same"),
    ]);
  });

  it("gives JSON, and Markdown in which a recipe's text stays text", async () => {
    const job = await putJob(fresh());
    put(job, "wider.sep.yaml", WIDER.replace("Two halves", "'@all <b> [x](https://a.example) #1 | *'"));
    const json = JSON.parse(
      (await platewright(job, "review", "job.sep.yaml", "wider.sep.yaml", "--format", "json")).out,
    );
    expect(json).toMatchObject({ verdict: "changed", screens: { before: 2, after: 2 } });
    expect(json.changes[0]).toEqual({
      subject: "ember",
      plates: ["ember"],
      text: "hue range widened 20–60 → 15–65",
      prints: true,
    });
    expect(json.plates[1]).toMatchObject({
      name: "ember",
      changed: false,
      before: { coverage: expect.closeTo(0.475, 3) },
    });
    const { out } = await platewright(
      job,
      "review",
      "job.sep.yaml",
      "wider.sep.yaml",
      "--format",
      "markdown",
    );
    expect(out.split("\n")[0]).toBe(
      "### @<!-- -->all &#60;b&#62; \\[x\\](https:<!-- -->//a.example) #<!-- -->1 \\| \\*: 1 change to the print",
    );
  });

  it.each([
    [["job.sep.yaml"], "two recipes are compared: OLD and NEW"],
    [["job.sep.yaml", "job.sep.yaml", "--format", "pdf"], '--format takes text, json or markdown, not "pdf"'],
    [["job.sep.yaml", "nothing.sep.yaml"], "nothing.sep.yaml: there is no such file"],
    [[":job.sep.yaml", "job.sep.yaml"], '":job.sep.yaml" names no file'],
  ])("refuses %j", async (args, message) => {
    const job = await putJob(fresh());
    const { status, out, err } = await platewright(job, "review", ...args);
    expect([status, out, err]).toEqual([2, "", expect.stringContaining(message)]);
  });
});

describe.skipIf(!hasGit)("review of commits (needs git)", () => {
  it("takes recipe, shop file and artwork at each revision, from branches", async () => {
    const top = await repository();
    git(top, "checkout", "-q", "-b", "shop");
    put(top, "tees/job.sep.yaml", RECIPE.replace("title", "shop: ../press.shop.yaml\ntitle"));
    put(top, "press.shop.yaml", "shop: 1\nscreening: { ruling: 55 lpi }\n");
    commit(top, "a shop file");
    git(top, "checkout", "-q", "main");
    const { status, out, err } = await platewright(
      top,
      "review",
      "main:tees/job.sep.yaml",
      "shop:tees/job.sep.yaml",
    );
    expect([err, status]).toEqual(["", 3]);
    expect(out).toContain("  screening: ruling 45 → 55 lpi\n");
  });

  it("finds renamed and deleted files and folders in the commits that have them", async () => {
    const top = await repository();
    renameSync(join(top, "tees"), join(top, "shirts"));
    commit(top, "renamed");
    const renamed = await platewright(top, "review", "HEAD~1:tees/job.sep.yaml", "HEAD:shirts/job.sep.yaml");
    expect([renamed.err, renamed.status]).toEqual(["", 0]);
    rmSync(join(top, "shirts"), { recursive: true });
    commit(top, "gone");
    const gone = await platewright(top, "review", "HEAD~1:shirts/job.sep.yaml", "HEAD:shirts/job.sep.yaml");
    expect([gone.status, gone.err]).toEqual([
      2,
      expect.stringMatching(/^\S+shirts\/job\.sep\.yaml: it is not in the commit [0-9a-f]{8}\n$/),
    ]);
  });

  it("counts paths from the top, and with ./ from the working folder", async () => {
    const top = await repository();
    const here = join(top, "tees");
    expect((await platewright(here, "review", "HEAD:tees/job.sep.yaml", "HEAD:./job.sep.yaml")).status).toBe(
      0,
    );
  });

  it("says what it can of a revision that does not parse", async () => {
    const top = await repository();
    put(top, "tees/job.sep.yaml", "plates: {{{\n");
    commit(top, "broken");
    put(top, "tees/job.sep.yaml", RECIPE);
    commit(top, "mended");
    const mended = await platewright(top, "review", "HEAD~1:tees/job.sep.yaml", "tees/job.sep.yaml");
    expect([mended.status, mended.out]).toEqual([
      3,
      expect.stringContaining("plates could not be made from the old one"),
    ]);
    expect(mended.out).toContain("findings that are gone\n  error: ");
    const broken = await platewright(top, "review", "HEAD:tees/job.sep.yaml", "HEAD~1:tees/job.sep.yaml");
    expect([broken.status, broken.out]).toEqual([1, expect.stringContaining("plates cannot be made\n")]);
  });

  it("says so where a clone is too shallow", async () => {
    const top = await repository();
    put(top, "tees/job.sep.yaml", WIDER);
    commit(top, "wider");
    const clone = join(fresh(), "clone");
    git(top, "clone", "-q", "--depth", "1", `file://${top}`, clone);
    const { status, err } = await platewright(
      clone,
      "review",
      "HEAD~1:tees/job.sep.yaml",
      "tees/job.sep.yaml",
    );
    expect([status, err]).toEqual([
      2,
      'there is no commit "HEAD~1", perhaps because this clone is shallow; git fetch --unshallow brings the whole history\n',
    ]);
  });

  it("makes git diff readable", async () => {
    const top = await repository();
    put(top, ".gitattributes", "*.sep.yaml diff=separation\n");
    const program = join(import.meta.dirname, "../../dist/platewright.js");
    git(top, "config", "diff.separation.textconv", `'${process.execPath}' '${program}' words`);
    put(top, "tees/job.sep.yaml", `# a note\n${WIDER.replace("width: 1 in", "width: 25.4 mm")}`);
    const changed = git(top, "diff", "-U0")
      .split("\n")
      .filter((line) => /^[+-] ?[a-z]/.test(line));
    expect(changed).toEqual(["-plates.ember.extract.hue: [20, 60]", "+plates.ember.extract.hue: [15, 65]"]);
  });
});

describe("the review's page", () => {
  async function pageOf(title: string): Promise<string> {
    const job = await putJob(fresh());
    put(
      job,
      "new.sep.yaml",
      RECIPE.replace("title: Two halves", `title: ${JSON.stringify(title)} # ${HOSTILE}`)
        .replace("rose: { ink: ember", `rose: { ink: white`)
        .replace("hue: [20, 60]", "hue: [0, 359]")
        .replace("chroma: [40, 140]", "chroma: [0, 140]")
        .replace(
          "merges:",
          `adjust:\n  - { plate: ember, curve: [[0, 0], [100, 50]], lesson: { date: 2026-03-14, because: ${JSON.stringify(HOSTILE)} } }\nmerges:`,
        ),
    );
    const { status, err } = await platewright(
      job,
      "review",
      "job.sep.yaml",
      "new.sep.yaml",
      "--html",
      "out/page.html",
    );
    expect([status, err]).toEqual([3, ""]);
    return join(job, "out/page.html");
  }

  it("holds all it shows, and a recipe's text as text", async () => {
    const page = readFileSync(await pageOf(HOSTILE), "utf8");
    expect(page).not.toMatch(/<script|onerror="|<img src=x|https?:/i);
    expect(page).toContain("&#60;script&#62;");
    expect([...page.matchAll(/src="([^"]{22})/g)].map(([, start]) => start)).toEqual(
      new Array<string>(12).fill("data:image/png;base64,"),
    );
  });

  it("never overwrites what somebody else wrote", async () => {
    const job = await putJob(fresh());
    writeFileSync(join(job, "page.html"), "mine");
    const { status, err } = await platewright(
      job,
      "review",
      "job.sep.yaml",
      "job.sep.yaml",
      "--html",
      "page.html",
    );
    expect([status, err]).toEqual([
      2,
      expect.stringContaining("page.html: there is a file that Platewright did not write"),
    ]);
    expect(readFileSync(join(job, "page.html"), "utf8")).toBe("mine");
  });

  it.skipIf(CHROMIUM === undefined)(
    `opens in a browser without a network, wide, narrow and printed ${NEEDS_CHROMIUM}`,
    async () => {
      const file = await pageOf(HOSTILE);
      const browser = await launch();
      try {
        const page = await browser.newPage({ viewport: { width: 1280, height: 900 }, offline: true });
        const said: string[] = [];
        const asked: string[] = [];
        page.on("console", (message) => said.push(message.text()));
        page.on("pageerror", (error) => said.push(error.message));
        page.on("request", (request) => asked.push(request.url().slice(0, 5)));
        await page.goto(`file://${file}`);
        expect(said).toEqual([]);
        expect(new Set(asked)).toEqual(new Set(["file:"]));
        expect(await page.title()).toBe(`${HOSTILE}: 2 changes to the print`);
        const pictures = () => page.$$eval("img", (all) => all.map(({ naturalWidth }) => naturalWidth > 0));
        expect(await pictures()).toEqual(new Array(12).fill(true));
        const colour = await page.$eval(".verdict", (element) => getComputedStyle(element).color);
        expect(colour).toBe("rgb(122, 80, 0)");
        for (const width of [1280, 390]) {
          await page.setViewportSize({ width, height: 800 });
          const overflow = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
          expect(overflow, `${width} pixels wide`).toBeLessThanOrEqual(0);
        }
        expect((await page.pdf({ format: "A4" })).subarray(0, 5).toString()).toBe("%PDF-");
      } finally {
        await browser.close();
      }
    },
  );
});
