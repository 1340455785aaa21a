import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, relative } from "node:path";
import { afterAll } from "vitest";

/** A folder for one test file, gone after it; each call of `fresh` gives a new empty one inside. */
export function scratch(): { readonly folder: string; fresh(): string } {
  const folder = mkdtempSync(join(tmpdir(), "platewright-"));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return { folder, fresh: () => mkdtempSync(join(folder, "t")) };
}

/** Every file under a folder with its text (latin1, so that bytes count), folders as "name/". */
export function contentOf(folder: string): Record<string, string> {
  if (!existsSync(folder)) return {};
  const entries = readdirSync(folder, { recursive: true, encoding: "utf8" }).sort();
  return Object.fromEntries(
    entries.map((name) => {
      const file = join(folder, name);
      const isFolder = statSync(file).isDirectory();
      // A ledger names its own folder, which is another for each test; all else is the same.
      const text = () => readFileSync(file, "latin1").replace(/(?<="folder": )"[0-9a-f]{16}"/, '"…"');
      return [relative(folder, file) + (isFolder ? "/" : ""), isFolder ? "" : text()];
    }),
  );
}

/** The folder of a run's unfinished files. */
export function partIn(folder: string): string {
  return join(
    folder,
    readdirSync(folder).find((name) => /^\.platewright-\d+-[0-9a-f]{16}\.part$/.test(name)) ?? "",
  );
}

export function namesIn(folder: string): string[] {
  return Object.keys(contentOf(folder));
}
