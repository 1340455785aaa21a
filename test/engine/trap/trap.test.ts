import { expect, it } from "vitest";
import type { TrapPlan } from "../../../server/engine/plan.ts";
import type { Tones } from "../../../server/engine/raster.ts";
import { reachOf, type StageNode } from "../../../server/engine/stages/stage.ts";
import { addUnder, trap } from "../../../server/engine/trap/trap.ts";
import { EMPTY_PLAN, madeOf } from "../stages/run.ts";

const PLATES = ["gold", "blue", "black"];
const source = (plate: number): StageNode => ({ stage: "extract", takes: [], plate });

/** The plates' nodes after trapping. */
function trapped(...traps: TrapPlan[]): ReadonlyMap<string, StageNode> {
  return trap(new Map(PLATES.map((name, plate) => [name, source(plate)])), { ...EMPTY_PLAN, traps });
}

/** The gold plate after trapping, of plates of one row at a pixel to a millimetre. */
function gold(rows: readonly (readonly number[])[], ...traps: TrapPlan[]): number[] {
  const plates = rows.map((row): Tones => Uint8Array.from(row));
  const grid = { width: rows[0]!.length, height: 1, pixelsPerMm: 1 };
  return [...madeOf(trapped(...traps).get("gold")!, plates, grid)];
}

it("moves the edges of a plate by its own distances in millimetres, one after the other, and no other's", () => {
  const dot = [[0, 0, 255, 0, 0]];
  const by = (way: "choke" | "spread", distance: number, plate = "gold") =>
    ({ plate, way, distance }) as const;
  // Half a pixel to either side; the half row above and below is outside of the picture.
  expect(gold(dot, by("spread", 0.5))).toEqual([0, 127, 255, 127, 0]);
  expect(gold(dot, by("spread", 1), by("spread", 1))).toEqual([255, 255, 255, 255, 255]);
  expect(gold(dot, by("spread", 1), by("choke", 1))).toEqual([0, 0, 0, 0, 0]);
  expect(gold(dot, by("choke", 0))).toEqual(dot[0]);
  expect(gold(dot, by("spread", 1, "blue"))).toEqual(dot[0]);
  const plates = trapped(by("spread", 0), by("choke", 2, "blue"));
  expect([plates.get("gold"), plates.get("black")]).toEqual([source(0), source(2)]);
  expect(reachOf(plates.get("blue")!, 3)).toBe(7);
});

it("spreads a plate under others only, as far as they print", () => {
  const trapOf = (under: string[], distance = 2): TrapPlan => ({
    plate: "gold",
    way: "spread",
    distance,
    under,
  });
  const rows = [
    [255, 255, 0, 0, 0, 0],
    [0, 0, 255, 0, 0, 0],
    [0, 0, 0, 100, 255, 255],
  ];
  expect(gold(rows, trapOf(["blue"]))).toEqual([255, 255, 255, 0, 0, 0]);
  expect(gold(rows, trapOf(["black"]))).toEqual([255, 255, 0, 100, 0, 0]);
  expect(gold(rows, trapOf(["blue", "black"]))).toEqual([255, 255, 255, 100, 0, 0]);
  expect(gold(rows, trapOf(["blue"], 0))).toEqual(rows[0]);
  const untouched = trapped(trapOf(["blue"], 0)).get("gold");
  expect(untouched).toEqual(source(0));
  expect(trapped(trapOf([])).get("gold")).toEqual(source(0));
  expect(trapped(trapOf(["folded"])).get("gold")).toEqual(source(0));
});

it("spreads solid edges alone under what is solid, where only these are asked for", () => {
  const trapOf = (solid: boolean): TrapPlan => ({
    plate: "gold",
    way: "spread",
    distance: 2,
    under: ["blue"],
    solid,
  });
  const tint = [
    [128, 128, 0, 0, 0, 0],
    [0, 0, 255, 255, 255, 255],
  ];
  expect(gold(tint, trapOf(true))).toEqual(tint[0]);
  expect(gold(tint, trapOf(false))).toEqual([128, 128, 128, 128, 0, 0]);
  const onTint = [
    [255, 255, 0, 0, 0, 0],
    [0, 0, 128, 128, 128, 128],
  ];
  expect(gold(onTint, trapOf(true))).toEqual(onTint[0]);
  expect(gold(onTint, trapOf(false))).toEqual([255, 255, 128, 128, 0, 0]);
  const both = [onTint[0]!, tint[1]!];
  expect(gold(both, trapOf(true))).toEqual([255, 255, 255, 255, 0, 0]);
  // 2 mm are 20 pixels, one more for the brush, and one for what a solid's edge touches.
  expect([true, false].map((solid) => reachOf(trapped(trapOf(solid)).get("gold")!, 10))).toEqual([22, 21]);
});

it("adds what other plates cover, and no more than the spread has", () => {
  const out = new Uint8Array(6).fill(77);
  const covers = [Uint8Array.of(255, 40, 60, 255, 255, 0), Uint8Array.of(0, 50, 0, 0, 255, 0)];
  addUnder(Uint8Array.of(255, 100, 200, 90, 0, 10), Uint8Array.of(255, 255, 230, 80, 120, 255), covers, out);
  // Two edges that share a pixel add up: 100 + 40 + 50. A spread that has less takes nothing away.
  expect([...out]).toEqual([255, 190, 230, 90, 120, 10]);
});

it("has a name for each thing that is done, which keys tell apart", () => {
  const names = (node: StageNode): string[] => [node.stage, ...node.takes.flatMap(names)];
  const plates = trapped(
    { plate: "gold", way: "spread", distance: 1, under: ["blue"], solid: true },
    { plate: "blue", way: "choke", distance: 1 },
  );
  expect(names(plates.get("gold")!)).toEqual([
    "under",
    "extract",
    "spread",
    "solid",
    "extract",
    "solid",
    "extract",
  ]);
  expect(plates.get("blue")).toMatchObject({ stage: "choke", part: [1] });
  expect(plates.get("gold")!.takes[1]).toMatchObject({ part: [1] });
  // Needs no buffer beside its plate's and its spread's.
  expect(plates.get("gold")).toMatchObject({ inPlace: true });
});
