import { describe, expect, it } from "vitest";
import {
  PLAIN_DOTS,
  SPOT_FUNCTIONS,
  type SpotName,
  spotFunction,
} from "../../server/engine/screen/spot-functions.ts";
import { SPOT_VALUES } from "./spot-values.ts";

describe("spot functions of ISO 32000-1, table 128", () => {
  it("are all there, and no others", () => {
    expect(Object.keys(SPOT_FUNCTIONS).sort()).toEqual(Object.keys(SPOT_VALUES).sort());
  });

  it.each(Object.entries(SPOT_VALUES))("%s has the standard's values", (name, values) => {
    for (const [x = 0, y = 0, value = 0] of values) {
      // The table has six decimals.
      expect(Math.abs(spotFunction(name as SpotName)(x, y) - value), `${x}, ${y}`).toBeLessThan(1e-6);
    }
  });

  it("have plain names for four of them", () => {
    for (const [plain, name] of Object.entries(PLAIN_DOTS))
      expect(spotFunction(plain as keyof typeof PLAIN_DOTS)).toBe(SPOT_FUNCTIONS[name]);
  });
});
