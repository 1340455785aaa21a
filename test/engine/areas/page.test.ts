import { describe, expect, it } from "vitest";
import { cutPage, cutTones } from "../../../server/engine/areas/page.ts";
import type { BackgroundPlan } from "../../../server/engine/plan.ts";
import type { Picture } from "../../../server/engine/raster.ts";
import { type Pixel, pictureOf, RED, WHITE } from "../pictures.ts";
import { drawnOf, labelsDrawn } from "./labels.ts";

/** The background's number, and that of what is clear. */
const [PAGE, CLEAR] = [0, 9];

/** The drawing, cut, and what the cut tells of it. */
function cut(enclosed: BackgroundPlan["enclosed"], ...rows: string[]) {
  const labels = labelsDrawn(...rows);
  const { lacking, ...counts } = cutPage(labels, PAGE, CLEAR, enclosed);
  return { ...counts, rows: drawnOf(labels.first, labels.width), lacking: drawnOf(lacking, labels.width) };
}

describe("flat art's background", () => {
  const ring = ["0000000", "0111110", "0100010", "0100110", "0110110", "0001000"];

  it("goes as far as it is reached from the border by sides, and stays where it is enclosed", () => {
    expect(cut("kept", ...ring)).toEqual({
      // 15 above and beside, 6 below.
      page: 21,
      enclosed: 6,
      enclosedCut: 0,
      rows: ["9999999", "9111119", "9100019", "9100119", "9110119", "9991999"],
      lacking: Array(6).fill("0000000"),
    });
  });

  it("goes inside of the drawing too where that is asked for, and the print lacks it there", () => {
    expect(cut("cut", ...ring)).toEqual({
      page: 21,
      enclosed: 6,
      enclosedCut: 6,
      rows: ["9999999", "9111119", "9199919", "9199119", "9119119", "9991999"],
      lacking: ["0000000", "0000000", "0011100", "0011000", "0001000", "0000000"],
    });
  });

  it("is reached past what is clear already", () => {
    expect(cut("kept", "11911", "11011", "11111")).toMatchObject({
      page: 1,
      enclosed: 0,
      rows: ["11911", "11911", "11111"],
    });
  });

  it("is reached from every side of the picture", () => {
    expect(cut("kept", "101", "000", "101").rows).toEqual(["191", "999", "191"]);
    for (const rows of [
      ["101", "111", "111"],
      ["111", "011", "111"],
      ["111", "110", "111"],
      ["111", "111", "101"],
    ])
      expect(cut("kept", ...rows)).toMatchObject({ page: 1, enclosed: 0 });
  });

  /** One row of pixels: first and second colour, share of the first. */
  function cutRow(...pixels: (readonly [first: number, second: number, share: number])[]) {
    const labels = labelsDrawn(pixels.map(([first]) => first).join(""));
    pixels.forEach(([, second, share], x) => {
      labels.second[x] = second;
      labels.share[x] = share;
    });
    cutPage(labels, PAGE, CLEAR, "kept");
    return pixels.map((_, x) => [labels.first[x], labels.second[x], labels.share[x]]);
  }

  it("takes its share of the pixels of an edge along", () => {
    expect(cutRow([0, 0, 255], [0, 1, 200], [1, 0, 180], [1, 1, 255])).toEqual([
      [CLEAR, CLEAR, 255],
      [CLEAR, 1, 200],
      [1, CLEAR, 180],
      [1, 1, 255],
    ]);
    // Half clear already, or mixed with itself.
    expect(cutRow([0, CLEAR, 140], [0, 0, 255], [1, 2, 130])).toEqual([
      [CLEAR, CLEAR, 255],
      [CLEAR, CLEAR, 255],
      [1, 2, 130],
    ]);
  });

  it("takes it from pixels up to three away, and leaves a hairline's", () => {
    const [page, ink, mixed] = [
      [0, 0, 255],
      [1, 1, 255],
      [1, 0, 180],
    ] as const;
    expect(cutRow(page, ink, ink, mixed)[3]).toEqual([1, CLEAR, 180]);
    expect(cutRow(page, ink, ink, ink, mixed)[4]).toEqual([1, PAGE, 180]);
  });

  it("takes it from a pixel whose nearest background goes, and of as much of both too", () => {
    /** The second colour of the pixel at 3, 3, whose first is ink, with kept background (2 by then) where drawn. */
    const second = (...rows: string[]) => {
      const labels = labelsDrawn(...rows);
      const at = 3 * labels.width + 3;
      labels.second[at] = PAGE;
      labels.share[at] = 180;
      cutPage(labels, PAGE, CLEAR, "kept");
      return labels.second[at];
    };
    // Beside it one pixel of the page and one that is enclosed.
    expect(second("1111111", "1111111", "1111111", "0001011", "1111111")).toBe(CLEAR);
    // Two that are enclosed.
    expect(second("1111111", "1111111", "1111011", "0001011", "1111111")).toBe(PAGE);
    // The nearest is enclosed, however much of the page lies further away.
    expect(second("0000000", "0111111", "0111111", "0111011", "0111111")).toBe(PAGE);
    expect(second("0000000", "0111111", "0111111", "0111111", "0111111")).toBe(CLEAR);
  });
});

