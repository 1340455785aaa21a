import { describe, expect, it } from "vitest";
import { kindOf, parseDocument, positionAt, rangeAt } from "../../server/language/document.ts";
import { byPlace, type Finding, formatPath, type Path } from "../../server/language/finding.ts";
import { validate } from "../../server/language/validate.ts";
import { checkProject } from "../../server/rules/check.ts";
import { expectAt, lineAndColumn, SOUND, soundBut, unmark } from "./documents.ts";

/** Without a shop or an artwork: what one text alone gives. */
function findingsOf(text: string): Finding[] {
  const doc = parseDocument("a.sep.yaml", text);
  return checkProject({ main: doc, shop: undefined, findings: [...doc.findings, ...validate(doc)] });
}

function timed<T>(work: () => T, most: number): T {
  const begin = performance.now();
  const result = work();
  expect(performance.now() - begin).toBeLessThan(most);
  return result;
}

describe("a place in the text is found", () => {
  const places: [name: string, marked: string, path: Path, part: "key" | "value"][] = [
    ["a value in block style", "a:\n  b: «12 in»  # wide\n", ["a", "b"], "value"],
    ["a key in block style", "a:\n  «b»: 12 in\n", ["a", "b"], "key"],
    ["a value in flow style", "a: { b: [1, «2 mm» ] }", ["a", "b", 1], "value"],
    ["a key in flow style", "a: { «b»: 1 }", ["a", "b"], "key"],
    ["behind comments", "# one\n# two\n\na: # three\n  - «1» # four\n", ["a", 0], "value"],
    ["with CRLF", "a:\r\n  b: 1\r\n  c: «two words»\r\n", ["a", "c"], "value"],
    ["behind a byte order mark", "\ufeffa: «1»\n", ["a"], "value"],
    ["with tabs before the value", "a:\t\t«1»\t# tab\n", ["a"], "value"],
    ["behind signs outside of the basic plane", 'a: { "🐞🌙é": 1, b: «2» }', ["a", "b"], "value"],
    ["under a quoted key", 'a: { «"b c"»: 1 }', ["a", "b c"], "key"],
    ["a text over several lines", 'a: «"one\n  two"»\nb: 1\n', ["a"], "value"],
    ["a folded text", "a: «>\n  one\n  two\n»b: 1\n", ["a"], "value"],
    ["a key without a value", "a:\n  «b»:\n", ["a", "b"], "value"],
    ["a whole block in flow style", "a: «{ b: 1 }» # x\n", ["a"], "value"],
    ["an entry that is not there: the list", "a: «[1, 2]»\n", ["a", 7], "value"],
    ["a value behind an alias", "x: &x «white»\na: *x\n", ["a"], "value"],
    ["a value inside of an aliased block", "x: &x { b: «white» }\na: *x\n", ["a", "b"], "value"],
    ["a key inside of an aliased block", "x: &x { «b»: white }\na: [*x]\n", ["a", 0, "b"], "key"],
    ["an alias of an alias", "x: &x { b: «1» }\ny: &y { z: *x }\na: *y\n", ["a", "z", "b"], "value"],
    ["an anchor given twice: the nearer one", "x: &x 1\ny: &x «2»\na: *x\nz: &x 3\n", ["a"], "value"],
    ["a number as key", "a: { 1: x, 2: «y» }\n", ["a", "2"], "value"],
    ["an empty key", "a: 1\n«»: 2\n", [""], "key"],
  ];
  it.each(places)("%s", (_, marked, path, part) => {
    const { text, marks } = unmark(marked);
    const range = rangeAt(parseDocument("a.sep.yaml", text), path, part);
    expect([text.slice(range.start, range.end), range]).toEqual([
      text.slice(marks[0]!.start, marks[0]!.end),
      marks[0],
    ]);
  });

  it("in lines and columns from 1, counted in UTF-16 units", () => {
    const text = "a: 1\r\n\r\n🐞: x\nlast";
    const doc = parseDocument("a.sep.yaml", text);
    for (let offset = 0; offset <= text.length; offset++) {
      const { line, column } = positionAt(doc, offset);
      expect(`${line}:${column}`, `offset ${offset}`).toBe(lineAndColumn(text, offset));
    }
  });

  it("a byte order mark is no column", () => {
    const doc = parseDocument("a.sep.yaml", "\ufeffrecipe: 1\nb: 2");
    expect(positionAt(doc, 1)).toEqual({ line: 1, column: 1 });
    expect(positionAt(doc, 0)).toEqual({ line: 1, column: 1 });
    expect(positionAt(doc, 11)).toEqual({ line: 2, column: 1 });
  });

  it("at 1:1 in an empty text", () => {
    expect(positionAt(parseDocument("a.sep.yaml", ""), 0)).toEqual({ line: 1, column: 1 });
  });
});

