import { spawnSync } from "node:child_process";
import { chmodSync, existsSync, mkdirSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import * as fsPromises from "node:fs/promises";
import { join } from "node:path";
import { afterEach, describe, expect, it, vi } from "vitest";
import { digestOf, LEDGER_NAME, Ledger } from "../../server/output/ledger.ts";
import { OutputError, Staging } from "../../server/output/staging.ts";
import { asOrdinaryUser, canDropRights } from "../ordinary-user.ts";
import { contentOf, namesIn, partIn, scratch } from "./folders.ts";

// Moves go through here, so that a test can stop between two of them.
vi.mock("node:fs/promises", { spy: true });

const { folder: root, fresh } = scratch();

async function written(
  folder: string,
  files: Readonly<Record<string, string>>,
  force = false,
): Promise<string[]> {
  const staging = await Staging.open(folder, { force });
  try {
    for (const [name, text] of Object.entries(files)) await staging.write(name, text);
    return await staging.commit((name) => name.endsWith(".png"));
  } catch (error) {
    staging.discard();
    throw error;
  }
}

describe("files on their way into a folder", () => {
  it("stand under no final name until all are there", async () => {
    const folder = fresh();
    const staging = await Staging.open(folder);
    await staging.write("a.png", "one");
    expect(existsSync(join(folder, "a.png"))).toBe(false);
    await staging.write("b.png", Uint8Array.of(1, 2));
    expect(existsSync(join(folder, "b.png"))).toBe(false);
    await staging.commit();
    expect(contentOf(folder)).toMatchObject({ "a.png": "one", "b.png": "\x01\x02" });
    expect(namesIn(folder)).toEqual([LEDGER_NAME, "a.png", "b.png"].sort());
  });

  it("are known by the digest of their bytes", async () => {
    const staging = await Staging.open(fresh());
    expect(await staging.write("a", "abc")).toEqual({
      sha256: "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
    });
    staging.discard();
  });

  it("given up leave nothing, nor the folders that were made for them", async () => {
    const folder = fresh();
    const staging = await Staging.open(join(folder, "a/b/c"));
    await staging.write("x.png", "x");
    staging.discard();
    expect(namesIn(folder)).toEqual([]);
    expect(existsSync(folder)).toBe(true);
  });

  it.each(["new", "new/", "./new", "new/../new", "new/deep/"])(
    "given up leave an empty folder that stood there before: %s",
    async (path) => {
      const outer = join(fresh(), "mine");
      mkdirSync(outer);
      const staging = await Staging.open(`${outer}/${path}`);
      staging.discard();
      expect([existsSync(outer), namesIn(outer)]).toEqual([true, []]);
    },
  );

  it("given up leave what somebody else put beside them", async () => {
    const folder = fresh();
    const staging = await Staging.open(join(folder, "a/b"));
    writeFileSync(join(folder, "a/note.txt"), "mine");
    staging.discard();
    expect(contentOf(folder)).toEqual({ "a/": "", "a/note.txt": "mine" });
  });

  it("are taken away when the program ends without a word", () => {
    const folder = fresh();
    const script = `import { Staging } from ${JSON.stringify(new URL("../../server/output/staging.ts", import.meta.url).href)};
const staging = await Staging.open(${JSON.stringify(join(folder, "new"))});
await staging.write("a.png", "half");
process.exit(3);`;
    const { status, stderr } = spawnSync(
      process.execPath,
      ["--import", "tsx", "--input-type=module", "-e", script],
      { encoding: "utf8" },
    );
    expect([status, stderr]).toEqual([3, ""]);
    expect(namesIn(folder)).toEqual([]);
  });
});

describe("what stands there already", () => {
  it("is replaced where it is as Platewright wrote it", async () => {
    const folder = fresh();
    await written(folder, { "a.png": "one" });
    await written(folder, { "a.png": "two" });
    expect(contentOf(folder)["a.png"]).toBe("two");
    await written(folder, { "a.png": "three" });
    expect(contentOf(folder)["a.png"]).toBe("three");
  });

  const refusal = (file: string) =>
    `${file}: there is a file that Platewright did not write, or that was changed since; move it away, or overwrite it with --force`;

  it("is refused where somebody else wrote it, before any work and at the end", async () => {
    const folder = fresh();
    writeFileSync(join(folder, "a.png"), "mine");
    const staging = await Staging.open(folder);
    await expect(staging.claim(["b.png", "a.png"])).rejects.toThrow(refusal(join(folder, "a.png")));
    await staging.write("b.png", "new");
    await staging.write("a.png", "new");
    await expect(staging.commit()).rejects.toThrow(OutputError);
    staging.discard();
    expect(contentOf(folder)).toEqual({ "a.png": "mine" });
  });

  it("is refused where it was changed by hand", async () => {
    const folder = fresh();
    await written(folder, { "a.png": "one", "b.png": "one" });
    writeFileSync(join(folder, "a.png"), "touched up");
    await expect(written(folder, { "b.png": "two", "a.png": "two" })).rejects.toThrow(
      refusal(join(folder, "a.png")),
    );
    expect(contentOf(folder)).toMatchObject({ "a.png": "touched up", "b.png": "one" });
  });

  it("is refused where it appeared while the work went on", async () => {
    const folder = fresh();
    const staging = await Staging.open(folder);
    await staging.claim(["a.png"]);
    await staging.write("a.png", "new");
    writeFileSync(join(folder, "a.png"), "mine");
    await expect(staging.commit()).rejects.toThrow(refusal(join(folder, "a.png")));
    staging.discard();
    expect(contentOf(folder)).toEqual({ "a.png": "mine" });
  });

  it("is overwritten by force, and is Platewright's from then on", async () => {
    const folder = fresh();
    writeFileSync(join(folder, "a.png"), "mine");
    await written(folder, { "a.png": "one" }, true);
    await written(folder, { "a.png": "two" });
    expect(contentOf(folder)["a.png"]).toBe("two");
  });

  it.each([false, true])("is a folder of that name: refused, by force too (%s)", async (force) => {
    const folder = fresh();
    mkdirSync(join(folder, "b.png"));
    await expect(written(folder, { "a.png": "x", "b.png": "x" }, force)).rejects.toThrow(
      `${join(folder, "b.png")}: cannot write: there is a folder of that name; nothing was changed`,
    );
    expect(namesIn(folder)).toEqual(["b.png/"]);
  });

  it("is taken away where it is of no more use, unless changed, foreign or not asked for", async () => {
    const folder = fresh();
    await written(folder, { "a.png": "1", "b.png": "2", "c.png": "3", "note.json": "4" });
    writeFileSync(join(folder, "b.png"), "touched up");
    writeFileSync(join(folder, "d.png"), "mine");
    expect(await written(folder, { "a.png": "1" })).toEqual(["c.png"]);
    expect(contentOf(folder)).toMatchObject({
      "a.png": "1",
      "b.png": "touched up",
      "d.png": "mine",
      "note.json": "4",
    });
    expect(namesIn(folder)).not.toContain("c.png");
  });

  it.each(["", "{", "null", '{"files":null}', '{"files":{"a.png":null}}', "[]"])(
    "is somebody else's where the ledger says %j",
    async (ledger) => {
      const folder = fresh();
      writeFileSync(join(folder, "a.png"), "mine");
      writeFileSync(join(folder, LEDGER_NAME), ledger);
      await expect(written(folder, { "a.png": "x" })).rejects.toThrow(OutputError);
      expect(contentOf(folder)["a.png"]).toBe("mine");
    },
  );

  it.each([
    [
      "came with a clone or an archive",
      (folder: string, ledger: string) => writeFileSync(join(folder, LEDGER_NAME), ledger),
    ],
    [
      "leads elsewhere",
      (folder: string, ledger: string) => {
        const other = fresh();
        writeFileSync(join(other, "ledger"), ledger);
        symlinkSync(join(other, "ledger"), join(folder, LEDGER_NAME));
      },
    ],
  ])("is not believed where it %s", async (_, put) => {
    // Made by another run elsewhere, of files of the same bytes.
    const made = fresh();
    await written(made, { "a.png": "theirs", "b.png": "theirs" });
    const folder = fresh();
    for (const name of ["a.png", "b.png"]) writeFileSync(join(folder, name), "theirs");
    put(folder, readFileSync(join(made, LEDGER_NAME), "utf8"));
    await expect(written(folder, { "a.png": "x" })).rejects.toThrow(OutputError);
    expect(await written(folder, { "c.png": "x" })).toEqual([]);
    expect(contentOf(folder)).toMatchObject({ "a.png": "theirs", "b.png": "theirs" });
  });

  it.skipIf(spawnSync("git", ["--version"]).status !== 0)(
    "is not taken away where a repository holds it (needs git)",
    async () => {
      const folder = fresh();
      await written(folder, { "a.png": "one", "b.png": "two", "c.png": "three" });
      spawnSync("git", ["init", "-q"], { cwd: folder });
      spawnSync("git", ["add", "b.png"], { cwd: folder });
      expect(await written(folder, { "a.png": "x" })).toEqual(["c.png"]);
      expect(contentOf(folder)).toMatchObject({ "a.png": "x", "b.png": "two" });
    },
  );

  it("outside of the folder is never touched, whatever the ledger says", async () => {
    const folder = fresh();
    await written(folder, { "a.png": "same bytes" });
    const inner = join(folder, "inner");
    mkdirSync(inner);
    const ledger = readFileSync(join(folder, LEDGER_NAME), "utf8").replace("a.png", "../a.png");
    writeFileSync(join(inner, LEDGER_NAME), ledger);
    expect(await written(inner, { "b.png": "x" })).toEqual([]);
    expect(contentOf(folder)["a.png"]).toBe("same bytes");
  });

  it("half replaced by a run that was killed is replaced by the next", async () => {
    const folder = fresh();
    await written(folder, { "a.png": "one", "b.png": "one" });
    // As a kill between two renames leaves it: the first file is new, the second not yet.
    const ledger = await Ledger.open(folder);
    for (const name of ["a.png", "b.png"]) ledger.expect(name, digestOf(Buffer.from("two")));
    await ledger.save(fresh());
    writeFileSync(join(folder, "a.png"), "two");
    await written(folder, { "a.png": "three", "b.png": "three" });
    expect(contentOf(folder)).toMatchObject({ "a.png": "three", "b.png": "three" });
  });
});

describe("a link", () => {
  it("in the place of a file is that file: refused, and by force replaced itself, not what it leads to", async () => {
    const [folder, elsewhere] = [fresh(), fresh()];
    writeFileSync(join(elsewhere, "mine.txt"), "mine");
    symlinkSync(join(elsewhere, "mine.txt"), join(folder, "a.png"));
    await expect(written(folder, { "a.png": "x" })).rejects.toThrow(OutputError);
    await written(folder, { "a.png": "x" }, true);
    expect(contentOf(folder)).toMatchObject({ "a.png": "x" });
    expect(contentOf(elsewhere)).toEqual({ "mine.txt": "mine" });
  });

  it("in the place of unfinished files leads them nowhere", async () => {
    const [folder, elsewhere] = [fresh(), fresh()];
    writeFileSync(join(elsewhere, "a.png"), "mine");
    symlinkSync(elsewhere, join(folder, `.platewright-${process.pid}.part`));
    // Even where its name is known: it is opened for nobody else.
    const staging = await Staging.open(folder);
    symlinkSync(join(elsewhere, "a.png"), join(partIn(folder), "b.png"));
    await expect(staging.write("b.png", "x")).rejects.toThrow(OutputError);
    staging.discard();
    await written(folder, { "a.png": "x" });
    expect(contentOf(folder)).toMatchObject({ "a.png": "x" });
    expect(contentOf(elsewhere)).toEqual({ "a.png": "mine" });
  });

  it("in the place of the ledger is replaced, and what it says is not believed of other folders", async () => {
    const [folder, elsewhere] = [fresh(), fresh()];
    writeFileSync(join(elsewhere, "notes.json"), "mine");
    symlinkSync(join(elsewhere, "notes.json"), join(folder, LEDGER_NAME));
    await written(folder, { "a.png": "x" });
    expect(contentOf(elsewhere)).toEqual({ "notes.json": "mine" });
  });
});

describe("a run that is killed while it moves its files", () => {
  afterEach(() => void vi.restoreAllMocks());

  it("leaves each file whole, and all of them its own, before whichever move", async () => {
    const before = { "a.png": "1", "b.png": "1", "old.png": "1" };
    const after = { "a.png": "2", "b.png": "2", "c.png": "2" };
    for (let moves = 0; ; moves++) {
      const folder = fresh();
      await written(folder, before);
      const staging = await Staging.open(folder);
      for (const [name, text] of Object.entries(after)) await staging.write(name, text);
      const { rename } = await vi.importActual<typeof fsPromises>("node:fs/promises");
      let done = 0;
      const spy = vi.spyOn(fsPromises, "rename").mockImplementation(async (from, to) => {
        if (done++ === moves) throw new Error("killed");
        await rename(from, to);
      });
      const end = await staging.commit((name) => name === "old.png").catch(() => "killed");
      spy.mockRestore();

      for (const [name, text] of Object.entries(contentOf(folder))) {
        if (name.endsWith(".png") && !name.includes("part")) expect(text, name).toMatch(/^[12]$/);
      }
      // The next run finds nothing there that it would take for somebody else's.
      await written(folder, { "a.png": "3", "b.png": "3", "c.png": "3" });
      expect(contentOf(folder), `killed before move ${moves}`).toMatchObject({ "a.png": "3", "c.png": "3" });
      if (end !== "killed") {
        // Three files, and the ledger before and after them.
        expect(moves).toBe(5);
        return;
      }
    }
  });
});

describe("parts of other runs", () => {
  it("are removed where their process is gone, and kept where it lives", async () => {
    const folder = fresh();
    const gone = spawnSync(process.execPath, ["-e", ""]).pid;
    const names = [
      `.platewright-${gone}-0123456789abcdef.part`,
      `.platewright-${process.ppid}-0123456789abcdef.part`,
      ".platewright-.part",
      "x.part",
    ];
    for (const name of names) mkdirSync(join(folder, name));
    writeFileSync(join(folder, names[0]!, "a.png"), "half");
    (await Staging.open(folder)).discard();
    expect(namesIn(folder)).toEqual(
      names
        .slice(1)
        .map((name) => `${name}/`)
        .sort(),
    );
  });
});

describe("where nothing can be written, one line says so:", () => {
  async function refused(folder: string): Promise<string> {
    const error = await Staging.open(folder).catch((e: unknown) => e);
    expect(error).toBeInstanceOf(OutputError);
    const { message } = error as OutputError;
    expect(message).not.toContain("\n");
    return message;
  }

  it("a path through a file", async () => {
    const file = join(fresh(), "file");
    writeFileSync(file, "mine");
    expect(await refused(join(file, "out"))).toBe(
      `${join(file, "out")}: cannot write: a part of this path is a file, not a folder; nothing was changed`,
    );
  });

  it("a file in the folder's place", async () => {
    const file = join(fresh(), "file");
    writeFileSync(file, "mine");
    expect(await refused(file)).toBe(
      `${file}: cannot write: there is a file of that name where a folder is needed; nothing was changed`,
    );
    expect(readFileSync(file, "utf8")).toBe("mine");
  });

  it("a name too long", async () => {
    expect(await refused(join(root, "n".repeat(300)))).toMatch(
      /: cannot write: the name is too long; nothing/,
    );
  });

  it("a full disk", async () => {
    const folder = fresh();
    const staging = await Staging.open(folder);
    await staging.write("a.png", "x");
    vi.mocked(fsPromises.writeFile).mockRejectedValueOnce(Object.assign(new Error(), { code: "ENOSPC" }));
    await expect(staging.write("b.png", "x".repeat(10))).rejects.toThrow(
      `${folder}: cannot write: the disk is full; nothing was changed`,
    );
    staging.discard();
    expect(namesIn(folder)).toEqual([]);
  });

  it.skipIf(!canDropRights)("no permission (as root, needs Node 20.11.1)", async () => {
    const folder = fresh();
    chmodSync(join(folder, ".."), 0o755);
    chmodSync(folder, 0o555);
    const said = await asOrdinaryUser(() => refused(join(folder, "out")));
    expect(said).toMatch(/no permission to write there/);
  });
});
