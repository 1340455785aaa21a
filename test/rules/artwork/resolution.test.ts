import { describe, expect, it } from "vitest";
import { messages, RED } from "../printed.ts";

const IDS = ["artwork-coarse", "artwork-soft", "artwork-under-aim"] as const;

/** The rules that speak of a picture so many pixels wide on ten inches. */
async function told(pixels: number, example = "", vector = false): Promise<string[]> {
  const drawn = { width: pixels, height: 2, at: () => RED, info: { vector } };
  const said = await Promise.all(
    IDS.map(async (id) => ((await messages(id, example, drawn)).length > 0 ? [id] : [])),
  );
  return said.flat();
}

describe("the artwork's resolution", () => {
  it.each([
    [1490, ["artwork-coarse"]],
    [1500, ["artwork-soft"]],
    [1990, ["artwork-soft"]],
    [2000, ["artwork-under-aim"]],
    [2990, ["artwork-under-aim"]],
    [3000, []],
  ])("%i pixels on 10 in trip %j", async (pixels, ids) => {
    expect(await told(pixels)).toEqual(ids);
  });

  it("is held against the finest ruling too", async () => {
    // 1.5 × 110 lpi = 165 ppi, 2 × 110 = 220.
    const fine = "screening: { ruling: 110 lpi }";
    expect(await told(1640, fine)).toEqual(["artwork-coarse"]);
    expect(await told(1660, fine)).toEqual(["artwork-soft"]);
    expect(await told(2190, fine)).toEqual(["artwork-soft"]);
    expect(await told(2210, fine)).toEqual(["artwork-under-aim"]);
  });

  it("does not matter in drawings", async () => {
    expect(await told(100, "", true)).toEqual([]);
  });

  it("comes with the width that it would do for", async () => {
    const [message] = await messages("artwork-coarse", "", { width: 900, height: 2, at: () => RED });
    expect(message).toBe(
      "the artwork has 90 ppi at this width, under 150: edges will be stepped and small type soft; ask for a larger picture, or print it 6 in wide or less",
    );
  });
});
