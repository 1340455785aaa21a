import { expect, it } from "vitest";
import { LabColumns } from "../../../server/engine/extract/lab-columns.ts";
import { strengthFunction } from "../../../server/engine/extract/strength.ts";
import type { Strength } from "../../../server/engine/plan.ts";

// The second is what is asked about: L* 70, C*ab 50.
const colours = new LabColumns(3);
colours.set(0, 10, 0, 0, 100);
colours.set(1, 70, 30, -40, 100);
colours.set(2, 20, 3, 4, 100);

const lightness = [
  [60, 0.2],
  [80, 0.6],
] as const;
const chroma = [
  [40, 0],
  [60, 1],
] as const;

it.each([
  [{ by: "flat" }, 1],
  [{ by: "lightness" }, 0.7],
  [{ by: "darkness" }, 0.3],
  [{ by: "chroma", full: 80 }, 0.625],
  [{ by: "chroma", full: 40 }, 1],
  // Half-way along straight lines: 0.4 and 0.5.
  [{ by: "curves", lightness }, 0.4],
  [{ by: "curves", chroma }, 0.5],
  [{ by: "curves", lightness, chroma }, 0.2],
  [{ by: "match" }, 1],
  [{ by: "solve" }, 1],
  // Tones of an index separation come square by square.
  [{ by: "index", colour: 1 }, 0],
] as [Strength, number][])("of %j is %d", (strength, wanted) => {
  expect(strengthFunction(strength)(colours, 1)).toBeCloseTo(wanted, 12);
});

it("never leaves nothing to all", () => {
  const beyond = new LabColumns(1);
  beyond.set(0, 104, 0, 0, 100);
  expect(strengthFunction({ by: "lightness" })(beyond, 0)).toBe(1);
  expect(strengthFunction({ by: "darkness" })(beyond, 0)).toBe(0);
});
