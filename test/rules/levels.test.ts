import { describe, expect, it } from "vitest";
import { readLevels } from "../../server/rules/levels.ts";
import { findingsOf } from "./example.ts";

/** Trips base-peeks, a warning. */
const PEEKS = "traps: []\n";
const level = (shop: string, user: Record<string, unknown> = {}) =>
  findingsOf(PEEKS + shop, { levels: readLevels(user) }).find(({ rule }) => rule === "base-peeks")?.level;

describe("a rule's level", () => {
  it("is its own, else the shop's, else the user's", () => {
    expect(level("")).toBe("warning");
    expect(level("rules: { base-peeks: error }")).toBe("error");
    expect(level("rules: { base-peeks: error }", { "base-peeks": "note" })).toBe("note");
    expect(level("rules: { base-peeks: off }")).toBeUndefined();
    expect(level("", { "base-peeks": "off" })).toBeUndefined();
  });

  it("is not touched by what is no level", () => {
    expect(level("", { "base-peeks": "loud" })).toBe("warning");
    expect(readLevels("off").size + readLevels(undefined).size).toBe(0);
  });

  it("stays error where the recipe could not be read otherwise", () => {
    const found = findingsOf("knockouts: [{ from: base, where: base }]\nrules: { self-knockout: off }");
    expect(found.filter(({ rule }) => rule === "self-knockout").map((f) => f.level)).toEqual(["error"]);
    expect(found.map(({ message }) => message)).toContain(
      'What "self-knockout" finds makes a recipe unreadable, so it stays an error; take this line out',
    );
  });

  it("raised to error does not keep the other rules from looking", () => {
    const found = findingsOf(`${PEEKS}rules: { base-peeks: error, stations: error }\npress: { stations: 3 }`);
    expect(found.map(({ rule, level: at }) => `${rule} ${at}`)).toEqual(
      expect.arrayContaining(["base-peeks error", "stations error", "flash-heads warning"]),
    );
  });
});
