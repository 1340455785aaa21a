import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, unlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { contentOf, namesIn, scratch } from "../output/folders.ts";
import { artPng, ended, platewright, put, putJob, RECIPE, started } from "./program.ts";

const { fresh } = scratch();
const PLATES = ["plates", "job.sep.yaml", "--out", "out", "--ppi", "40"];
const MADE = [".platewright-made.json", "base.png", "ember.png", "manifest.json"];
const sha256 = (file: string) => createHash("sha256").update(readFileSync(file)).digest("hex");

describe("plates", () => {
  it("writes every plate that has a screen, the manifest, and nothing else", async () => {
    const job = await putJob(fresh());
    const { status, out, err } = await platewright(job, ...PLATES);
    expect([status, err]).toEqual([0, ""]);
    expect(namesIn(join(job, "out"))).toEqual(MADE);
    expect(namesIn(job).filter((name) => !name.startsWith("out"))).toEqual(["art.png", "job.sep.yaml"]);
    expect(out.split("\n").map((line) => line.trimEnd())).toEqual([
      "2 plates, 40 × 20 pixels at 40 ppi",
      // 1 in × 0.5 in = 3.2 cm², one row in twenty clear.
      `  base    95.0 %     3.1 cm²  white  ${join("out", "base.png")}`,
      `  ember   47.5 %     1.5 cm²  ember  ${join("out", "ember.png")}`,
      "  rose   folded into ember",
      `  ${join("out", "manifest.json")}`,
      "",
    ]);
  });

  it("writes black where a plate prints full ink", async () => {
    const job = await putJob(fresh());
    await platewright(job, ...PLATES);
    const { data } = await sharp(join(job, "out/ember.png"))
      .toColourspace("b-w")
      .raw()
      .toBuffer({ resolveWithObject: true });
    const at = (x: number, y: number) => data[y * 40 + x];
    expect([at(0, 0), at(5, 10), at(19, 19), at(20, 10), at(39, 19)]).toEqual([255, 0, 0, 255, 255]);
  });

  it("says in the manifest what was made, and from which bytes", async () => {
    const job = await putJob(fresh(), `\ufeff${RECIPE}`);
    await platewright(job, ...PLATES);
    const manifest = JSON.parse(readFileSync(join(job, "out/manifest.json"), "utf8"));
    expect(manifest).toMatchObject({
      title: "Two halves",
      width: 40,
      height: 20,
      ppi: 40,
      widthMm: 25.4,
      heightMm: 12.7,
      recipe: { file: "job.sep.yaml", sha256: sha256(join(job, "job.sep.yaml")) },
      artwork: { file: "art.png", sha256: sha256(join(job, "art.png")) },
      folded: [{ name: "rose", into: "ember" }],
    });
    for (const { file, sha256: digest } of manifest.plates)
      expect(digest).toBe(sha256(join(job, "out", file)));
  });

  it("says in the manifest which neighbours are trapped, and along which length", async () => {
    const job = await putJob(
      fresh(),
      `${RECIPE.replace(
        "rose: { ink: ember, extract: { hue: [340, 350] } }",
        "rose: { ink: blue, extract: { chroma: [0, 10] } }",
      )
        .replace("  - { fold: rose, into: ember }\n", "")
        .replace("merges:\n", "")
        .replace("plates:", '  blue: { colour: "#1040c0", opacity: 80% }\nplates:')
        .replace("order: [base, flash, ember] }", "order: [base, flash, ember, rose] }")
        .replace("order: [ember] }", "order: [ember, rose] }")}traps: [{ neighbours: 0.3 mm }]\n`,
    );
    const { err } = await platewright(job, ...PLATES);
    expect(err).toBe("");
    const manifest = JSON.parse(readFileSync(join(job, "out/manifest.json"), "utf8"));
    // 19 rows of 40 to the inch; the darker blue stays as it is.
    expect(manifest.traps).toEqual([{ plate: "ember", under: "rose", trapMm: 0.3, lengthMm: 12.1 }]);
  });

  it("gives the same bytes twice, from any working folder", async () => {
    const job = await putJob(fresh());
    await platewright(job, ...PLATES);
    await platewright(job, ...PLATES.with(3, "again"));
    mkdirSync(join(job, "elsewhere"));
    await platewright(
      join(job, "elsewhere"),
      ...PLATES.with(1, "../job.sep.yaml").with(3, join(job, "third")),
    );
    expect(contentOf(join(job, "again"))).toEqual(contentOf(join(job, "out")));
    expect(contentOf(join(job, "third"))).toEqual(contentOf(join(job, "out")));
  });

  it("gives other bytes where the recipe says something else", async () => {
    const job = await putJob(fresh());
    await platewright(job, ...PLATES);
    const before = contentOf(join(job, "out"));
    put(job, "job.sep.yaml", `${RECIPE}traps: [{ plate: base, choke: 2 mm }]\n`);
    expect(await platewright(job, ...PLATES)).toMatchObject({ status: 0, err: "" });
    const after = contentOf(join(job, "out"));
    expect(after["base.png"]).not.toBe(before["base.png"]);
    expect(after["ember.png"]).toBe(before["ember.png"]);
  });

  it("does not overwrite what somebody else wrote or changed, but by force", async () => {
    const job = await putJob(fresh());
    put(job, "out/ember.png", "mine");
    const refused = await platewright(job, ...PLATES);
    expect(refused).toMatchObject({ status: 2, out: "" });
    expect(refused.err).toBe(
      `${join("out", "ember.png")}: there is a file that Platewright did not write, or that was changed since; move it away, or overwrite it with --force\n`,
    );
    expect(contentOf(join(job, "out"))).toEqual({ "ember.png": "mine" });
    expect((await platewright(job, ...PLATES, "--force")).status).toBe(0);
    writeFileSync(join(job, "out/manifest.json"), "{}");
    expect((await platewright(job, ...PLATES)).status).toBe(2);
    expect(readFileSync(join(job, "out/manifest.json"), "utf8")).toBe("{}");
  });

  it("asks for the folder before any work, so that nobody waits for a refusal", async () => {
    const job = await putJob(fresh());
    put(job, "art.png", "no picture");
    put(job, "out/ember.png", "mine");
    for (const args of [
      PLATES,
      ["proof", "job.sep.yaml", "--garment", "black", "--out", join("out", "ember.png")],
    ]) {
      const { status, err } = await platewright(job, ...args);
      expect([status, err.split(": ")[0]]).toEqual([2, join("out", "ember.png")]);
    }
  });

  it("takes away the plates that are no more, and leaves proofs and foreign files", async () => {
    const job = await putJob(fresh());
    await platewright(job, ...PLATES);
    await platewright(
      job,
      "proof",
      "job.sep.yaml",
      "--garment",
      "black",
      "--out",
      "out/on-black.png",
      "--ppi",
      "20",
    );
    put(job, "out/mine.png", "mine");
    put(job, "job.sep.yaml", RECIPE.replaceAll("ember", "coral"));
    const { status, out } = await platewright(job, ...PLATES);
    expect(status).toBe(0);
    expect(out).toContain(`${join("out", "ember.png")} taken away: no plate of that name any more`);
    expect(namesIn(join(job, "out"))).toEqual([
      ".platewright-made.json",
      "base.png",
      "coral.png",
      "manifest.json",
      "mine.png",
      "on-black.png",
    ]);
  });

  it("keeps a plate that is no more where it was changed by hand", async () => {
    const job = await putJob(fresh());
    await platewright(job, ...PLATES);
    put(job, "out/ember.png", "touched up");
    put(job, "job.sep.yaml", RECIPE.replaceAll("ember", "coral"));
    expect((await platewright(job, ...PLATES)).status).toBe(0);
    expect(contentOf(join(job, "out"))["ember.png"]).toBe("touched up");
  });

  it("writes nothing from a recipe with errors, and prints them like check", async () => {
    const job = await putJob(fresh(), RECIPE.replace("95%", "0.95"));
    expect(await platewright(job, ...PLATES)).toMatchObject({
      status: 1,
      out: "",
      err: 'job.sep.yaml:9:40: error: inks.white.opacity: "0.95" has no percent sign; write 95% [schema]\n',
    });
    expect(existsSync(join(job, "out"))).toBe(false);
  });

  it("is not kept by warnings", async () => {
    expect((await platewright(await putJob(fresh()), ...PLATES)).err).toBe("");
  });

  it.each([
    ["a path through a file", "art.png/out", "a part of this path is a file, not a folder"],
    ["a file", "art.png", "there is a file of that name where a folder is needed"],
    ["a name too long", "n".repeat(300), "the name is too long"],
  ])("says where it cannot write: %s", async (_, out, reason) => {
    const job = await putJob(fresh());
    const run = await platewright(job, ...PLATES.with(3, out));
    expect(run).toMatchObject({ status: 2, out: "" });
    expect(run.err).toBe(`${out}: cannot write: ${reason}; nothing was changed\n`);
  });
});

