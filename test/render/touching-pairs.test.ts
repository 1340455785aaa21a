import { describe, expect, it } from "vitest";
import type { Print } from "../../server/render/print.ts";
import { pairsThatTouch, touchingPairs } from "../../server/render/touching-pairs.ts";
import { recipeOf } from "./jobs.ts";

/** Pixels of a tenth of a millimetre. */
const MM = 0.1;
const [WIDTH, HEIGHT] = [60, 60];
const PLATES = `  ember: { ink: ember, extract: { artwork: opaque } }
  night: { ink: night, extract: { artwork: opaque } }
`;
const job = (more = "") =>
  recipeOf({ plates: PLATES.replace("night,", "ember,"), order: "ember, night", more });
const solid = (is: (x: number, y: number) => boolean) =>
  Uint8Array.from({ length: WIDTH * HEIGHT }, (_, i) => (is(i % WIDTH, Math.floor(i / WIDTH)) ? 255 : 0));

const touching = (
  ember: (x: number, y: number) => boolean,
  night: (x: number, y: number) => boolean,
  more = "",
) => {
  const tones = new Map([
    ["ember", solid(ember)],
    ["night", solid(night)],
  ]);
  return pairsThatTouch(job(more), { width: WIDTH, height: HEIGHT }, MM, (name) => tones.get(name)!);
};
/** Side by side over so many rows. */
const beside = (rows: number, gap = 0, more = "") =>
  touching(
    (x, y) => x < 30 && y < rows,
    (x) => x >= 30 + gap,
    more,
  );

describe("plates that touch", () => {
  it("have a common edge so long, and lie there", () => {
    const [pair, ...others] = beside(60);
    expect(others).toEqual([]);
    expect(pair).toMatchObject({ plate: "ember", under: "night", lengthMm: expect.closeTo(6, 9), trapMm: 0 });
    expect(pair!.where.column).toBe(1);
    expect(pair!.where.row).toBeUndefined();
  });

  it("are each seen with each, of three too", () => {
    const recipe = recipeOf({
      plates: PLATES.replace("night,", "ember,").concat(
        "  rose: { ink: ember, extract: { artwork: opaque } }\n",
      ),
      order: "ember, night, rose",
    });
    // Ember above, below it night on the left and rose on the right.
    const tones = new Map([
      ["ember", solid((_, y) => y < 30)],
      ["night", solid((x, y) => y >= 30 && x < 30)],
      ["rose", solid((x, y) => y >= 30 && x >= 30)],
    ]);
    const pairs = pairsThatTouch(recipe, { width: WIDTH, height: HEIGHT }, MM, (name) => tones.get(name)!);
    expect(pairs.map(({ plate, under, lengthMm }) => [plate, under, Math.round(lengthMm)])).toEqual([
      ["ember", "night", 3],
      ["ember", "rose", 3],
      ["night", "rose", 3],
    ]);
  });

  it("touch along two millimetres at least", () => {
    expect(beside(19)).toEqual([]);
    expect(beside(21)).toHaveLength(1);
  });

  it("are not those that lie apart, or that are no solids there", () => {
    expect(beside(60, 3)).toEqual([]);
    const tones = new Map([
      ["ember", solid((x) => x < 30).map((tone) => Math.min(tone, 100))],
      ["night", solid((x) => x >= 30)],
    ]);
    expect(pairsThatTouch(job(), { width: WIDTH, height: HEIGHT }, MM, (name) => tones.get(name)!)).toEqual(
      [],
    );
  });
});

it("plates of a print touch as they stood before they were trapped", () => {
  const half = (left: boolean) => solid((x) => x < 30 === left);
  const plate = (untrapped: Uint8Array) => ({ untrapped, tones: solid(() => false) });
  const plates = new Map([
    ["ember", plate(half(true))],
    ["night", plate(half(false))],
  ]);
  const picture = { width: WIDTH, height: HEIGHT };
  const print = { recipe: job(), plates, picture, pixelMm: MM } as unknown as Print;
  expect(touchingPairs(print)).toMatchObject([
    { plate: "ember", under: "night", lengthMm: expect.closeTo(6, 9) },
  ]);
});

describe("how far they overlap", () => {
  const trapped = (more: string) => beside(60, 0, more)[0]!.trapMm;

  it("is the largest of the spreads between them, whichever of them is spread", () => {
    expect(trapped("traps: [{ plate: ember, spread: 0.2 mm }]\n")).toBe(0.2);
    expect(trapped("traps: [{ plate: ember, spread: 0.2 mm, under: night }]\n")).toBe(0.2);
    expect(trapped("traps: [{ plate: night, spread: 0.3 mm, under: ember }]\n")).toBe(0.3);
    expect(
      trapped("traps: [{ plate: ember, spread: 0.2 mm }, { plate: night, spread: 0.3 mm, under: ember }]\n"),
    ).toBe(0.3);
  });

  it("is that of neighbours where it is more", () => {
    expect(trapped("traps: [{ neighbours: 0.15 mm }]\n")).toBe(0.15);
    expect(trapped("traps: [{ neighbours: 0.15 mm }, { plate: ember, spread: 0.1 mm }]\n")).toBe(0.15);
  });

  it("is nothing by chokes, and by spreads of or under other plates", () => {
    expect(trapped("traps: [{ plate: ember, choke: 0.2 mm }]\n")).toBe(0);
    const third = PLATES.replace("night,", "ember,").concat(
      "  rose: { ink: ember, extract: { artwork: opaque } }\n",
    );
    const of = (traps: string) => {
      const recipe = recipeOf({ plates: third, order: "ember, night", more: `traps: [${traps}]\n` });
      const tones = { ember: solid((x) => x < 30), night: solid((x) => x >= 30), rose: solid(() => false) };
      return pairsThatTouch(
        recipe,
        { width: WIDTH, height: HEIGHT },
        MM,
        (name) => tones[name as "ember"],
      )[0]!.trapMm;
    };
    expect(of("{ plate: rose, spread: 0.2 mm }")).toBe(0);
    expect(of("{ plate: ember, spread: 0.2 mm, under: rose }")).toBe(0);
    expect(of("{ plate: rose, spread: 0.2 mm, under: night }")).toBe(0);
  });
});
