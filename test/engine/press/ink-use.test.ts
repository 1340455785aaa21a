import { expect, it } from "vitest";
import { inkOnGarment } from "../../../server/engine/press/ink-use.ts";

it("lays the mesh's volume on each square metre, as often as it is stroked, as far as it comes off", () => {
  // 500 cm² are 0.05 m²: of 40 cm³/m² that is 2 cm³ a stroke, of which three quarters reach the garment.
  expect(inkOnGarment({ filmCm2: 500, volume: 40, hits: 1, transfer: 1 })).toBeCloseTo(2, 12);
  expect(inkOnGarment({ filmCm2: 500, volume: 40, hits: 3, transfer: 0.75 })).toBeCloseTo(4.5, 12);
});
