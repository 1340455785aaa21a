import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, it } from "vitest";
import packageInfo from "../../package.json" with { type: "json" };
import { platewright, put } from "../cli/program.ts";
import { scratch } from "../output/folders.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));
const { contributes } = packageInfo;
const { fresh } = scratch();
const source = readdirSync(join(root, "client"))
  .filter((name) => name.endsWith(".ts"))
  .map((name) => readFileSync(join(root, "client", name), "utf8"))
  .join("\n");
const commands = contributes.commands.map(({ command }) => command);

it.each(commands)("%s is a command that the extension registers", (command) => {
  expect(source).toMatch(new RegExp(`registerCommand\\(\\s*"${command}"`));
});

it("menus, keys, walkthrough and code name commands that exist", () => {
  const entries = Object.values(contributes.menus).flat();
  const named = [...entries.flatMap((entry) => ("command" in entry ? entry.command : []))];
  named.push(...contributes.keybindings.map(({ command }) => command));
  const submenus = entries.flatMap((entry) => ("submenu" in entry ? entry.submenu : []));
  expect(contributes.submenus.map(({ id }) => id)).toEqual([...new Set(submenus)]);
  for (const submenu of submenus) expect(Object.keys(contributes.menus)).toContain(submenu);
  const steps = JSON.stringify(contributes.walkthroughs).match(/(?<=command:)platewright\.\w+/gi) ?? [];
  const called = source.match(/(?<=executeCommand\(\s*")platewright\.\w+/g) ?? [];
  expect(steps.length).toBeGreaterThan(4);
  for (const command of [...named, ...steps, ...called]) expect(commands).toContain(command);
});

it("every file that is contributed is there", () => {
  const files = JSON.stringify(contributes).match(/(?<=")(?:\.\/)?client\/[\w./-]+(?=")/g) ?? [];
  expect(files.length).toBeGreaterThan(10);
  for (const file of files) expect([file, existsSync(join(root, file))]).toEqual([file, true]);
});

it("drawings of the walkthrough carry no script and take the editor's colours", () => {
  for (const { media } of contributes.walkthroughs[0]!.steps) {
    const svg = readFileSync(join(root, media.svg), "utf8");
    expect(svg).not.toMatch(/<script|href|<style|on\w+=/i);
    expect(svg).toContain("var(--vscode-");
  }
});

it("the problem matcher reads every line of check", async () => {
  const folder = fresh();
  put(
    folder,
    "it's a job (2).sep.yaml",
    'recipe: 1\nplates: { a: { ink: "x [y]", extract: { hue: [1] } } }\n',
  );
  const { out } = await platewright(folder, "check", ".", "--level", "note");
  const lines = out.trim().split("\n").slice(0, -1);
  expect(lines.length).toBeGreaterThan(3);
  const { regexp, ...groups } = contributes.problemMatchers[0]!.pattern;
  for (const line of lines) {
    const found = new RegExp(regexp).exec(line);
    expect([line, found?.[groups.file]]).toEqual([line, "it's a job (2).sep.yaml"]);
    expect(found![groups.code]).toMatch(/^[\w-]+$/);
    expect(found![groups.severity]).toMatch(/^(error|warning|note)$/);
    expect(Number(found![groups.line])).toBeGreaterThan(0);
  }
});
