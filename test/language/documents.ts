import { expect } from "vitest";
import { parseDocument, positionAt, type SourceDocument } from "../../server/language/document.ts";
import { type Finding, formatPath } from "../../server/language/finding.ts";
import { type FileAccess, FileError, openProject } from "../../server/language/project.ts";
import { RULE_GROUPS } from "../../server/rules/all.ts";
import { checkProject } from "../../server/rules/check.ts";

/** A recipe without a fault, small enough to be read at a glance. */
export const SOUND = `recipe: 1
artwork: { file: art.png, width: 2 in }
garments:
  black: { colour: "#17171a" }
inks:
  white: { colour: "#f8f8f4", opacity: 92% }
  ember: { colour: "#d8431f", opacity: 70% }
plates:
  base: { ink: white, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { hue: [350, 50] } }
setups:
  dark: { garments: [black], order: [base, ember] }
`;

/** The sound recipe with one piece of it replaced. */
export function soundBut(piece: string, by: string): string {
  expect(SOUND.split(piece).length, `"${piece}" stands in the recipe once`).toBe(2);
  return SOUND.replace(piece, () => by);
}

/** A text without its «» and the ranges that they marked. */
export function unmark(marked: string): { text: string; marks: { start: number; end: number }[] } {
  const marks: { start: number; end: number }[] = [];
  let text = "";
  for (const char of marked) {
    if (char === "«") marks.push({ start: text.length, end: text.length });
    else if (char === "»") marks.at(-1)!.end = text.length;
    else text += char;
  }
  return { text, marks };
}

/** Files in memory: the recipe, and what it refers to. */
export function filesInMemory(files: Readonly<Record<string, string>>): FileAccess {
  return {
    async readText(file) {
      const text = files[file];
      if (text === undefined) throw new FileError(file, "there is no such file");
      return text;
    },
    exists: async (file) => Object.hasOwn(files, file),
    resolve: (_, relative) => relative,
  };
}

/** Rules on the recipe as a text; trade rules have tests of their own. */
const STRUCTURE = RULE_GROUPS["The recipe's structure"]!;

/** What is wrong with the text of a recipe whose artwork is there. */
export async function findingsIn(
  text: string,
  others: Readonly<Record<string, string>> = {},
): Promise<Finding[]> {
  const access = filesInMemory({ "a.sep.yaml": text, "art.png": "", ...others });
  return checkProject(await openProject("a.sep.yaml", access), { rules: STRUCTURE });
}

/** Counted anew from the characters, as an editor shows it. */
export function lineAndColumn(text: string, offset: number): string {
  const before = text.slice(0, offset).split("\n");
  return `${before.length}:${before.at(-1)!.length + 1}`;
}

/** Holds a finding against the marked characters, its path, and what it must say. */
export function expectAt(
  doc: SourceDocument | string,
  finding: Finding,
  mark: { start: number; end: number },
  path: string,
  message: RegExp | string,
): void {
  const source = typeof doc === "string" ? parseDocument("a.sep.yaml", doc) : doc;
  const { line, column } = positionAt(source, finding.range.start);
  expect({
    at: `${line}:${column}`,
    text: source.text.slice(finding.range.start, finding.range.end),
    path: formatPath(finding.path),
  }).toEqual({
    at: lineAndColumn(source.text, mark.start),
    text: source.text.slice(mark.start, mark.end),
    path,
  });
  if (typeof message === "string") expect(finding.message).toBe(message);
  else expect(finding.message).toMatch(message);
}

/** The one finding of a text whose place is marked with «». */
export async function expectOneFinding(
  marked: string,
  rule: string,
  path: string,
  message: RegExp | string,
  others: Readonly<Record<string, string>> = {},
): Promise<void> {
  const { text, marks } = unmark(marked);
  const found = await findingsIn(text, others);
  expect(found.map((f) => `[${f.rule}] ${f.message}`)).toHaveLength(1);
  expect(found[0]!.rule).toBe(rule);
  expectAt(text, found[0]!, marks[0]!, path, message);
}
