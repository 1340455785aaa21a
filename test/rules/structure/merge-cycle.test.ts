import { describe, expect, it } from "vitest";
import { findingsIn } from "../../language/documents.ts";
import { itTrips } from "./trips.ts";

itTrips("merge-cycle");

describe("merge-cycle", () => {
  it("tells of one ring once, and of plates that lead into it not at all", async () => {
    const merges = [
      ["a", "b"],
      ["b", "c"],
      ["c", "b"],
      ["d", "e"],
      ["e", "d"],
    ].map(([fold, into]) => `  - { fold: ${fold}, into: ${into} }\n`);
    const found = await findingsIn(`merges:\n${merges.join("")}`);
    expect(found.filter(({ rule }) => rule === "merge-cycle").map(({ path }) => path)).toEqual([
      ["merges", 1, "into"],
      ["merges", 3, "into"],
    ]);
  });
});
