import { beforeEach, expect, it, vi } from "vitest";
import { Band } from "../../../../client/panel/pixels/band.ts";
import type { PrintingStation, RenderRequest } from "../../../../client/panel/pixels/render.ts";
import { differenceOf } from "../../../../server/wire/tone-difference.ts";

/** Pixels that the model was asked to print. */
const work = vi.hoisted(() => ({ pixels: 0 }));
vi.mock(import("../../../../client/panel/pixels/print-model.ts"), async (original) => {
  const { printModel } = await original();
  return {
    printModel: (...given) => {
      const model = printModel(...given);
      const print: typeof model.print = (tones, start, end, ...rest) => {
        work.pixels += end - start;
        model.print(tones, start, end, ...rest);
      };
      return Object.create(model, { print: { value: print } });
    },
  };
});

/** Pixels of a block, and blocks of the band. */
const BLOCK = 256;
const BLOCKS = 8;
const COUNT = BLOCK * BLOCKS;
const INKS = [20, 50, 80].map((L) => ({ colour: { L, a: 30, b: -20 }, opacity: 0.7 }));

/** A plate with ink in some blocks. */
const inked = (blocks: readonly number[], tone = 128) =>
  Uint8Array.from({ length: COUNT }, (_, i) => (blocks.includes(Math.floor(i / BLOCK)) ? tone : 0));
const station = (plate: string, ink = 0): PrintingStation => ({ plate, ink: INKS[ink]! });

function proof(stations: readonly PrintingStation[], L = 10): RenderRequest {
  const conditions = { garment: { L, a: 0, b: 0 }, n: 1, compensated: true, smallestDot: 0 };
  return { kind: "proof", source: "now", conditions, stations };
}

let band: Band;
/** Renders the composite, returns its buffer as the page does, and tells how many pixels were printed for it. */
function printed(request: RenderRequest, returns = true): number {
  work.pixels = 0;
  const made = band.render("main", request)!;
  if (returns && made.returnAs !== undefined) band.returned(made.returnAs, made.rgba);
  return work.pixels;
}

const BOTH = proof([station("a"), station("b")]);
beforeEach(() => {
  band = new Band();
  band.setArtwork("now", COUNT, new Uint8Array(COUNT * 4));
  band.setPlate("now", "a", inked([0, 1]));
  band.setPlate("now", "b", inked([4, 5, 6]));
  band.setPlate("now", "other", inked([7]));
});

it("prints all pixels once, and none of them again for the same picture", () => {
  expect(printed(BOTH)).toBe(COUNT);
  expect(printed(BOTH)).toBe(0);
  // Nor where another picture came, or the same is wanted somewhere else, where nobody keeps its buffer.
  band.setArtwork("before", 1, new Uint8Array(4));
  expect(band.render("elsewhere", BOTH)!.returnAs).toBeUndefined();
  expect(printed(BOTH)).toBe(0);
});

it("prints all again where the buffer was not returned, the garment is another one, or a plate is gone", () => {
  printed(BOTH, false);
  expect(printed(BOTH)).toBe(COUNT);
  expect(printed(proof([station("a"), station("b")], 90))).toBe(COUNT);
  band.drop("now", "a");
  expect(printed(BOTH)).toBe(COUNT);
});

it("prints only the pixels that a difference changes", () => {
  printed(BOTH);
  const changed = inked([0, 1]);
  for (const i of [3, 300, 301]) changed[i] = 200;
  band.changePlate("now", "a", differenceOf(inked([0, 1]), changed, COUNT)!, 0, COUNT);
  expect(printed(BOTH)).toBe(3);
  // A plate that does not print changes nothing, and nor does one that becomes what it was.
  const other = inked([7], 90);
  band.changePlate("now", "other", differenceOf(inked([7]), other, COUNT)!, 0, COUNT);
  expect(printed(BOTH)).toBe(0);
});

it("prints what else has changed, too, where a difference comes together with another ink", () => {
  printed(BOTH);
  const changed = inked([0, 1]);
  for (const i of [3, 300]) changed[i] = 200;
  band.changePlate("now", "a", differenceOf(inked([0, 1]), changed, COUNT)!, 0, COUNT);
  expect(printed(proof([station("a"), station("b", 1)]))).toBe(5 * BLOCK);
});

it("prints only the blocks that a station has ink in, where its ink is another one or it comes or goes", () => {
  printed(BOTH);
  expect(printed(proof([station("a"), station("b", 1)]))).toBe(3 * BLOCK);
  expect(printed(proof([station("a")]))).toBe(3 * BLOCK);
  expect(printed(BOTH)).toBe(3 * BLOCK);
  // In another order they print the same, since they meet nowhere.
  expect(printed(proof([station("b"), station("a")]))).toBe(0);
  band.setPlate("now", "b", inked([1, 4]));
  printed(BOTH);
  expect(printed(proof([station("b"), station("a")]))).toBe(BLOCK);
});

it("knows of a block that lost its ink, or gained some", () => {
  printed(BOTH);
  const fewer = inked([4]);
  band.changePlate("now", "b", differenceOf(inked([4, 5, 6]), fewer, COUNT)!, 0, COUNT);
  printed(BOTH);
  expect(printed(proof([station("a"), station("b", 1)]))).toBe(BLOCK);
  band.changePlate("now", "b", differenceOf(fewer, inked([4, 7]), COUNT)!, 0, COUNT);
  printed(BOTH);
  expect(printed(proof([station("a"), station("b", 2)]))).toBe(2 * BLOCK);
});

it("prints each combination of tones once where there are fewer of them than pixels", () => {
  band.prepare("now");
  // Clear, a, b, and the one that does not print.
  expect(printed(BOTH)).toBe(4);
  expect(printed(proof([station("a"), station("b", 1)]))).toBe(1);
  expect(printed(proof([station("a"), station("b", 2)]))).toBe(1);
  expect(printed(proof([station("a", 1), station("b", 1)]))).toBe(2);
  expect(printed(proof([station("a", 1), station("b", 1)], 90))).toBe(4);
  expect(printed(proof([station("b", 1), station("a", 1)], 90))).toBe(0);
});
