import { describe, expect, it } from "vitest";
import { distance, nearest, suggestion } from "../../server/language/suggest.ts";
import { random } from "../property.ts";

const PLATES = ["base", "ember", "leaf", "violet", "highlight"];

describe("a misspelt name", () => {
  it.each([
    ["embr", "ember"],
    ["Ember", "ember"],
    ["emebr", "ember"],
    ["violett", "violet"],
    ["laef", "leaf"],
    ["bsae", "base"],
    ["higlhight", "highlight"],
    ["lead", "leaf"],
    ["ba", undefined],
    ["red", undefined],
    ["umbra", undefined],
    ["vi", undefined],
    ["", undefined],
    ["something-else", undefined],
  ])("%j means %j", (name, meant) => {
    expect(nearest(name, PLATES)).toBe(meant);
  });

  it("of five letters may have two wrong, not three", () => {
    expect(nearest("abcde", ["abcxy"])).toBe("abcxy");
    expect(nearest("abcde", ["abxyz"])).toBeUndefined();
  });

  it("means the nearest of several, and of equals the first", () => {
    expect(nearest("emberr", ["embers", "ember"])).toBe("embers");
    expect(nearest("amber", ["umber", "ember"])).toBe("umber");
    expect(nearest("ambers", ["umber", "amber"])).toBe("amber");
  });
});

describe("a suggestion", () => {
  it("asks for the near one", () => {
    expect(suggestion("embr", PLATES, "plates are")).toBe('; did you mean "ember"?');
  });
  it("or tells the choice", () => {
    expect(suggestion("red", ["base", "leaf"], "plates are")).toBe("; plates are: base, leaf");
  });
  it("or says nothing, where there is none", () => {
    expect(suggestion("red", [], "plates are")).toBe("");
  });
});

it.each([
  ["", "", 0],
  ["", "abc", 3],
  ["abc", "", 3],
  ["gold", "gold", 0],
  ["godl", "gold", 1],
  ["glod", "gold", 1],
  ["gol", "gold", 1],
  ["golds", "gold", 1],
  ["bold", "gold", 1],
  ["ca", "abc", 3],
  ["kitten", "sitting", 3],
])("counts the slips between %j and %j", (a, b, slips) => {
  expect(distance(a, b)).toBe(slips);
  expect(distance(b, a)).toBe(slips);
});

it("a distance of words that lie within a bound is the whole one, and beyond it more than the bound", () => {
  const next = random(5);
  const word = () =>
    Array.from({ length: Math.floor(next() * 9) }, () => "abc"[Math.floor(next() * 3)]).join("");
  for (let i = 0; i < 3000; i++) {
    const [a, b, most] = [word(), word(), Math.floor(next() * 6)];
    const whole = distance(a, b);
    const bounded = distance(a, b, most);
    if (whole <= most) expect(bounded, `${a} ${b} ${most}`).toBe(whole);
    else expect(bounded, `${a} ${b} ${most}`).toBeGreaterThan(most);
  }
});
