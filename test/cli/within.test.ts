import { execFileSync, spawnSync } from "node:child_process";
import { symlinkSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { scratch } from "../output/folders.ts";
import { artPng, platewright, put, RECIPE } from "./program.ts";

const { fresh } = scratch();
const OUTSIDE = "it lies outside of what may be read";
const SHOP = "shop: 1\n";

/** A job whose files lie outside, each in its own recipe. */
async function jobs() {
  const top = fresh();
  put(top, "out/art.png", await artPng());
  put(top, "out/my.shop.yaml", SHOP);
  put(top, "out/wedge.txt", "secret");
  put(top, "job/art.png", await artPng());
  put(top, "job/my.shop.yaml", SHOP);
  symlinkSync(join(top, "out", "art.png"), join(top, "job", "link.png"));
  const named = {
    sound: RECIPE,
    artwork: RECIPE.replace("art.png", "../out/art.png"),
    linked: RECIPE.replace("art.png", "link.png"),
    absolute: RECIPE.replace("art.png", join(top, "out", "art.png")),
    shop: `${RECIPE}shop: ../out/my.shop.yaml\n`,
    readings: `${RECIPE}screening: { wedge: { file: ../out/wedge.txt, tone: T } }\n`,
  };
  for (const [name, text] of Object.entries(named)) put(top, `job/${name}.sep.yaml`, text);
  return { top, job: join(top, "job"), beyond: Object.keys(named).filter((name) => name !== "sound") };
}

describe("--within", () => {
  it("holds every reader of a recipe's files to one folder", async () => {
    const { job, beyond } = await jobs();
    const { out } = await platewright(job, "check", ".", "--within", ".");
    for (const name of beyond)
      expect(out, name).toMatch(
        new RegExp(`^${name}\\.sep\\.yaml:.*error.*${OUTSIDE}.*\\[missing-file\\]$`, "m"),
      );
    expect(out).not.toMatch(/^sound\.sep\.yaml:.*error/m);
  });

  it("is asked by every command that reads", async () => {
    const { top, job } = await jobs();
    const commands = (recipe: string) => [
      ["check", recipe, "--full"],
      ["plates", recipe, "--out", "made/plates"],
      ["proof", recipe, "--garment", "black", "--out", "made/x.png"],
      ["films", recipe, "--setup", "dark", "--out", "made/films", "--ppi", "40"],
      ["ticket", recipe, "--setup", "dark", "--out", "made/x.html"],
      ["review", recipe, "sound.sep.yaml"],
    ];
    for (const command of commands("linked.sep.yaml")) {
      const { status, out, err } = await platewright(job, ...command, "--within", job);
      expect([status === 0, (out + err).includes(OUTSIDE)], command[0]).toEqual([false, true]);
    }
    for (const command of commands("linked.sep.yaml")) {
      const { out, err } = await platewright(job, ...command, "--within", job, "--within", top);
      expect(out + err, command[0]).not.toContain(OUTSIDE);
    }
    for (const args of [
      ["words", "../out/my.shop.yaml"],
      ["propose", "../out/art.png", "--out", "made/a.sep.yaml"],
      ["propose", "link.png", "--out", "made/a.sep.yaml"],
      ["propose", "art.png", "--shop", "../out/my.shop.yaml", "--out", "made/a.sep.yaml"],
    ]) {
      const { status, err } = await platewright(job, ...args, "--within", ".");
      expect([status === 0, err.includes(OUTSIDE)], args.join(" ")).toEqual([false, true]);
    }
  }, 120_000);

  it.skipIf(spawnSync("git", ["--version"]).status !== 0)("of a commit too (needs git)", async () => {
    const { top } = await jobs();
    const who = ["-c", "user.name=A Printer", "-c", "user.email=printer@example.org"];
    for (const args of [
      ["init", "-q"],
      ["add", "."],
      ["commit", "-q", "-m", "first"],
    ])
      execFileSync("git", [...who, ...args], { cwd: top });
    const { status, out } = await platewright(
      top,
      "review",
      "HEAD:job/shop.sep.yaml",
      "job/sound.sep.yaml",
      "--within",
      "job",
      "--format",
      "json",
    );
    expect(status).not.toBe(0);
    expect(out).toContain(OUTSIDE);
  });
});

describe.skipIf(process.platform === "win32")("a file that never ends", () => {
  it.each(["/dev/zero", "/dev/stdin", "pipe"])(
    "%s is told of at once, by every reader",
    async (target) => {
      const folder = fresh();
      put(folder, "art.png", await artPng());
      spawnSync("mkfifo", [join(folder, "pipe")]);
      if (target !== "pipe") symlinkSync(target, join(folder, "link"));
      const name = target === "pipe" ? "pipe" : "link";
      put(folder, "a.sep.yaml", `${RECIPE}shop: ${name}\n`);
      put(folder, "b.sep.yaml", `${RECIPE}screening: { wedge: { file: ${name}, tone: T } }\n`);
      put(folder, "c.sep.yaml", RECIPE.replace("art.png", name));
      const { out } = await platewright(folder, "check", ".");
      expect(out.match(/a device or a pipe/g)).toHaveLength(3);
      for (const command of [
        ["plates", "c.sep.yaml", "--out", "x"],
        ["films", "c.sep.yaml", "--setup", "dark", "--out", "x"],
        ["words", name],
      ])
        expect((await platewright(folder, ...command)).err).toContain("a device or a pipe");
      // In the place of what was made before.
      put(folder, "d.sep.yaml", RECIPE);
      for (const made of ["manifest.json", ".platewright-made.json"]) {
        const out = join(folder, made);
        put(folder, `${made}.d/keep`, "");
        spawnSync("mkfifo", [join(folder, `${made}.d`, made)]);
        expect(
          (await platewright(folder, "plates", "d.sep.yaml", "--out", `${out}.d`, "--force")).status,
        ).toBe(0);
      }
    },
    60_000,
  );
});
