import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { parseDocument } from "../../server/language/document.ts";
import { byPlace, LEVELS } from "../../server/language/finding.ts";
import { assembleProject } from "../../server/language/project.ts";
import { ALL_RULES } from "../../server/rules/all.ts";
import { checkProject } from "../../server/rules/check.ts";
import type { Rule } from "../../server/rules/rule.ts";
import { findingsIn, SOUND, soundBut } from "../language/documents.ts";
import { holds } from "../property.ts";

const loud = (looksAt: "recipe" | "shop" | "job") =>
  ({
    id: "loud",
    looksAt,
    level: "error",
    why: "",
    source: "",
    example: { fails: "", passes: "" },
    check: () => [{ path: [], message: "!" }],
  }) satisfies Rule;

describe("the rules", () => {
  it("have ids of their own", () => {
    const ids = ALL_RULES.map(({ id }) => id);
    expect(new Set(ids).size).toBe(ids.length);
    for (const id of ids) expect(id).toMatch(/^[a-z]+(-[a-z]+)*$/);
  });

  it.each(ALL_RULES.map((rule) => [rule.id, rule] as const))("%s has a level and a reason", (_, rule) => {
    expect(LEVELS).toContain(rule.level);
    expect(rule.why).toMatch(/^[A-Z].{20,}\.$/);
  });

  it("are asked only of what they look at", () => {
    const run = (looksAt: "recipe" | "shop" | "job", file: string, text: string) => {
      const project = assembleProject(parseDocument(file, text), undefined, true);
      return checkProject(project, { rules: [loud(looksAt)] }).filter(({ rule }) => rule === "loud").length;
    };
    expect(run("recipe", "a.sep.yaml", SOUND)).toBe(1);
    expect(run("recipe", "a.shop.yaml", "shop: 1\n")).toBe(0);
    expect(run("recipe", "a.sep.yaml", "")).toBe(0);
    expect(run("shop", "a.sep.yaml", SOUND)).toBe(0);
    expect(run("shop", "a.shop.yaml", "shop: 1\n")).toBe(1);
    expect(run("job", "a.sep.yaml", SOUND)).toBe(1);
    expect(run("job", "a.shop.yaml", "shop: 1\n")).toBe(0);
    expect(run("job", "a.sep.yaml", soundBut("width: 2 in", "width: 2 inn"))).toBe(0);
  });

  it("begin with a capital, unless with a name or a file, which stay as they are written", () => {
    const said = ["ember prints, and ember", "there is no ember", "art.png, a file", "«sky» stays"];
    const rule: Rule = { ...loud("recipe"), check: () => said.map((message) => ({ path: [], message })) };
    const project = assembleProject(parseDocument("a.sep.yaml", SOUND), undefined, true);
    const found = checkProject(project, { rules: [rule] }).filter(({ rule }) => rule === "loud");
    expect(found.map(({ message }) => message).sort()).toEqual(
      ["ember prints, and ember", "There is no ember", "art.png, a file", "«sky» stays"].sort(),
    );
  });

  it("leave findings by place, whatever found them", async () => {
    const found = await findingsIn(
      `${soundBut("ink: white", "ink: wite").replace("[black]", "[black, black]").replace("92%", "0.92")}knockout: []\n`,
    );
    expect(found.map(({ rule }) => rule)).toEqual(["schema", "unknown-name", "repeated-entry", "schema"]);
    expect([...found].sort(byPlace)).toEqual(found);
  });

  it("find each mistake apart from the others", async () => {
    const text = `${soundBut("ink: white", "ink: wite")}knockouts: [{ from: base, where: base }]\ntraps: 5\n`;
    const rules = (await findingsIn(text)).map(({ rule }) => rule);
    expect(rules.sort()).toEqual(["schema", "self-knockout", "unknown-name"]);
  });
});

