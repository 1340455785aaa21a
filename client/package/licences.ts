import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";

/** What a package holds of others, beyond its own licence file: the licences that these are under, and their sources. */
const HELD: Readonly<Record<string, { readonly licences: readonly string[]; readonly sources: string }>> = {
  "@img/sharp-wasm32": {
    // The README of the package lists its libraries, each with its licence.
    licences: [
      "LGPL-3.0-or-later",
      "GPL-3.0-or-later",
      "BSD-2-Clause",
      "BSD-3-Clause",
      "IJG",
      "libpng-2.0",
      "libtiff",
      "MIT",
      "Zlib",
    ],
    sources:
      "libvips, glib, libexif and libheif are under the LGPL 3, which builds on the GPL 3; other libraries inside are under the licences below, as the package's README lists them. Their sources, and how they are built: https://github.com/lovell/sharp-libvips and https://github.com/lovell/sharp (folder npm/wasm32), at the tag of this version.",
  },
  "@resvg/resvg-wasm": {
    licences: ["MPL-2.0"],
    sources:
      "Sources: https://github.com/yisibl/resvg-js, at the tag of this version; resvg itself: https://github.com/linebender/resvg.",
  },
  "@hyzyla/pdfium": {
    licences: ["BSD-3-Clause", "Apache-2.0"],
    sources:
      "Holds PDFium, Copyright 2014 The PDFium Authors, under the BSD 3-Clause licence, parts under the Apache License 2.0. Sources: https://pdfium.googlesource.com/pdfium, built by https://github.com/paulocoutinhox/pdfium-lib.",
  },
};

/**
 * The licences of these packages, one after the other by name, as their authors ask for, and once each the whole licences of
 * what they hold of others. Throws where a package has no licence file and names no licence in its package.json either.
 */
export async function licencesOf(root: string, folders: readonly string[]): Promise<string> {
  const packages = await Promise.all([...new Set(folders)].map((folder) => licenceOf(join(root, folder))));
  const held = new Set(packages.flatMap(({ name }) => HELD[name]?.licences ?? []));
  const texts = await Promise.all([...held].sort().map((id) => licenceText(root, id)));
  return `Libraries inside of this extension, and their licences.\n\n${[
    ...[...new Set(packages.map(({ text }) => text))].sort(),
    ...texts,
  ].join("\n")}`;
}

async function licenceOf(folder: string): Promise<{ readonly name: string; readonly text: string }> {
  const { name, version, license } = JSON.parse(await readFile(join(folder, "package.json"), "utf8"));
  const file = (await readdir(folder)).find((entry) => /^(licen[cs]e|copying)(\.\w+)?$/i.test(entry));
  if (!file && !license) throw new Error(`${folder}: neither a licence file nor a licence in package.json`);
  const own = file ? (await readFile(join(folder, file), "utf8")).trim() : license;
  const { licences, sources } = HELD[name] ?? {};
  const more = licences ? `\n\n${sources}\nWhole licences at the end: ${licences.join(", ")}.` : "";
  return { name, text: `=== ${name} ${version} (${license})\n\n${own}${more}\n` };
}

/** A licence by its SPDX identifier. */
async function licenceText(root: string, id: string): Promise<string> {
  const file = join(root, "node_modules/spdx-license-list/licenses", `${id}.json`);
  const { name, licenseText } = JSON.parse(await readFile(file, "utf8"));
  return `=== ${name} (${id})\n\n${licenseText.trim()}\n`;
}
