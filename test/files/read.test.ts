import { spawnSync } from "node:child_process";
import { mkdirSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { readBytes, readText } from "../../server/files/read.ts";
import { OUTSIDE } from "../../server/language/outside.ts";
import { FileError } from "../../server/language/project.ts";
import { scratch } from "../output/folders.ts";

const { fresh } = scratch();

describe("a file", () => {
  it("is read as UTF-8, and refused as anything else", async () => {
    const path = join(fresh(), "a.yaml");
    writeFileSync(path, "title: Süß 🐞\n");
    expect(await readText(path)).toBe("title: Süß 🐞\n");
    writeFileSync(path, Uint8Array.of(0x66, 0xfc, 0x72));
    await expect(readText(path)).rejects.toThrow(
      new FileError(path, "it is not UTF-8 text; save it as UTF-8"),
    );
  });

  it("is read up to its limit, to the byte", async () => {
    const path = join(fresh(), "a.bin");
    const bytes = Uint8Array.from({ length: 1000 }, (_, i) => i & 255);
    writeFileSync(path, bytes);
    expect(await readBytes(path, 1000)).toEqual(bytes);
    await expect(readBytes(path, 999)).rejects.toThrow(/^\S+a\.bin: the file has 0\.0 MB; at most/);
  });

  it.skipIf(process.platform === "win32")("is no folder, pipe, device or endless file", async () => {
    const folder = fresh();
    mkdirSync(join(folder, "dir"));
    spawnSync("mkfifo", [join(folder, "pipe")]);
    symlinkSync("/dev/zero", join(folder, "zero"));
    await expect(readText(join(folder, "dir"))).rejects.toThrow("it is a folder");
    await expect(readText(join(folder, "pipe"))).rejects.toThrow("it is a device or a pipe, not a file");
    await expect(readText(join(folder, "zero"))).rejects.toThrow("it is a device or a pipe, not a file");
    await expect(readText(join(folder, "none"))).rejects.toThrow("there is no such file");
    await expect(readText(join(folder, "dir", "..", "none", "x"))).rejects.toThrow(FileError);
  });

  it("is read from within the folders alone, links followed", async () => {
    const top = fresh();
    const [inside, outside] = [join(top, "in"), join(top, "out")];
    for (const folder of [inside, outside]) mkdirSync(folder);
    writeFileSync(join(inside, "a"), "in");
    writeFileSync(join(outside, "a"), "out");
    symlinkSync(join(outside, "a"), join(inside, "link"));
    symlinkSync(join(inside, "a"), join(outside, "back"));
    expect(await readText(join(inside, "a"), [inside])).toBe("in");
    expect(await readText(join(outside, "back"), [inside])).toBe("in");
    expect(await readText(join(inside, "link"), [inside, outside])).toBe("out");
    await expect(readText(join(inside, "link"), [inside])).rejects.toThrow(OUTSIDE);
    await expect(readText(join(inside, "..", "out", "a"), [inside])).rejects.toThrow(OUTSIDE);
    await expect(readText(join(inside, "a"), [])).rejects.toThrow(OUTSIDE);
  });
});
