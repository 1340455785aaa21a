import { describe, expect, it } from "vitest";
import { ABOUT_RULES, ALL_RULES } from "../../server/rules/all.ts";
import { findingsOf } from "./example.ts";

const seen = ABOUT_RULES.filter(
  (rule) => !ALL_RULES.some(({ id, looksAt }) => id === rule.id && looksAt === "pixels"),
);

const ids = (example: string, rules = ALL_RULES) =>
  findingsOf(example, { rules })
    .filter(({ allowed }) => allowed === undefined)
    .map(({ rule }) => rule);

describe("the job that the examples are pieces of", () => {
  it("has nothing to be found", () => {
    expect(findingsOf("")).toEqual([]);
  });
});

describe.each(seen.map((rule) => [rule.id, rule] as const))("%s, as in the rules' reference", (id, rule) => {
  it("is tripped by the example that fails", () => {
    const found = findingsOf(rule.example.fails).filter((finding) => finding.rule === id);
    expect(found.length, rule.example.fails).toBeGreaterThan(0);
    expect(found[0]).toMatchObject({ level: rule.level });
    expect(found[0]!.range.end).toBeGreaterThan(found[0]!.range.start);
  });

  it("is not tripped by the example that passes", () => {
    expect(ids(rule.example.passes)).not.toContain(id);
  });

  it("is missed where the rule is switched off", () => {
    const others = ALL_RULES.filter((other) => other.id !== id);
    if (others.length === ALL_RULES.length) return expect(id).toMatch(/allowance/);
    // Without a rule that keeps unreadable recipes out, rules on whole jobs cannot be asked.
    const asked = rule.fixed ? others.filter(({ looksAt }) => looksAt !== "job") : others;
    expect(ids(rule.example.fails, asked)).not.toContain(id);
  });
});

describe("an example that passes", () => {
  it.each(seen.map((rule) => [rule.id, rule.example.passes]))("is sound in all else: %s", (_, passes) => {
    const others = findingsOf(passes).filter(
      ({ level, allowed }) => level !== "note" && allowed === undefined,
    );
    expect(others.map(({ rule, message }) => `${rule}: ${message}`)).toEqual([]);
  });
});
