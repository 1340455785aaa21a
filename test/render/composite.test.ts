import { describe, expect, it } from "vitest";
import { linearFromLab } from "../../server/engine/colour/cielab.ts";
import { LINEAR_OF_BYTE } from "../../server/engine/colour/srgb.ts";
import type { CompositePlan, SeparationPlan } from "../../server/engine/plan.ts";
import { preparePrint } from "../../server/engine/print/model.ts";
import { compositePicture } from "../../server/render/composite.ts";
import { printConditions, printStations } from "../../server/render/plan/print-plan.ts";
import { recipeOf } from "./jobs.ts";

const recipe = recipeOf({});
const setup = recipe.setups.get("dark")!;
const plan: CompositePlan = {
  conditions: printConditions(recipe, setup, "black"),
  stations: printStations(recipe, setup),
};
const given = (tones?: readonly number[]) => ({ by: "given", film: false, tones }) as const;
const plates = (...names: string[]) =>
  ({
    plates: names.map((name) => ({ name, extract: given(), strength: { by: "flat" } })),
  }) as unknown as SeparationPlan;

/** Pixels of two plates' tones, in one row. */
function composed(base: number[], ember: number[], separation = plates("base", "ember")) {
  const picture = {
    width: base.length,
    height: 1,
    data: new Uint8Array(4 * base.length).fill(7),
    given: new Map([
      ["base", Uint8Array.from(base)],
      ["ember", Uint8Array.from(ember)],
    ]),
  };
  const { data, ...rest } = compositePicture(picture, plan, separation);
  expect(rest).toEqual({ width: base.length, height: 1, given: picture.given });
  return Array.from({ length: base.length }, (_, i) => [...data.subarray(4 * i, 4 * i + 4)]);
}

describe("what plates from files print, as a picture", () => {
  const BASE = [0, 255, 128, 255, 0, 60];
  const EMBER = [0, 0, 128, 255, 255, 30];

  it("is as opaque as ink covers it", () => {
    expect(composed(BASE, EMBER).map(([, , , alpha]) => alpha)).toEqual(
      BASE.map((base, i) => Math.round(255 * (1 - (1 - base / 255) * (1 - EMBER[i]! / 255)))),
    );
    expect(composed([0], [0])).toEqual([[0, 0, 0, 0]]);
  });

  it("looks with the garment behind it as it prints on it", () => {
    const printed = new Uint8Array(3 * BASE.length);
    const tones = [Uint8Array.from(BASE), Uint8Array.from(EMBER)];
    preparePrint(plan.conditions, plan.stations).print(tones, 0, BASE.length, printed);
    const { r, g, b } = linearFromLab(recipe.garments.get("black")!.colour.lab);
    for (const [i, [red, green, blue, alpha]] of composed(BASE, EMBER).entries()) {
      const share = alpha! / 255;
      for (const [band, behind] of [r, g, b].entries()) {
        const own = LINEAR_OF_BYTE[[red!, green!, blue!][band]!]!;
        const seen = share * own + (1 - share) * behind;
        // A byte of the picture is less than a hundredth of light.
        expect(seen).toBeCloseTo(LINEAR_OF_BYTE[printed[3 * i + band]!]!, 2);
      }
    }
  });

  it("leaves out a plate that is none of the plan's, and takes a film's tones as they print", () => {
    expect(composed([255], [255], plates("base"))).toEqual(composed([255], [0]));
    const table = Array.from({ length: 256 }, (_, tone) => 255 - tone);
    const turned = plates("base", "ember");
    const film = { plates: [turned.plates[0]!, { ...turned.plates[1]!, extract: given(table) }] };
    expect(composed([255], [255], film as unknown as SeparationPlan)).toEqual(composed([255], [0]));
  });
});