describe("an artwork that cannot be used", () => {
  const faults: [name: string, content: () => Promise<Uint8Array | string | undefined>, says: RegExp][] = [
    ["missing", async () => undefined, /There is no file "art\.png" beside this recipe/],
    ["empty", async () => "", /empty/],
    ["no picture", async () => "hello\n", /not a picture/],
    ["cut short", async () => (await artPng(400, 400)).subarray(0, 300), /cut short/],
    ["a folder", async () => "folder", /folder/],
    [
      "of a hundred thousand pixels a side, as it says",
      async () => {
        const png = Buffer.from(await artPng());
        png.writeUInt32BE(100_000, 16);
        png.writeUInt32BE(100_000, 20);
        return png;
      },
      /art\.png/,
    ],
    [
      "an SVG of a million inches",
      async () => '<svg xmlns="http://www.w3.org/2000/svg" width="1" height="999999"/>',
      /art\.png/,
    ],
  ];

  it.each(faults)("%s: one line, status 2, and an output folder as it was", async (name, content, says) => {
    const job = await putJob(fresh());
    const bytes = await content();
    unlinkSync(join(job, "art.png"));
    if (name === "a folder") mkdirSync(join(job, "art.png"));
    else if (bytes !== undefined) put(job, "art.png", bytes);
    put(job, "kept/base.txt", "mine");
    for (const args of [
      PLATES.with(3, "kept"),
      ["proof", "job.sep.yaml", "--garment", "black", "--out", "out/x.png", "--ppi", "40"],
    ]) {
      const { status, out, err } = await platewright(job, ...args);
      expect([status, out], args.join(" ")).toEqual([2, ""]);
      expect(err).toMatch(/^[^\n]+\n$/);
      expect(err).toMatch(says);
      expect(existsSync(join(job, "out"))).toBe(false);
      expect(contentOf(join(job, "kept"))).toEqual({ "base.txt": "mine" });
    }
  });
});

