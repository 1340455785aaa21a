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
});
