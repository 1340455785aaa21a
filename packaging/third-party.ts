import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

/** A package of others of which something ships. */
export interface Shipped {
  readonly name: string;
  readonly version: string;
  /** As SPDX writes it. */
  readonly licence: string;
  /** Where in the package it is found. */
  readonly where: readonly string[];
  /** Undefined where the package is for another machine, and so not installed on this one. */
  readonly text: string | undefined;
}

const root = fileURLToPath(new URL("..", import.meta.url));
/** Not shrunk: each file that went in is named above its text. */
const BUNDLES = [
  "dist/platewright.js",
  "dist/measure-process.js",
  "dist/film-worker.js",
  "dist/extension.cjs",
];
/** Of these, other things than code ship. */
const DRAWN: readonly [name: string, where: string][] = [
  ["@vscode/codicons", "dist/panel/codicon.ttf"],
  ["@fontsource/source-sans-3", "outlines of letters in dist/film-worker.js"],
];
/** The one package that stands beside the bundles, since it is native code. */
const BESIDE = "sharp";

interface Locked {
  readonly version: string;
  readonly license?: string;
  readonly dependencies?: Readonly<Record<string, string>>;
  readonly optionalDependencies?: Readonly<Record<string, string>>;
}

/** Every package of others of which something ships, by name. Needs the bundles: `npm run build`. */
export function shippedPackages(): Shipped[] {
  const { packages } = JSON.parse(read("package-lock.json")) as { packages: Record<string, Locked> };
  const where = new Map<string, Set<string>>();
  const add = (folder: string, place: string) =>
    where.set(folder, (where.get(folder) ?? new Set()).add(place));

  for (const bundle of BUNDLES)
    for (const [, file] of read(bundle).matchAll(/^ *\/\/ (node_modules\/\S+)$/gm))
      add(folderOf(file!), bundle);
  for (const file of JSON.parse(read("build/panel-inputs.json")) as string[])
    if (file.includes("node_modules/")) add(folderOf(file), "dist/panel/panel.js");
  for (const [name, place] of DRAWN) add(`node_modules/${name}`, place);
  const beside = (name: string) => {
    const folder = `node_modules/${name}`;
    if (where.has(folder) && where.get(folder)!.has(folder)) return;
    const locked = packages[folder];
    if (!locked) return;
    add(folder, folder);
    for (const needed of Object.keys({ ...locked.dependencies, ...locked.optionalDependencies }))
      beside(needed);
  };
  beside(BESIDE);

  return [...where]
    .map(([folder, places]): Shipped => {
      const locked = packages[folder];
      if (!locked) throw new Error(`${folder} is not in package-lock.json`);
      return {
        name: folder.slice(folder.lastIndexOf("node_modules/") + "node_modules/".length),
        version: locked.version,
        licence: locked.license ?? "",
        where: [...places].sort(),
        text: licenceText(folder),
      };
    })
    .sort((a, b) => (`${a.name} ${a.version}` < `${b.name} ${b.version}` ? -1 : 1));
}

/** The innermost package of a file's path. */
function folderOf(file: string): string {
  const [folder = ""] =
    /^.*node_modules\/(?:@[^/]+\/)?[^/]+/.exec(file.slice(file.indexOf("node_modules/"))) ?? [];
  return folder;
}

function licenceText(folder: string): string | undefined {
  if (!existsSync(join(root, folder))) return undefined;
  const names = readdirSync(join(root, folder)).filter((name) =>
    /^(?:licen[cs]e|copying)(?:[.-]|$)/i.test(name),
  );
  const texts = names.sort().map((name) => read(join(folder, name)).replaceAll("\r\n", "\n").trim());
  return texts.join("\n\n") || undefined;
}

function read(file: string): string {
  return readFileSync(join(root, file), "utf8");
}

/** The page that goes with the package. */
export function thirdPartyPage(shipped: readonly Shipped[] = shippedPackages()): string {
  const rows = shipped.map(
    ({ name, version, licence, where }) => `| ${name} | ${version} | ${licence} | ${where.join(", ")} |`,
  );
  // Builds for one machine each share the words of the package that picks among them.
  const texts = shipped
    .filter(({ name }) => !name.startsWith("@img/sharp-"))
    .map(({ name, version, licence, text }) => {
      const words = text
        ?.split("\n")
        .map((line) => `    ${line}`.trimEnd())
        .join("\n");
      return `## ${name} ${version}\n\n${words ?? `${licence}; the package holds no further words.`}\n`;
    });
  return `# What others made

Platewright ships with parts of these packages. Made from the bundles and package-lock.json by \`npm run licences\`.
libvips and what it is built with (\`@img/sharp-…\`) are libraries of their own, loaded when artwork is read, and may be
replaced by other builds of them.

| package | version | licence | where |
|---|---|---|---|
${rows.join("\n")}

${texts.join("\n")}`;
}