describe("a run that is ended from outside", () => {
  // Large enough to be met at every stage of its work.
  const recipe = RECIPE.replace("width: 1 in", "width: 12 in");

  // SIGINT takes SIGTERM's way, but for its status.
  it.each<["SIGTERM" | "SIGKILL" | "SIGINT", shares: readonly number[]]>([
    ["SIGTERM", [0.3, 0.6, 0.75, 0.9]],
    ["SIGKILL", [0.7, 0.85, 0.95]],
    ["SIGINT", [0.7]],
  ])(
    "by %s leaves nothing under a final name that is not whole, and the next run is not held up",
    async (signal, shares) => {
      const job = await putJob(fresh(), recipe);
      put(job, "art.png", await artPng(900, 450));
      const args = ["plates", "job.sep.yaml", "--out", "out"];
      const begin = performance.now();
      expect((await platewright(job, ...args)).status).toBe(0);
      const whole = performance.now() - begin;
      const sound = contentOf(join(job, "out"));
      const digests = Object.fromEntries(MADE.map((name) => [name, sound[name]]));

      for (const share of shares) {
        rmSync(join(job, "out"), { recursive: true, force: true });
        const child = started(job, args);
        const end = ended(child);
        setTimeout(() => child.kill(signal), whole * share);
        const { status, signal: died, err } = await end;
        const left = contentOf(join(job, "out"));
        for (const [name, bytes] of Object.entries(left)) {
          if (name in digests && name !== MADE[0]) expect(bytes === digests[name], name).toBe(true);
        }
        expect(err).toBe("");
        if (signal !== "SIGKILL") {
          // Ended in time it leaves no trace; ended too late it has done its work.
          if (status === 0) expect(Object.keys(left)).toEqual(MADE);
          // Met while Node was still starting or already ending, it has touched nothing or done all.
          else if (died === signal) expect([{}, sound]).toContainEqual(left);
          else expect([status, left]).toEqual([signal === "SIGTERM" ? 143 : 130, expect.anything()]);
          expect(Object.keys(left).filter((name) => name.includes(".part"))).toEqual([]);
        }
      }
      expect(await platewright(job, ...args)).toMatchObject({ status: 0, err: "" });
      expect(contentOf(join(job, "out"))).toEqual(sound);
    },
    60_000,
  );
});

it("a moved output folder is still known as Platewright's", async () => {
  const job = await putJob(fresh());
  await platewright(job, ...PLATES);
  renameSync(join(job, "out"), join(job, "moved"));
  expect((await platewright(job, ...PLATES.with(3, "moved"))).status).toBe(0);
});

it.each([
  ["one pixel", 1, 1],
  ["one row", 3000, 1],
  ["one column", 1, 3000],
])("separates artwork of %s", async (_, width, height) => {
  const job = await putJob(fresh());
  const flat = { create: { width, height, channels: 3, background: "#d8431f" } } as const;
  put(job, "art.png", await sharp(flat).png().toBuffer());
  const { status, err } = await platewright(job, "plates", "job.sep.yaml", "--out", "out");
  expect([status, err]).toEqual([0, ""]);
  expect(await sharp(join(job, "out/base.png")).metadata()).toMatchObject({ width, height });
});
