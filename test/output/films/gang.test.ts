import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { gangFilms, type Piece } from "../../../server/output/films/gang.ts";
import { holds } from "../../property.ts";

const ROLL = { rollMm: 430, gapMm: 5, longestMm: 5000 };
const piece = (widthMm: number, heightMm: number): Piece => ({ widthMm, heightMm });
const lengthOf = (pieces: readonly Piece[], roll = ROLL) =>
  gangFilms(pieces, roll)!.map(({ lengthMm }) => lengthMm);

describe("films on a roll", () => {
  it("lie beside each other where there is room, with a gap", () => {
    expect(gangFilms([piece(200, 300), piece(200, 300)], ROLL)).toEqual([
      {
        widthMm: 430,
        lengthMm: 300,
        lying: [
          { index: 0, xMm: 0, yMm: 0, turned: false },
          { index: 1, xMm: 205, yMm: 0, turned: false },
        ],
      },
    ]);
    // 213 + 5 + 213 is one millimetre too many.
    expect(lengthOf([piece(213, 300), piece(213, 300)])).not.toEqual([300]);
  });

  it("are turned where that takes less film", () => {
    // Upright 400 + 5 + 400; on their sides 300 + 5 + 300.
    expect(lengthOf([piece(300, 400), piece(300, 400)])).toEqual([605]);
    expect(gangFilms([piece(300, 400)], ROLL)![0]!.lying[0]!.turned).toBe(true);
    // One kind is turned, the other not: 300 beside 120 × 300.
    expect(lengthOf([piece(300, 300), piece(300, 120)])).toEqual([300]);
  });

  it("of which one is wider than the roll are refused, and long ones go on another length", () => {
    expect(gangFilms([piece(440, 450)], ROLL)).toBeUndefined();
    expect(
      lengthOf([piece(420, 420), piece(420, 420), piece(420, 420)], { ...ROLL, longestMm: 900 }),
    ).toEqual([845, 420]);
  });

  it("fill the roll and a length to the last millimetre", () => {
    expect(lengthOf([piece(430, 440)])).toEqual([440]);
    expect(gangFilms([piece(440, 430)], ROLL)![0]).toMatchObject({
      lengthMm: 440,
      lying: [{ turned: true }],
    });
    // 200 + 5 + 225.
    expect(lengthOf([piece(200, 300), piece(225, 300)])).toEqual([300]);
    const long = { ...ROLL, longestMm: 845 };
    expect(lengthOf([piece(420, 420), piece(420, 420)], long)).toEqual([845]);
    expect(lengthOf([piece(420, 420), piece(420, 420)], { ...ROLL, longestMm: 844 })).toEqual([420, 420]);
    expect(lengthOf([piece(420, 5000)], ROLL)).toEqual([5000]);
    expect(gangFilms([piece(420, 5001)], ROLL)).toBeUndefined();
  });

  it("go each into the first row with room for it, the highest first", () => {
    const lying = gangFilms([piece(100, 90), piece(300, 100), piece(120, 95), piece(200, 92)], ROLL)!;
    // 300 and 120 take 425 of 430 mm; 200 and 100 begin the next row.
    expect(lying).toHaveLength(1);
    const places = [...lying[0]!.lying].sort((a, b) => a.index - b.index);
    expect(places.map(({ xMm, yMm }) => [xMm, yMm])).toEqual([
      [205, 105],
      [0, 0],
      [305, 0],
      [0, 105],
    ]);
    expect(lying[0]!.lengthMm).toBe(197);
  });

  it("of more kinds than are tried lie as low as may be", () => {
    const kinds = Array.from({ length: 10 }, (_, i) => piece(300 + i, 300 + i));
    const turnedOf = (last: Piece) =>
      gangFilms([...kinds, last], ROLL)![0]!.lying.find(({ index }) => index === 10)!.turned;
    expect([turnedOf(piece(50, 330)), turnedOf(piece(330, 50)), turnedOf(piece(60, 60))]).toEqual([
      true,
      false,
      false,
    ]);
  });

  it("lie each once, inside the roll and clear of one another, in no more than a row each", () => {
    const size = fc.integer({ min: 20, max: 430 });
    holds(
      fc.property(fc.array(fc.tuple(size, size), { minLength: 1, maxLength: 14 }), (sizes) => {
        const pieces = sizes.map(([w, h]) => piece(w, h));
        const ganged = gangFilms(pieces, ROLL)!;
        const boxes = ganged.flatMap(({ lengthMm, lying }, length) =>
          lying.map(({ index, xMm, yMm, turned }) => {
            const { widthMm: w, heightMm: h } = pieces[index]!;
            const [right, bottom] = turned ? [xMm + h, yMm + w] : [xMm + w, yMm + h];
            expect([xMm >= 0, right <= 430, bottom <= lengthMm + 1e-9]).toEqual([true, true, true]);
            return { index, length, left: xMm, top: yMm, right, bottom };
          }),
        );
        expect(boxes.map(({ index }) => index).sort((a, b) => a - b)).toEqual(pieces.map((_, i) => i));
        for (const [i, a] of boxes.entries())
          for (const b of boxes.slice(i + 1)) {
            const apart =
              a.length !== b.length ||
              a.right + 5 <= b.left + 1e-9 ||
              b.right + 5 <= a.left + 1e-9 ||
              a.bottom + 5 <= b.top + 1e-9 ||
              b.bottom + 5 <= a.top + 1e-9;
            expect(apart).toBe(true);
          }
        const rows = pieces.reduce((sum, { widthMm, heightMm }) => sum + Math.min(widthMm, heightMm) + 5, 0);
        if (ganged.length === 1) expect(ganged[0]!.lengthMm).toBeLessThanOrEqual(rows);
      }),
      60,
    );
  });
});