describe("counters of letters", () => {
  /** A letter in the left upper corner of a drawing of two colours, ten pixels on either side, on the page. */
  function withLetter(...letter: string[]): string[] {
    const rows = Array.from({ length: 14 }, () => [..."00000000000000"]);
    letter.forEach((row, y) => {
      [...row].forEach((colour, x) => {
        rows[y + 2]![x + 2] = colour;
      });
    });
    rows[11]![11] = "2";
    return rows.map((row) => row.join(""));
  }
  const cutCounters = (...letter: string[]) => cut("counters-cut", ...withLetter(...letter));

  it("go with the page, and the print does not lack them", () => {
    const { enclosed, enclosedCut, rows, lacking } = cutCounters("111", "101", "101", "101", "111");
    // 15 of 100 pixels are a letter's most.
    expect([enclosed, enclosedCut]).toEqual([3, 3]);
    expect(rows.slice(2, 7).map((row) => row.slice(2, 5))).toEqual(["111", "191", "191", "191", "111"]);
    expect(lacking.join("")).not.toContain("1");
  });

  it("are those of both of a letter's", () => {
    expect(cutCounters("11111", "10101", "11111")).toMatchObject({ enclosed: 2, enclosedCut: 2 });
  });

  it("are found in letters at the picture's borders", () => {
    // Nothing beyond a row's end or under the last row touches them.
    const empty = Array.from({ length: 6 }, () => "0000000000");
    const rows = ["1110000002", "1010000000", "1110000000", ...empty, "2000000000"];
    const turned = rows.map((row) => [...row].reverse().join("")).reverse();
    for (const art of [rows, turned])
      expect(cut("counters-cut", ...art)).toMatchObject({ enclosed: 1, enclosedCut: 1 });
  });

  it("stay in a piece of more than 15 % of the drawing", () => {
    expect(cutCounters("1111", "1001", "1001", "1111")).toMatchObject({ enclosed: 4, enclosedCut: 0 });
  });

  it("stay where they are more than 60 % of their letter", () => {
    // A frame of 10 × 10 in a drawing of 30 × 30; its corners inside make 64 pixels 60, or 61.
    const framed = (corners: readonly (readonly [number, number])[]) => {
      const rows = Array.from({ length: 34 }, (_, y) =>
        Array.from({ length: 34 }, (_, x) => {
          const [u, v] = [x - 2, y - 2];
          if (u === 29 && v === 29) return "2";
          if (u < 0 || v < 0 || u > 9 || v > 9) return "0";
          const edge = u === 0 || v === 0 || u === 9 || v === 9;
          return edge || corners.some(([a, b]) => a === u && b === v) ? "1" : "0";
        }).join(""),
      );
      return cut("counters-cut", ...rows).enclosedCut;
    };
    const four = [
      [1, 1],
      [8, 1],
      [1, 8],
      [8, 8],
    ] as const;
    expect(framed(four)).toBe(60);
    expect(framed(four.slice(1))).toBe(0);
  });

  it("stay in what two colours enclose, and in what touches another colour", () => {
    expect(cutCounters("112", "102", "112")).toMatchObject({ enclosed: 1, enclosedCut: 0 });
    expect(cutCounters("1112", "1010", "1110")).toMatchObject({ enclosed: 1, enclosedCut: 0 });
    expect(cutCounters("1110", "1010", "1112")).toMatchObject({ enclosed: 1, enclosedCut: 0 });
    expect(cutCounters("1110", "1010", "1110", "2000")).toMatchObject({ enclosed: 1, enclosedCut: 0 });
  });

  it("are all that is enclosed where the art has one colour", () => {
    const frame = ["00000000", "01111110", "01000010", "01000010", "01000010", "01111110", "00000000"];
    expect(cut("counters-cut", ...frame)).toMatchObject({ enclosed: 12, enclosedCut: 12 });
    expect(cut("counters-cut", ...frame, "00000002").enclosedCut).toBe(0);
  });
});