describe("a path is shown", () => {
  it.each<[Path, string]>([
    [[], ""],
    [["plates", "ember", "hue", 1], "plates.ember.hue[1]"],
    [["plates", "Über-2"], "plates.Über-2"],
    [["artwork", "5 in"], 'artwork."5 in"'],
    [["a", "x\ny"], 'a."x\\ny"'],
    [[3, "a"], "[3].a"],
  ])("%j", (path, shown) => {
    expect(formatPath(path)).toBe(shown);
  });
});

describe("what a file is, by its name:", () => {
  it.each([
    ["shop.yaml", "shop"],
    ["a/b.shop.yaml", "shop"],
    ["C:\\jobs\\SHOP.YML", "shop"],
    ["a.sep.yaml", "recipe"],
    ["workshop.yaml", "recipe"],
    ["shop.yaml.sep.yaml", "recipe"],
    ["untitled:Untitled-1", "recipe"],
  ])("%s is a %s", (file, kind) => {
    expect(kindOf(file)).toBe(kind);
  });
});

describe("YAML that cannot be read", () => {
  const faults: [name: string, marked: string, message: RegExp][] = [
    [
      "a bracket left open",
      "recipe: 1\nplates: [1, 2\n«»",
      /^a bracket opened above is not closed|^\] is missing/,
    ],
    ["an alias without its anchor", "recipe: 1\na: «*nobody»\n", /unresolved alias .+ nobody/],
    ["an alias inside of what it stands for", "a: &a\n  - 1\n  - [«*a»]\n", /an alias inside of what it/],
    ["two documents", "recipe: 1\n«---\nrecipe: 1\n»", /a second document starts here/],
    ["tabs as indentation", "a:\n«\t»b: 1\n", /^a tab stands where spaces belong/],
  ];
  it.each(faults)("%s gives one finding there", (_, marked, message) => {
    const { text, marks } = unmark(marked);
    const doc = parseDocument("a.sep.yaml", text);
    expect(doc.findings.map(({ rule, level }) => [rule, level])).toEqual([["yaml", "error"]]);
    expectAt(doc, doc.findings[0]!, marks[0]!, "", message);
  });

  it("a key written twice gives one finding, at the second", () => {
    const text = soundBut("  ember: { ink", "  base: { ink");
    const found = findingsOf(text).filter(({ rule }) => rule !== "unknown-name");
    expect(found.map((f) => [f.rule, f.message])).toEqual([
      ["yaml", "This key stands here twice; take one of them out"],
    ]);
    expect(found[0]!.range.start).toBe(text.lastIndexOf("base: {"));
  });

  it.each(["", "\n\n", "# only a comment\n", "---\n", "~", "\ufeff"])("nothing in it: %j", (text) => {
    expect(findingsOf(text).map(({ rule, message, range }) => [rule, message, range])).toEqual([
      ["empty", 'The file is empty; a recipe starts with "recipe: 1"', { start: 0, end: 0 }],
    ]);
  });
});

