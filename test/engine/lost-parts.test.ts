import { expect, it } from "vitest";
import { piecesOf } from "../../server/engine/areas/pieces.ts";
import { countLost, runsOf, runsWithin } from "../../server/engine/lost-parts.ts";
import type { StageNode } from "../../server/engine/stages/stage.ts";
import { isSource } from "../../server/engine/stages/stage.ts";
import { withoutThinParts } from "../../server/engine/thin-parts.ts";
import { random } from "../property.ts";

it("has a run for pixels side by side in one row", () => {
  expect(runsOf([0, 1, 2, 5, 7, 8, 9, 22], 8)).toEqual([0, 0, 3, 0, 5, 6, 0, 7, 8, 1, 0, 2, 2, 6, 7]);
  expect(runsOf([], 8)).toEqual([]);
});

it("counts pieces as a flood fill does, corners joined", () => {
  const next = random(4);
  for (const share of [0.05, 0.3, 0.45, 0.6]) {
    const [width, height] = [37, 41];
    const mask = Uint8Array.from({ length: width * height }, () => (next() < share ? 1 : 0));
    const pixels = [...mask.keys()].filter((at) => mask[at] === 1);
    const { label, count } = piecesOf(mask, width, height, true);
    const wanted = Array.from({ length: count }, (_, piece) => label[piece]!).filter((own) => own === 1);
    expect(countLost({ lines: runsOf(pixels, width), gaps: [] }, width)).toEqual({
      lines: wanted.length,
      linePixels: pixels.length,
      gaps: 0,
      gapPixels: 0,
    });
  }
});

it("counts a piece once that goes through rows put together from strips", () => {
  // A U, two pixels wide in each leg, and a speck two rows below it.
  const u = [0, 1, 6, 7].flatMap((x) => [0, 1, 2, 3, 4, 5].map((y) => y * 8 + x));
  const pixels = [...u, 6 * 8 + 2, 6 * 8 + 3, 6 * 8 + 4, 6 * 8 + 5, 8 * 8 + 4].sort((a, b) => a - b);
  const runs = runsOf(pixels, 8);
  const strips = [0, 3, 6].flatMap((y) => runsWithin(runsWithin(runs, y, y + 3, 0), 0, 3, y));
  expect(strips).toEqual(runs);
  expect(countLost({ lines: strips, gaps: [] }, 8)).toMatchObject({ lines: 2, linePixels: pixels.length });
});

it("is what a plate without thin parts has lost, and what was filled in it, by half a tone or more", () => {
  const source: StageNode = { stage: "extract", takes: [], plate: 0 };
  const node = withoutThinParts(source, { plate: "ember", line: 0.5, gap: 0.5 });
  const [width, height] = [100, 90];
  // A block with a gap in it, a line beside it, and ten rows of room above.
  const tones = Uint8Array.from({ length: width * height }, (_, at) => {
    const [x, y] = [at % width, Math.floor(at / width)];
    if (y < 10 || y >= 80) return 0;
    return (x >= 10 && x < 50 && (x < 30 || x >= 33)) || (x >= 70 && x < 73) ? 255 : 0;
  });
  const out = new Uint8Array(tones.length);
  const heard: [string, ReturnType<typeof countLost>][] = [];
  if (isSource(node)) throw new Error("nothing is made");
  node.run([tones], out, {
    width,
    height,
    pixelsPerMm: 10,
    onLost: (plate, lost) => heard.push([plate, countLost(lost, width)]),
  });
  const went = (is: (from: number, to: number) => boolean) =>
    tones.filter((from, at) => is(from, out[at]!)).length;
  expect(heard).toEqual([
    [
      "ember",
      {
        lines: 1,
        linePixels: went((from, to) => from - to >= 128),
        gaps: 1,
        gapPixels: went((from, to) => to - from >= 128),
      },
    ],
  ]);
  expect(heard[0]![1].linePixels).toBe(3 * 70);
});
