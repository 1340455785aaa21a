import { existsSync, readFileSync } from "node:fs";
import { readdir } from "node:fs/promises";
import { dirname, join, relative, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, it } from "vitest";

const ROOT = fileURLToPath(new URL("..", import.meta.url));
const NOT_OURS = ["node_modules", "build", "dist", ".git"];

/** Every page of the project's own. */
async function pagesIn(folder: string): Promise<string[]> {
  const entries = await readdir(folder, { withFileTypes: true });
  const found = await Promise.all(
    entries.map((entry) => {
      const path = join(folder, entry.name);
      if (entry.isDirectory()) return NOT_OURS.includes(entry.name) ? [] : pagesIn(path);
      return entry.name.endsWith(".md") ? [path] : [];
    }),
  );
  return found.flat();
}

/** What a heading is linked by. */
const anchorsOf = (page: string) =>
  [...page.matchAll(/^#+ (.*)$/gm)].map(([, text]) =>
    text!
      .toLowerCase()
      .replaceAll(/[^\p{L}\p{N} _-]/gu, "")
      .replaceAll(" ", "-"),
  );

const pages = await pagesIn(ROOT);

it.each(pages.map((page) => relative(ROOT, page)))("every link of %s leads somewhere", (name) => {
  const page = join(ROOT, name);
  const text = readFileSync(page, "utf8").replaceAll(/^```[\s\S]*?^```/gm, "");
  for (const [, link] of text.matchAll(/\]\(([^)\s]+)\)/g)) {
    if (/^https?:/.test(link!)) continue;
    const [path, anchor] = link!.split("#");
    const target = path === "" ? page : resolve(dirname(page), path!);
    expect(existsSync(target), link).toBe(true);
    if (anchor) expect(anchorsOf(readFileSync(target, "utf8")), link).toContain(anchor);
  }
});

it("README is short enough to be read at one sitting", () => {
  expect(readFileSync(join(ROOT, "README.md")).length).toBeLessThan(14 * 1024);
});