describe("a hostile file", () => {
  it("whose aliases multiply is refused at once", () => {
    const lines = ["a: &a [1, 1, 1, 1, 1, 1, 1, 1, 1]"];
    for (const [name, of] of ["ba", "cb", "dc", "ed", "fe", "gf", "hg", "ih"].map((s) => [s[0], s[1]])) {
      lines.push(`${name}: &${name} [${Array(9).fill(`*${of}`).join(", ")}]`);
    }
    const found = timed(() => findingsOf(lines.join("\n")), 1000);
    expect(found.map(({ message }) => message)).toEqual([expect.stringMatching(/^Aliases make the file/)]);
  });

  it("that repeats one large list many times is refused at once", () => {
    const list = `x: &x [${Array(4_000).fill("1").join(",")}]\n`;
    const text = `${list}adjust:\n${"  - { plate: a, curve: *x }\n".repeat(100)}`;
    const found = timed(() => findingsOf(text), 5000);
    expect(found.map(({ message }) => message)).toEqual([expect.stringMatching(/^Aliases make the file/)]);
  });

  it("with more entries in one place than can be checked is refused there", () => {
    const { text, marks } = unmark(`recipe: 1\nadjust: «[${Array(5_001).fill("1").join(",")}]»\n`);
    const doc = parseDocument("a.sep.yaml", text);
    expect(doc.value).toBeUndefined();
    expectAt(
      doc,
      doc.findings[0]!,
      marks[0]!,
      "",
      "5,001 entries in one place; at most 5,000 are read, so split them up",
    );
    expect(parseDocument("a.sep.yaml", text.replace("1,", "")).value).toBeDefined();
  });

  it("of more lines and entries than the reader takes in a second is refused unread", () => {
    const doc = parseDocument("a.sep.yaml", `adjust: [${"1,".repeat(100_001)}1]`);
    expect(doc.findings.map(({ rule, message }) => [rule, message])).toEqual([
      ["too-large", expect.stringMatching(/^the file has more lines and entries than can be read/)],
    ]);
  });

  it("that holds itself twice is refused at once", () => {
    const found = timed(() => findingsOf("a: &a [*a, *a, *a]\n"), 1000);
    expect(found.map(({ message }) => message)).toEqual([expect.stringMatching(/an alias inside of/)]);
  });

  it("over 2 MB is refused with its size, in bytes of UTF-8", () => {
    const doc = timed(() => parseDocument("a.sep.yaml", `# ${"€".repeat(700_000)}`), 1000);
    expect(doc.value).toBeUndefined();
    expect(doc.findings.map(({ rule, message }) => [rule, message])).toEqual([
      ["too-large", "the file has 2.1 MB; at most 2 MB are read, so split it into several recipes"],
    ]);
  });

  it("of 2 MB to the byte is read", () => {
    const text = `recipe: 1\n# ${"é".repeat(999_994)}`;
    expect(new TextEncoder().encode(text)).toHaveLength(2_000_000);
    expect(parseDocument("a.sep.yaml", text)).toMatchObject({ value: { recipe: 1 }, findings: [] });
    expect(parseDocument("a.sep.yaml", `${text}x`).findings[0]).toMatchObject({ rule: "too-large" });
  });

  it.each([
    ["lists in flow style", "[".repeat(20_000) + "]".repeat(20_000)],
    ["lists left open", "[".repeat(20_000)],
    ["blocks in flow style", "{a: ".repeat(20_000)],
    ["lists in block style", `${"- ".repeat(20_000)}1`],
  ])("nested 20,000 deep is refused: %s", (_, text) => {
    const found = timed(() => findingsOf(text), 5000);
    expect(found.map(({ message }) => message)).toEqual([expect.stringMatching(/nested too deeply|nesting/)]);
  });

  it.each([64, 65])("may nest 64 levels, not 65: %i", (levels) => {
    const doc = parseDocument("a.sep.yaml", "[".repeat(levels) + "]".repeat(levels));
    expect(doc.findings).toHaveLength(levels - 64);
  });

  it.each(["__proto__", "constructor", "toString", "hasOwnProperty"])(
    "with the key %s harms nothing",
    (key) => {
      const found = findingsOf(`${SOUND}${key}: { polluted: { ink: x, extract: { artwork: opaque } } }\n`);
      expect(found.map((f) => [formatPath(f.path), f.message])).toEqual([
        [key, expect.stringMatching(new RegExp(`^"${key}" is not known here`))],
      ]);
      expect(({} as Record<string, unknown>).polluted).toBeUndefined();
    },
  );

  it("with __proto__ as a plate's name is told so", () => {
    const found = findingsOf(soundBut("  base: {", "  __proto__: {").replace("[base, ", "["));
    expect(found.map((f) => f.message)).toContainEqual(expect.stringMatching(/"__proto__" cannot be a name/));
  });

  it("with thousands of mistakes gives the first thousand", () => {
    const inks = Array.from({ length: 3000 }, (_, i) => `  i${i}: x\n`).join("");
    expect(findingsOf(soundBut("inks:\n", `inks:\n${inks}`))).toHaveLength(1000);
  });

  it("with keys that are lists prints nothing of its own accord", () => {
    const warned: unknown[] = [];
    const listen = (warning: unknown) => warned.push(warning);
    process.on("warning", listen);
    const found = findingsOf(`${SOUND}? [a, b]\n: 1\n`);
    process.off("warning", listen);
    expect(found).toHaveLength(1);
    expect(warned).toEqual([]);
  });
});

it("findings are sorted by file, place, level and wording", () => {
  const finding = (file: string, start: number, level: Finding["level"], message: string): Finding => ({
    rule: "r",
    level,
    file,
    range: { start, end: start },
    path: [],
    message,
  });
  const sorted = [
    finding("a", 9, "note", "z"),
    finding("b", 1, "error", "z"),
    finding("b", 1, "warning", "a"),
    finding("b", 1, "warning", "b"),
    finding("b", 2, "error", "a"),
  ];
  expect([...sorted].reverse().sort(byPlace)).toEqual(sorted);
});
