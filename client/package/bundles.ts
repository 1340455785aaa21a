import { readFile } from "node:fs/promises";

/** The part of esbuild's description of a bundle that is asked for here. */
interface Parts {
  readonly inputs: Readonly<Record<string, unknown>>;
}

/** The files that a build wrote, from the project's root, by esbuild's description of it. */
export async function outputsOf(metafile: string): Promise<string[]> {
  return Object.keys(JSON.parse(await readFile(metafile, "utf8")).outputs);
}

/** The packages whose files went into a bundle, as folders from the project's root, by esbuild's description of it. */
export async function packagesOf(metafile: string): Promise<string[]> {
  return packagesIn(JSON.parse(await readFile(metafile, "utf8")));
}

/** The same of a description that was read already. */
export function packagesIn({ inputs }: Parts): string[] {
  const folders = Object.keys(inputs).map(
    (file) => /^(?:[\w-]+:)?(.*node_modules\/(?:@[^/]+\/)?[^/]+)\//.exec(file)?.[1],
  );
  return [...new Set(folders.filter((folder) => folder !== undefined))];
}
