import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";

/**
 * The licences of these packages, one after the other by name, as their authors ask for. Throws where a package has no
 * licence file and names no licence in its package.json either.
 */
export async function licencesOf(root: string, folders: readonly string[]): Promise<string> {
  const texts = await Promise.all([...new Set(folders)].map((folder) => licenceOf(join(root, folder))));
  return `Libraries inside of this extension, and their licences.\n\n${[...new Set(texts)].sort().join("\n")}`;
}

async function licenceOf(folder: string): Promise<string> {
  const { name, version, license } = JSON.parse(await readFile(join(folder, "package.json"), "utf8"));
  const file = (await readdir(folder)).find((entry) => /^(licen[cs]e|copying)(\.\w+)?$/i.test(entry));
  if (!file && !license) throw new Error(`${folder}: neither a licence file nor a licence in package.json`);
  const text = file ? (await readFile(join(folder, file), "utf8")).trim() : license;
  return `=== ${name} ${version} (${license})\n\n${text}\n`;
}
