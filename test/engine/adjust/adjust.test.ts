import { expect, it } from "vitest";
import { adjust, adjustPlate } from "../../../server/engine/adjust/adjust.ts";
import type { Curve } from "../../../server/engine/adjust/curve.ts";
import type { AdjustmentPlan, Region } from "../../../server/engine/plan.ts";
import { isSource, type StageNode } from "../../../server/engine/stages/stage.ts";
import { EMPTY_PLAN } from "../stages/run.ts";

const INVERSE: Curve = [
  [0, 1],
  [1, 0],
];

function adjusted(
  tones: number[],
  width: number,
  region?: Region,
  curve = INVERSE,
  pixelsPerMm = 1,
): number[] {
  const map = Uint8Array.from(tones);
  const plan: AdjustmentPlan = { plate: "plate", curve, region };
  adjustPlate(map, { width, height: tones.length / width, pixelsPerMm }, plan);
  return [...map];
}

it("applies a curve to the whole plate where no region is given", () => {
  expect(adjusted([0, 10, 128, 255], 2)).toEqual([255, 245, 127, 0]);
});

it("applies a curve inside of a region only", () => {
  const region: Region = { shape: "rectangle", from: [1, 1], to: [3, 2], feather: 0 };
  expect(adjusted(Array(12).fill(10), 4, region)).toEqual([10, 10, 10, 10, 10, 245, 245, 10, 10, 10, 10, 10]);
});

it("mixes old and new tone by the region's weight", () => {
  // The edge runs through the centre of pixel 1: 10 + ½ · (245 − 10) = 127.5, rounded up.
  const region: Region = { shape: "rectangle", from: [1.5, 0], to: [4, 1], feather: 0 };
  expect(adjusted([10, 10, 10, 10], 4, region)).toEqual([10, 128, 245, 245]);
});

it("fades the change over the feather", () => {
  // Feather 4 round an edge at 4: pixel centres at 2.5 … 5.5 lie −1.5, −0.5, 0.5, 1.5 px inside of it, so that
  // t = 1/8, 3/8, 5/8, 7/8 and the smooth step is 0.04297, 0.31641, 0.68359, 0.95703 of 255.
  const region: Region = { shape: "rectangle", from: [-20, -20], to: [4, 20], feather: 4 };
  expect(adjusted(Array(8).fill(0), 8, region)).toEqual([255, 255, 244, 174, 81, 11, 0, 0]);
});

it("places a region by millimetres", () => {
  // 1–2 mm at 2 px/mm are pixels 2 and 3.
  const region: Region = { shape: "rectangle", from: [1, 0], to: [2, 1], feather: 0 };
  expect(adjusted(Array(12).fill(0), 6, region, INVERSE, 2)).toEqual([
    0, 0, 255, 255, 0, 0, 0, 0, 255, 255, 0, 0,
  ]);
});

it("leaves a plate alone where the region lies outside of it", () => {
  const region: Region = { shape: "ellipse", centre: [90, -40], radii: [5, 5], feather: 2 };
  expect(adjusted([1, 2, 3, 4], 2, region)).toEqual([1, 2, 3, 4]);
});

it("is a stage that applies each plate's adjustments in their order, and leaves other plates as they are", () => {
  const clear: Curve = [
    [0, 0],
    [1, 0.4],
  ];
  const left: Region = { shape: "rectangle", from: [0, 0], to: [1, 1], feather: 0 };
  const [red, blue]: StageNode[] = [0, 1].map((plate) => ({ stage: "extract", takes: [], plate }));
  const before = new Map([
    ["red", red],
    ["blue", blue],
  ]);
  const adjustments = [
    { plate: "red", curve: INVERSE, region: undefined },
    { plate: "red", curve: clear, region: left },
  ];
  const after = adjust(before, { ...EMPTY_PLAN, adjustments });
  expect([...after.keys()]).toEqual(["red", "blue"]);
  expect(after.get("blue")).toBe(blue);

  const run = (node: StageNode): Uint8Array => {
    if (isSource(node)) return Uint8Array.of(55, 200);
    const tones = run(node.takes[0]);
    const own = tones.slice();
    const [apart, inPlace] = [new Uint8Array(2), tones.slice()];
    node.run([tones], apart, { width: 2, height: 1, pixelsPerMm: 1 });
    node.run([inPlace], inPlace, { width: 2, height: 1, pixelsPerMm: 1 });
    expect([tones, inPlace]).toEqual([own, apart]);
    expect([node.stage, node.inPlace, node.reachMm]).toEqual(["adjust", true, 0]);
    return apart;
  };
  // 255 − 55 = 200, of which 0.4 are 80; the other pixel is inverted alone.
  expect([...run(after.get("red")!)]).toEqual([80, 55]);
  // What a cache knows them by.
  const last = after.get("red")!;
  expect("part" in last && last.part).toEqual([clear, left]);
});
