import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { labFromBytes } from "../../server/engine/colour/cielab.ts";
import { hardColours } from "../../server/propose/hard-colours.ts";
import { scratch } from "../output/folders.ts";
import { isInDisc, proposed, putDrawing, putPicture } from "./jobs.ts";

const { fresh } = scratch();
const SHOP = fileURLToPath(new URL("../../samples/workshop.shop.yaml", import.meta.url));

describe("what is lost", () => {
  it("is reported with the colour, the place and the cost where too few plates are asked for", async () => {
    const folder = fresh();
    const bars = ["#d8431f", "#2060c0", "#f5c832", "#2f8f4e"].map(
      (fill, i) => `<rect x="${5 + 28 * i}" y="10" width="26" height="80" fill="${fill}"/>`,
    );
    const made = await proposed(folder, putDrawing(folder, bars.join("")), undefined, { plates: 2 });
    const told = made.notes.filter((note) => note.includes("will print ΔE00"));
    expect(told.length).toBeGreaterThan(0);
    expect(told[0]).toMatch(
      /^#[0-9a-f]{6} will print ΔE00 \d+ off on black, [\d.]+ cm² or [\d.]+ % of the drawing, .+; have an ink mixed to it, one screen more$/,
    );
    expect(made.text).not.toContain("allow unprinted-artwork");
  });

  it("names the ink of the ink library that would print it", async () => {
    const folder = fresh();
    const file = await putPicture(folder, (x, y) =>
      isInDisc(x, y, 0.45) ? [200 - 150 * x, 60 + 100 * x, 40 + 60 * y] : [0, 0, 0, 0],
    );
    const made = await proposed(folder, file, undefined, { shopFile: SHOP, plates: 1 });
    expect(made.notes.join("\n")).toMatch(/will print ΔE00 \d+ off on black, .*; add \w+, one screen more/);
  });

  it("is nothing where every colour prints", async () => {
    const folder = fresh();
    const file = putDrawing(folder, '<rect x="10" y="10" width="90" height="80" fill="#d8431f"/>');
    const made = await proposed(folder, file);
    expect(made.notes.filter((note) => note.includes("will print ΔE00"))).toEqual([]);
  });

  it("is told of colours that the garment swallows and that no pigment reaches", () => {
    const colour = (...rgb: [number, number, number]) => ({ rgb, lab: labFromBytes(...rgb) });
    const black = { name: "black", lab: labFromBytes(0x17, 0x17, 0x1a) };
    expect(
      hardColours([colour(0x2b, 0x2d, 0x31), colour(57, 255, 20), colour(200, 16, 46)], [black]),
    ).toEqual([
      expect.stringMatching(/^#2b2d31 is hardly seen on black, ΔE00 \d+ from the garment$/),
      expect.stringMatching(/^#39ff14 is more vivid than pigments print/),
    ]);
  });
});
