import { describe, expect, it } from "vitest";
import type { SeparationPlan, Solving } from "../../../server/engine/plan.ts";
import { jointPlan, matchPlan, processPlans } from "../../../server/engine/solve/plan.ts";
import { BLACK_GARMENT, lab } from "./prints.ts";

const station = (plate: string, wetGroup: number, underbase = false) => ({
  plate,
  ink: { colour: lab(50, wetGroup, 0), opacity: 0.5 },
  underbase,
  wetGroup,
});
const conditions = { garment: BLACK_GARMENT, n: 1, compensated: true, smallestDot: 0.04 };
const SOLVING: Solving = {
  conditions,
  stations: [station("white", 0, true), station("cyan", 1), station("black", 1)],
  wetInk: 2.4,
  smoothness: 0.5,
  halftonePrice: 0.7,
  onlyGarment: true,
};
const plan = (solving: Partial<Solving> = {}): SeparationPlan => ({
  plates: [
    { name: "white", extract: { by: "artwork" }, strength: { by: "flat" } },
    { name: "black", extract: { by: "artwork" }, strength: { by: "solve" } },
    { name: "cyan", extract: { by: "artwork" }, strength: { by: "solve" } },
    { name: "rose", extract: { by: "artwork" }, strength: { by: "solve" } },
    { name: "tint", extract: { by: "artwork" }, strength: { by: "flat" } },
  ],
  adjustments: [],
  merges: [{ fold: "tint", into: "cyan" }],
  knockouts: [
    { from: "white", where: "black", choke: 0.2 },
    { from: "white", where: "cyan", above: 0.6, choke: 0 },
    { from: "tint", where: "black", choke: 0 },
  ],
  traps: [],
  smallestDot: 0.04,
  solving: { ...SOLVING, ...solving },
});

describe("all solved plates together", () => {
  it("are those that print, by number, with what merges and knockouts make of them", () => {
    const { stations, ...rest } = jointPlan(plan());
    expect(rest).toEqual({
      conditions,
      also: undefined,
      plates: 5,
      solved: [1, 2],
      sources: [[], [], [4], [], []],
      wetInk: 2.4,
      smoothness: 0.5,
      halftonePrice: 0.7,
    });
    expect(stations.map(({ plate, wetGroup, knockedOutBy }) => ({ plate, wetGroup, knockedOutBy }))).toEqual([
      {
        plate: 0,
        wetGroup: 0,
        knockedOutBy: [
          { plate: 1, above: 0 },
          { plate: 2, above: 0.6 },
        ],
      },
      { plate: 2, wetGroup: 1, knockedOutBy: [] },
      { plate: 1, wetGroup: 1, knockedOutBy: [] },
    ]);
    expect(stations.map(({ ink }) => ink)).toEqual(SOLVING.stations.map(({ ink }) => ink));
  });

  it("are solved for other garments too, by their weights, with plates that print there alone", () => {
    const light = { conditions: { ...conditions, garment: lab(90, 0, 0) }, stations: [station("rose", 2)] };
    const { solved, also } = jointPlan(plan({ also: [{ ...light, weight: 3 }] }));
    expect(solved).toEqual([1, 2, 3]);
    expect(also).toEqual([
      {
        conditions: light.conditions,
        stations: [expect.objectContaining({ plate: 3, wetGroup: 2 })],
        weight: 3,
      },
    ]);
  });

  it("need a print", () => {
    expect(() => jointPlan({ ...plan(), solving: undefined })).toThrow(
      "a plate is to be solved, and no print is given to solve it for",
    );
  });
});

describe("process colour", () => {
  const process = {
    chromatic: ["cyan", "rose", "white"],
    black: "black",
    blackGeneration: [
      [0, 0],
      [1, 1],
    ],
  } as const;

  it("is solved without black, and with black held", () => {
    const { grey, whole, chromatic } = processPlans(plan({ process }))!;
    expect(grey.solved).toEqual([2]);
    expect(grey.held).toBeUndefined();
    expect(whole.solved).toEqual([1, 2]);
    expect(whole.held).toBe(0);
    expect(chromatic).toEqual([0, -1, -1]);
  });

  it("is none without a black that is solved", () => {
    expect(processPlans(plan())).toBeUndefined();
    expect(processPlans(plan({ process: { ...process, black: "white" } }))).toBeUndefined();
  });
});

it("a matched plate prints alone on the underbases", () => {
  const matched = (plate: number) => matchPlan(plan(), plate);
  expect(matched(2).solved).toEqual([2]);
  expect(matched(2).stations.map(({ plate }) => plate)).toEqual([0, 2]);
  expect(matched(3).stations.map(({ plate }) => plate)).toEqual([0]);
});
