import { describe, expect, it } from "vitest";
import { actions, BLOCKS } from "./actions.ts";

describe("the usual print order", () => {
  const order = (list: string) =>
    BLOCKS.replace(/setups:[\s\S]*/, `setups:\n  one: { garments: [black, white], order: ${list} }\n`);
  const sorted = (list: string) =>
    actions(order(list).replace("  one", "  o|ne"), "refactor.rewrite")[
      "Put setup one in the usual print order"
    ];

  it.each([
    [
      "underbase and its flash, light to dark, shadow, highlight",
      "[glint, dark, ember, base, flash, sand]",
      "[base, flash, sand, ember, dark, glint]",
    ],
    [
      "without underbase: shadow, dark to light, highlight",
      "[sand, glint, ember, dark]",
      "[dark, ember, sand, glint]",
    ],
    [
      "a flash stays behind its plate",
      "[base, flash, ember, flash, cool-down, sand]",
      "[base, flash, sand, ember, flash, cool-down]",
    ],
    ["a cool-down in front stays there", "[cool-down, sand, ember, dark]", "[cool-down, dark, ember, sand]"],
  ])("is: %s", (_, list, expected) => {
    expect(sorted(list)).toBe(order(expected));
  });

  it("moves lines with their comments", () => {
    const marked = BLOCKS.replace(
      "      - sand\n      - ember # wet-on-wet\n",
      "      - em|ber # wet-on-wet\n      - sand\n",
    );
    expect(actions(marked, "refactor.rewrite")).toEqual({
      "Put setup on-black in the usual print order": BLOCKS,
    });
  });

  it("is not offered where it stands already", () => {
    expect(sorted("[base, flash, sand, ember, dark, glint]")).toBeUndefined();
  });

  it("is not offered where a plate is not known", () => {
    expect(sorted("[sand, embr, dark]")).toBeUndefined();
  });
});