describe("the background of art with tones", () => {
  const cutOf = (picture: Picture, enclosed: BackgroundPlan["enclosed"] = "kept", within = 4) =>
    cutTones(picture, { rgb: [255, 255, 255], within, enclosed });
  /** White with a share of red, in bytes. */
  const pink = (share: number, alpha = 255): Pixel => {
    const rest = Math.round(255 * (1 - share));
    return [255, rest, rest, alpha];
  };
  const pixelsOf = ({ data }: Picture): number[][] =>
    Array.from({ length: data.length / 4 }, (_, i) => [...data.subarray(4 * i, 4 * i + 4)]);

  it("becomes clear, and of the pixels beside it their share stays, in the drawing's own colour", () => {
    const { picture, cut } = cutOf(pictureOf(6, [WHITE, pink(0.4), pink(0.8), RED, RED, RED]));
    expect(pixelsOf(picture)).toEqual([
      [255, 255, 255, 0],
      [255, 0, 0, 102],
      [255, 0, 0, 204],
      [255, 0, 0, 255],
      [255, 0, 0, 255],
      [255, 0, 0, 255],
    ]);
    expect(cut).toMatchObject({ page: 1, enclosed: 0, enclosedCut: 0 });
  });

  it("is unmixed down a column as along a row, from either side", () => {
    const row = [WHITE, pink(0.4), pink(0.8), RED, RED, pink(0.7), pink(0.3), WHITE];
    const alphas = [0, 102, 204, 255, 255, 178, 76, 0];
    for (const width of [8, 1])
      expect(pixelsOf(cutOf(pictureOf(width, row)).picture).map(([, , , alpha]) => alpha)).toEqual(alphas);
  });

  it("is unmixed from the drawing up to two pixels away, and from nothing across the picture's borders", () => {
    const black: Pixel = [0, 0, 0];
    const row = [black, RED, RED, pink(0.4), WHITE];
    for (const [pixels, at] of [
      [row, 3],
      [row.toReversed(), 1],
    ] as const)
      for (const width of [5, 1])
        expect(pixelsOf(cutOf(pictureOf(width, pixels)).picture)[at]).toEqual([255, 0, 0, 102]);
    // The page ends the row before, or begins the next.
    const rows = [...[RED, RED, RED, RED, WHITE], ...[pink(0.4), RED, RED, RED, RED]];
    expect(pixelsOf(cutOf(pictureOf(5, rows)).picture)[5]).toEqual([...pink(0.4)]);
    expect(pixelsOf(cutOf(pictureOf(5, rows.toReversed())).picture)[4]).toEqual([...pink(0.4)]);
  });

  it("leaves pixels of 97 % and more, three and more away, or not opaque before, as they were", () => {
    const row = [WHITE, pink(0.98), pink(0.8, 249), pink(0.4), RED, RED];
    expect(pixelsOf(cutOf(pictureOf(6, row)).picture)[1]![3]).toBe(255);
    expect(pixelsOf(cutOf(pictureOf(6, row)).picture).slice(2)).toEqual(pixelsOf(pictureOf(6, row)).slice(2));
    // Of 250 and more it is taken.
    expect(pixelsOf(cutOf(pictureOf(4, [WHITE, pink(0.4, 250), RED, RED])).picture)[1]![3]).toBe(102);
  });

  it("has nothing of a pixel that is further from the drawing than the page is", () => {
    // Beside white, a light cyan: the drawing's red lies the other way.
    const cyan: Pixel = [200, 255, 255];
    expect(pixelsOf(cutOf(pictureOf(4, [WHITE, cyan, RED, RED])).picture)[1]).toEqual([255, 0, 0, 0]);
  });

  it("is what differs from its colour by so much at most", () => {
    // CIELAB of grey 245 is 96.5 from white's 100: a ΔE00 of 2.2 or so, between 2 and 3.
    const row = [WHITE, [245, 245, 245], RED, RED] as const;
    expect(cutOf(pictureOf(4, row), "kept", 3).cut.page).toBe(2);
    expect(cutOf(pictureOf(4, row), "kept", 2).cut.page).toBe(1);
  });

  it("is reached past what is nearly clear, which is not counted where it is wholly so", () => {
    const hole = (alpha: number) => pictureOf(3, [[9, 9, 9, alpha], RED, RED, WHITE, RED, RED]);
    expect(cutOf(hole(0)).cut).toMatchObject({ page: 1, enclosed: 0 });
    expect(cutOf(hole(12)).cut).toMatchObject({ page: 2, enclosed: 0 });
    const walled = (alpha: number) =>
      cutOf(pictureOf(3, [RED, [9, 9, 9, alpha], RED, RED, WHITE, RED, RED, RED, RED])).cut;
    expect(walled(12)).toMatchObject({ page: 2, enclosed: 0 });
    expect(walled(13)).toMatchObject({ page: 0, enclosed: 1 });
  });

  it("stays inside of the drawing, or goes there too, and the print lacks it", () => {
    const ring = pictureOf(5, [
      ...[WHITE, WHITE, WHITE, WHITE, WHITE],
      ...[WHITE, RED, RED, RED, WHITE],
      ...[WHITE, RED, WHITE, RED, WHITE],
      ...[WHITE, RED, RED, RED, WHITE],
      ...[WHITE, WHITE, WHITE, WHITE, WHITE],
    ]);
    for (const enclosed of ["kept", "counters-cut"] as const) {
      const { picture, cut } = cutOf(ring, enclosed);
      expect(cut).toMatchObject({ page: 16, enclosed: 1, enclosedCut: 0 });
      expect([picture.data[4 * 12 + 3], cut.lacking[12]]).toEqual([255, 0]);
    }
    const { picture, cut } = cutOf(ring, "cut");
    expect(cut).toMatchObject({ page: 16, enclosed: 1, enclosedCut: 1 });
    expect([...cut.lacking]).toEqual(Array.from({ length: 25 }, (_, i) => Number(i === 12)));
    expect(picture.data[4 * 12 + 3]).toBe(0);
  });
});
