import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { digestOf, digestOfFile } from "../../server/output/ledger.ts";
import { scratch } from "./folders.ts";

const { fresh } = scratch();
/** SHA-256 of "abc" and of nothing (FIPS 180-4's examples). */
const ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
const NOTHING = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";

it("a file's digest is that of its bytes, be there any or none", async () => {
  const folder = fresh();
  writeFileSync(join(folder, "abc"), "abc");
  writeFileSync(join(folder, "empty"), "");
  expect(await digestOfFile(join(folder, "abc"))).toBe(ABC);
  expect(await digestOfFile(join(folder, "empty"))).toBe(NOTHING);
  expect([digestOf(new TextEncoder().encode("abc")), digestOf(new Uint8Array(0))]).toEqual([ABC, NOTHING]);
  // Longer than is read at once.
  const long = new Uint8Array(300_000).fill(7);
  writeFileSync(join(folder, "long"), long);
  expect(await digestOfFile(join(folder, "long"))).toBe(digestOf(long));
});

it("what is no plain file within the boundary has none", async () => {
  const [folder, other] = [fresh(), fresh()];
  mkdirSync(join(folder, "dir"));
  writeFileSync(join(other, "abc"), "abc");
  expect(await digestOfFile(join(folder, "none"))).toBeUndefined();
  expect(await digestOfFile(join(folder, "dir"))).toBeUndefined();
  expect(await digestOfFile(join(other, "abc"), [folder])).toBeUndefined();
  expect(await digestOfFile(join(other, "abc"), [other])).toBe(ABC);
});
