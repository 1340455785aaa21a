import { expect, it } from "vitest";
import { MM_PER, MM_PER_INCH } from "../../server/engine/units.ts";

it("are millimetres as ISO 31-1 has them: exactly 25.4 to an inch, ten to a centimetre", () => {
  expect(MM_PER_INCH).toBe(25.4);
  expect(MM_PER).toEqual({ in: 25.4, cm: 10, mm: 1 });
});
