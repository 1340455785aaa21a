import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, relative, sep } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

const server = fileURLToPath(new URL("../server", import.meta.url));

/** Which folders of server/ each folder may use. Data flows one way: text → recipe → plates → output. */
const MAY_USE: Readonly<Record<string, readonly string[]>> = {
  engine: [],
  wire: ["engine"],
  language: ["engine"],
  files: ["language"],
  artwork: ["files", "language", "engine"],
  rules: ["render", "language", "engine"],
  render: ["wire", "files", "language", "engine", "artwork"],
  output: ["revisions", "files", "render", "language", "engine", "artwork"],
  revisions: ["files", "language"],
  jobs: ["wire", "output", "rules", "revisions", "render", "files", "language", "engine", "artwork"],
  features: ["wire", "render", "rules", "language", "engine"],
  propose: ["jobs", "render", "rules", "language", "engine", "artwork"],
  lsp: ["wire", "jobs", "features", "revisions", "render", "rules", "files", "language", "engine", "artwork"],
  cli: [
    "lsp",
    "propose",
    "jobs",
    "output",
    "revisions",
    "render",
    "rules",
    "files",
    "language",
    "engine",
    "artwork",
  ],
};

describe("the folders of server/", () => {
  const files = readdirSync(server, { recursive: true, encoding: "utf8" }).filter((file) =>
    file.endsWith(".ts"),
  );

  it("are all in the table", () => {
    expect(Object.keys(MAY_USE)).toEqual(expect.arrayContaining([...new Set(files.map(folderOf))]));
  });

  it.each(Object.keys(MAY_USE))("%s uses only what stands below it", (folder) => {
    const inside = files.filter((file) => folderOf(file) === folder);
    expect(inside.length).toBeGreaterThan(0);
    expect(inside.flatMap((file) => turned(file, readFileSync(join(server, file), "utf8")))).toEqual([]);
  });

  it("would be caught turning an arrow round", () => {
    expect(turned("engine/extract/x.ts", 'import { y } from "../../language/y.ts";')).toHaveLength(1);
    expect(turned("engine/x.ts", 'import { readFile } from "node:fs";')).toHaveLength(1);
    expect(turned("rules/x.ts", 'const y = await import("../cli/y.ts");')).toHaveLength(1);
    expect(turned("engine/extract/x.ts", 'import { y } from "../colour/y.ts";')).toEqual([]);
  });
});

it("no file uses itself by way of others", () => {
  const root = join(server, "..");
  const files = ["server", "client", "schemas"].flatMap((folder) =>
    readdirSync(join(root, folder), { recursive: true, encoding: "utf8" })
      .filter((file) => file.endsWith(".ts"))
      .map((file) => join(folder, file)),
  );
  const uses = new Map(files.map((file) => [file, importsOf(readFileSync(join(root, file), "utf8"), file)]));
  expect(circlesIn(uses)).toEqual([]);
  expect(
    circlesIn(
      new Map([
        ["a", ["b"]],
        ["b", ["c"]],
        ["c", ["b"]],
      ]),
    ),
  ).toEqual(["b → c → b"]);
});

describe("the proof panel's page", () => {
  const page = fileURLToPath(new URL("../client/panel", import.meta.url));
  const files = readdirSync(page, { recursive: true, encoding: "utf8" }).filter((file) =>
    file.endsWith(".ts"),
  );

  it("uses its own files, the engine, what travels, the words that all texts share and two libraries", () => {
    expect(files.length).toBeGreaterThan(10);
    const strange = files.flatMap((file) => {
      const text = readFileSync(join(page, file), "utf8");
      const imports = [...text.matchAll(/^(?:import|export)\b(?:[^;"]*?\bfrom)? "([^"]+)";$/gms)];
      return imports.flatMap(([, target = ""]) => {
        if (/^(?:lit(?:\/|$)|@vscode-elements\/|worker:)/.test(target)) return [];
        const path = relative(page, join(page, dirname(file), target));
        const own = target.startsWith(".") && !path.startsWith("..");
        const engine = path.startsWith(join("..", "..", "server", "engine"));
        const wire = path.startsWith(join("..", "..", "server", "wire"));
        const words = path === join("..", "..", "server", "language", "words.ts");
        return own || engine || wire || words ? [] : `${file} imports ${target}`;
      });
    });
    expect(strange).toEqual([]);
  });
});

const IMPORT = /(?:\bfrom\s+|\bimport\s*\(\s*|\bimport\s+)"([^"]+)"/g;

/** The project's files that a file imports, types included. */
function importsOf(text: string, file: string): string[] {
  return [...text.matchAll(IMPORT)]
    .map(([, target = ""]) => target)
    .filter((target) => target.startsWith("."))
    .map((target) => join(dirname(file), target));
}

/** Ways that lead back to a file, each told once. */
function circlesIn(uses: ReadonlyMap<string, readonly string[]>): string[] {
  const found: string[] = [];
  const done = new Set<string>();
  const visit = (file: string, way: readonly string[]) => {
    const at = way.indexOf(file);
    if (at >= 0) found.push([...way.slice(at), file].join(" → "));
    if (at >= 0 || done.has(file)) return;
    for (const next of uses.get(file) ?? []) visit(next, [...way, file]);
    done.add(file);
  };
  for (const file of uses.keys()) visit(file, []);
  return found;
}

/** Folders that the page shares, without Node and without packages. */
const BARE = ["engine", "wire"];

/** The imports of a file that its folder may not have. */
function turned(file: string, text: string): string[] {
  const folder = folderOf(file);
  const targets = [...text.matchAll(IMPORT)].map(([, target = ""]) => target);
  return targets
    .filter((target) => {
      if (!target.startsWith(".")) return BARE.includes(folder);
      const path = relative(server, join(server, dirname(file), target));
      // Schemas and package.json are data, open to all but the engine.
      if (path.startsWith("..")) return BARE.includes(folder) || !target.endsWith(".json");
      return folderOf(path) !== folder && !MAY_USE[folder]?.includes(folderOf(path));
    })
    .map((target) => `${file} imports ${target}`);
}

function folderOf(file: string): string {
  return file.split(sep)[0] ?? "";
}
