import fc from "fast-check";
import { expect, it } from "vitest";
import { BLOCK, ColourBlocks } from "../../../server/engine/extract/colour-blocks.ts";
import { LabColumns } from "../../../server/engine/extract/lab-columns.ts";
import { Membership } from "../../../server/engine/extract/membership.ts";
import type { Extraction } from "../../../server/engine/plan.ts";
import { holds } from "../../property.ts";
import { extractions, labs, opacities } from "./arbitrary.ts";

/** Colours that lie together, as those of a block do: some steps around one. */
const together = fc
  .tuple(labs, opacities, fc.integer({ min: 0, max: 40 }), fc.array(labs, { minLength: 1, maxLength: 12 }))
  .map(([middle, opacity, reach, others]) => {
    const colours = new LabColumns(others.length);
    for (const [i, { L, a, b }] of others.entries())
      colours.set(
        i,
        middle.L + ((L - 50) * reach) / 100,
        middle.a + (a * reach) / 100,
        middle.b + (b * reach) / 100,
        opacity,
      );
    return colours;
  });

it("bound what every colour of a block belongs to an extraction by, whatever the extraction", () => {
  let [outside, inside] = [0, 0];
  holds(
    fc.property(extractions, together, (extraction, colours) => {
      const count = colours.L.length;
      const blocks = new ColourBlocks(colours);
      const most = blocks.most(0, extraction);
      const least = 1 - blocks.most(0, { by: "except", of: extraction });
      const members = [...new Membership(extraction).of(colours, 0, count).subarray(0, count)];
      if (most === 0) {
        outside++;
        expect(members.every((member) => member === 0)).toBe(true);
      }
      if (least === 1) inside++;
      for (const member of members) {
        expect(member).toBeLessThanOrEqual(most + 1e-12);
        expect(member).toBeGreaterThanOrEqual(least - 1e-12);
      }
    }),
    4000,
  );
  // Bounds that say nothing would hold too.
  expect(outside).toBeGreaterThan(400);
  expect(inside).toBeGreaterThan(400);
});

it.each<[what: string, extraction: Extraction, most: number[]]>([
  ["lightness", { by: "lightness", from: 60, to: 80, fade: 10 }, [0, 1]],
  ["a fade that reaches a block's nearest", { by: "lightness", from: 40, to: 45, fade: 20 }, [0.5, 0]],
  ["hue", { by: "hue", from: 80, to: 100, fade: 5 }, [0, 1]],
  ["hues past 0", { by: "hue", from: 300, to: 15, fade: 0 }, [1, 0]],
  ["what is near by lightness", { by: "near", colour: { L: 70, a: 0, b: 50 }, within: 4, fade: 2 }, [0, 1]],
  ["all but a range", { by: "except", of: { by: "lightness", from: 60, to: 80, fade: 0 } }, [1, 0]],
])("tell blocks apart by %s", (_what, extraction, most) => {
  // A block of reds, L* 20 to 30, and one of yellows, L* 65 to 75.
  const colours = new LabColumns(2 * BLOCK);
  for (let i = 0; i < BLOCK; i++) {
    colours.set(i, 20 + (10 * i) / (BLOCK - 1), 40, 5, 100);
    colours.set(BLOCK + i, 65 + (10 * i) / (BLOCK - 1), 0, 50, 100);
  }
  const blocks = new ColourBlocks(colours);
  expect([blocks.most(0, extraction), blocks.most(1, extraction)]).toEqual(most);
});
