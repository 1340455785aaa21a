import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import packageInfo from "../../package.json" with { type: "json" };
import { shippedPackages, thirdPartyPage } from "../../packaging/third-party.ts";

const root = new URL("../../", import.meta.url);
/** Licences under which parts may ship in a package under MIT, as long as they are told; libvips's as it is a library. */
const TAKEN =
  /^(?:MIT|ISC|0BSD|BSD-[23]-Clause|Apache-2\.0|BlueOak-1\.0\.0|Python-2\.0|CC-BY-4\.0|OFL-1\.1)$/;
const LIBRARY = /LGPL-3\.0-or-later/;

it("what others made is told as it ships (else: npm run licences)", () => {
  expect(readFileSync(new URL("THIRD-PARTY.md", root), "utf8")).toBe(thirdPartyPage());
  expect(packageInfo.files).toContain("THIRD-PARTY.md");
});

it("all of it ships under a licence that lets it", () => {
  const shipped = shippedPackages();
  expect(shipped.map(({ name }) => name)).toEqual(
    expect.arrayContaining(["yaml", "ajv", "lit", "vscode-languageclient", "sharp", "@vscode/codicons"]),
  );
  const odd = shipped.filter(
    ({ name, licence }) => !TAKEN.test(licence) && !(name.startsWith("@img/sharp-") && LIBRARY.test(licence)),
  );
  expect(odd).toEqual([]);
});

it("every dependency of the program is among what ships, or is said to stand beside it", () => {
  const names = shippedPackages().map(({ name }) => name);
  expect(names).toEqual(expect.arrayContaining(Object.keys(packageInfo.dependencies)));
});

it("the lock file pins every package by its digest, and names no registry", () => {
  const lock = readFileSync(new URL("package-lock.json", root), "utf8");
  const { packages } = JSON.parse(lock) as {
    packages: Record<string, { integrity?: string; link?: boolean }>;
  };
  const loose = Object.entries(packages).filter(([folder, { integrity }]) => folder !== "" && !integrity);
  expect(loose).toEqual([]);
  expect(lock).not.toMatch(/"resolved"|https?:\/\/[^"]*registry/);
});
