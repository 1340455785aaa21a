import { describe, expect, it } from "vitest";
import { findingsIn, soundBut } from "../../language/documents.ts";
import { itTrips } from "./trips.ts";

itTrips("name-clash");

describe("name-clash, beside other rules", () => {
  it.each(["flash", "cool-down"])(
    "a plate may not be called %s, which an order reads as a step",
    async (name) => {
      const found = await findingsIn(
        soundBut("  ember: { ink", `  ${name}: { ink`).replace("ember]", `${name}]`),
      );
      // It is never printed either: the order's word is the step's.
      expect(found.map(({ rule }) => rule)).toEqual(["name-clash", "unprinted-plate"]);
      expect(found[0]!.message).toBe(
        `"${name}" is what an order calls a step of the press; give the plate another name`,
      );
    },
  );

  it("takes one letter written in two ways for one name", async () => {
    const found = await findingsIn(
      soundBut("  ember: { ink", "  \u00e9: { ink: ember, extract: { hue: [0, 9] } }\n  E\u0301: { ink"),
    );
    // A combining accent is no letter, so that this is no name either.
    expect(found.map(({ rule }) => rule)).toContain("name-clash");
  });

  it.each([
    ["an i with and without its dot", "ı", "i"],
    ["a long and a round s", "ſand", "sand"],
    ["a sign and its letter", "\u212ah", "kh"],
  ])("takes %s for one name", async (_, a, b) => {
    const found = await findingsIn(
      soundBut("  ember: { ink", `  ${a}: { ink: ember, extract: { hue: [0, 9] } }\n  ${b}: { ink`).replace(
        "ember] }",
        `${a}, ${b}] }`,
      ),
    );
    expect(found.map(({ rule }) => rule)).toEqual(["name-clash"]);
  });

  it("holds setups to it too", async () => {
    const found = await findingsIn(
      soundBut("  dark: {", "  Dark: { garments: [black], order: [base] }\n  dark: {"),
    );
    expect(found.map(({ rule, message, path }) => [rule, path, message])).toEqual([
      [
        "name-clash",
        ["setups", "dark"],
        '"dark" and "Dark" differ only in capitals, so their files would overwrite each other; rename one',
      ],
    ]);
  });

  it("tells films apart whose setup and plate would make one name", async () => {
    const clashing = soundBut("  dark: {", "  dark-base: { garments: [black], order: [ember] }\n  dark: {")
      .replace("  ember: { ink", "  base-ember: { ink")
      .replace("order: [ember]", "order: [x]")
      .replace(
        "  base: {",
        "  x: { ink: ember, extract: { hue: [0, 9] } }\n  base-x: { ink: ember, extract: { hue: [0, 9] } }\n  base: {",
      )
      .replace("order: [base, ember]", "order: [base, base-ember, flash, base-x]");
    const found = await findingsIn(clashing);
    expect(found.map(({ rule, message }) => [rule, message])).toEqual([
      [
        "name-clash",
        'A film of "dark" and one of "dark-base" would both be named dark-base-x; rename one of the setups',
      ],
    ]);
    expect(
      await findingsIn(
        clashing
          .replace(", base-x]", "]")
          .replace("  base-x: { ink: ember, extract: { hue: [0, 9] } }\n", ""),
      ),
    ).toEqual([]);
  });
});
