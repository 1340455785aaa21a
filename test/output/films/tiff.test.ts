import { describe, expect, it } from "vitest";
import { tiffOf } from "../../../server/output/films/tiff.ts";
import { fieldsOf } from "./tiff-fields.ts";

const film = (dpi: number, more: object = {}) =>
  fieldsOf(
    tiffOf({
      width: 9,
      height: 3,
      dpi,
      rowsPerStrip: 2,
      strips: [Uint8Array.of(1, 2, 3), Uint8Array.of(4)],
      description: "a",
      software: "b",
      ...more,
    }),
  );

describe("a TIFF film", () => {
  it.each([
    // Dots to the centimetre as imagesetters count them: × 2.54.
    [480 * 2.54, 121920, 100],
    [60, 60, 1],
    [1200, 1200, 1],
    [333 * 2.54, 84582, 100],
    [720.5, 1441, 2],
  ])("has the resolution %f dpi as a fraction that is exact: %i / %i", (dpi, numerator, denominator) => {
    const fields = film(dpi);
    for (const tag of [282, 283]) {
      const [over, under] = fields.get(tag) as number[];
      // Cross multiplied, in whole numbers.
      expect(over! * denominator).toBe(numerator * under!);
    }
    // Inches.
    expect(fields.get(296)).toEqual([2]);
  });

  it("has its strips where it says, each at an even place", () => {
    const file = tiffOf({
      width: 9,
      height: 3,
      dpi: 600,
      rowsPerStrip: 2,
      strips: [Uint8Array.of(1, 2, 3), Uint8Array.of(4)],
      description: "abcdef",
      software: "b",
    });
    const fields = fieldsOf(file);
    const [offsets, lengths] = [fields.get(273) as number[], fields.get(279) as number[]];
    expect(lengths).toEqual([3, 1]);
    expect([...file.subarray(offsets[0]!, offsets[0]! + 3)]).toEqual([1, 2, 3]);
    expect(file[offsets[1]!]).toBe(4);
    expect(offsets.map((at) => at % 2)).toEqual([0, 0]);
    expect(fields.get(278)).toEqual([2]);
    // Fields stand in rising order (TIFF 6.0, section 2).
    expect([...fields.keys()]).toEqual([...fields.keys()].sort((a, b) => a - b));
  });

  it("is a whole picture of one bit a pixel in Group 4, 0 clear, upright (TIFF 6.0, sections 3, 8 and 11)", () => {
    const { 254: kind, ...fields } = Object.fromEntries(film(600));
    expect(kind).toEqual([0]);
    expect(fields).toMatchObject({
      256: [9],
      257: [3],
      258: [1],
      259: [4],
      262: [0],
      266: [1],
      274: [1],
      277: [1],
      293: [0],
      296: [2],
    });
  });

  it("has its texts in ASCII with the zero at their end", () => {
    const fields = film(600, { description: "gold – ½", software: "x" });
    expect([fields.get(270), fields.get(305)]).toEqual(["gold ? ?\0", "x\0"]);
  });
});
