import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { parseDocument } from "yaml";
import { ABOUT_RULES } from "../../server/rules/all.ts";
import { rulesPage } from "../../server/rules/reference.ts";

const read = (path: string) => readFileSync(new URL(`../../${path}`, import.meta.url), "utf8");
it("stands on its own page as the rules have it", () => {
  expect(rulesPage() === read("server/rules/README.md"), "run npm run generate").toBe(true);
});

it("has a table row for every rule", () => {
  const lines = rulesPage().split("\n");
  for (const { id, why } of ABOUT_RULES)
    expect(lines.find((line) => line.startsWith(`| [${id}](#${id}) |`))).toContain(
      why.replaceAll("|", "\\|"),
    );
});

it.each(ABOUT_RULES.map((rule) => [rule.id, rule] as const))(
  "tells of %s: why, whence, and examples that are YAML",
  (id, rule) => {
    const page = rulesPage();
    const entry = page.slice(page.indexOf(`### ${id}\n`)).split("\n### ")[0]!;
    for (const part of [rule.why, rule.source, rule.example.fails, rule.example.passes])
      expect(entry).toContain(part);
    expect(rule.why).toMatch(/^\p{Lu}.{20,}\.$/u);
    expect(rule.source).toMatch(/^\p{Lu}.{8,}\.$/u);
    expect(rule.example.fails).not.toBe(rule.example.passes);
    for (const example of Object.values(rule.example)) expect(parseDocument(example).errors).toEqual([]);
  },
);