describe("marks of pixels", () => {
  const pixelRule = { ...loud("recipe"), looksAt: "pixels", check: () => [] } as unknown as Rule;
  const check = (path: (string | number)[], rule: string, pixels: boolean) => {
    const mark = { rule, path, message: "!" };
    const project = assembleProject(parseDocument("a.sep.yaml", SOUND), undefined, true);
    return checkProject(project, { rules: [pixelRule], ...(pixels ? { pixels: [mark] } : {}) });
  };

  it("are findings at the rule's level, at places that are there still", () => {
    const ember = SOUND.indexOf("ember: { ink: ember");
    expect(check(["plates", "ember"], "loud", true)).toMatchObject([
      { rule: "loud", level: "error", message: "!", range: { start: ember + "ember: ".length } },
    ]);
    for (const gone of [
      ["plates", "rose"],
      ["setups", "dark", "order", 2],
      ["plates", "ember", "ink", 0],
      ["plates", "toString"],
    ])
      expect(check(gone, "loud", true)).toEqual([]);
  });

  it("are only those of the rules that are asked", () => {
    expect(check(["plates", "ember"], "other", true)).toEqual([]);
    expect(check(["plates", "ember"], "loud", false)).toEqual([]);
  });
});

describe("half-written recipes", () => {
  const word = fc.constantFrom(
    "base",
    "ember",
    "rose",
    "flash",
    "chroma",
    "choke",
    "9 cm",
    "#888",
    "constructor",
    "__proto__",
    "",
  );
  const scalar = fc.oneof(word, fc.constantFrom("null", "0", "-1", "1e9", "true", "[]", "{}"));
  const key = fc.constantFrom(
    "ink",
    "extract",
    "strength",
    "fold",
    "into",
    "from",
    "where",
    "plate",
    "choke",
    "spread",
    "curve",
    "order",
    "garments",
    "lightness",
    "except",
    "all",
    "any",
    "colour",
    "toString",
    "valueOf",
    "region",
  );
  const { node } = fc.letrec<{ node: string }>((tie) => ({
    node: fc.oneof(
      { maxDepth: 4, withCrossShrink: true },
      scalar.map((text) => (/^[[{]/.test(text) || text === "null" ? text : JSON.stringify(text))),
      fc.array(tie("node"), { maxLength: 3 }).map((items) => `[${items.join(", ")}]`),
      fc
        .uniqueArray(fc.tuple(fc.oneof(key, word), tie("node")), { maxLength: 3, selector: ([k]) => k })
        .map((pairs) => `{ ${pairs.map(([k, v]) => `${JSON.stringify(k)}: ${v}`).join(", ")} }`),
    ),
  }));
  const sections = ["garments", "inks", "plates", "adjust", "merges", "knockouts", "traps", "setups", "shop"];
  const recipe = fc
    .tuple(...sections.map(() => node))
    .map((values) => values.map((value, i) => `${sections[i]}: ${value}\n`).join(""));

  it("make no rule throw or mutter", () => {
    holds(
      fc.property(recipe, recipe, (text, shopText) => {
        const doc = parseDocument("a.sep.yaml", text);
        const shop = parseDocument("a.shop.yaml", shopText);
        for (const main of [doc, shop]) {
          const found = checkProject(assembleProject(main, main === doc ? shop : undefined, true));
          for (const { rule, range, message } of found) {
            if (ALL_RULES.some(({ id }) => id === rule))
              expect(message).not.toMatch(/undefined|null|NaN|\[object/);
            expect(range.end).toBeLessThanOrEqual(Math.max(doc.text.length, shop.text.length));
          }
        }
      }),
      1500,
    );
  });

  it.each([
    ["knockouts", "knockouts:\n  - {}\n  - {}\n"],
    ["knockouts without one side", "knockouts:\n  - { from: base }\n  - { from: base }\n"],
    ["traps", "traps:\n  - {}\n  - {}\n"],
    ["merges", "merges:\n  - {}\n  - {}\n"],
    ["merges without a fold", "merges:\n  - fold:\n    into:\n  - fold:\n    into:\n"],
    ["merges without a target", "merges:\n  - fold: base\n  - fold: base\n"],
    [
      "blocks that pose as text",
      "knockouts:\n  - { from: { toString: 1, valueOf: 2 }, where: { toString: 1 } }\n",
    ],
  ])("with two empty %s are told of what is missing, not of a repetition", async (_, more) => {
    const found = await findingsIn(SOUND + more);
    expect(found.map(({ rule }) => rule).filter((rule) => rule !== "schema" && rule !== "yaml")).toEqual([]);
  });
});
