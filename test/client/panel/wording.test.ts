import { expect, it } from "vitest";
import { fineText, rulingText } from "../../../client/panel/elements/wording.ts";

it("small lengths are told to a hundredth of a millimetre or finer, in the recipe's unit", () => {
  expect(fineText([0.314, -0.02], "mm")).toBe("0.31, −0.02 mm");
  expect(fineText([-0.001], "mm")).toBe("0 mm");
  expect(fineText([0.01], "in")).toBe("0.0004 in");
  expect(fineText([0.01], "cm")).toBe("0.001 cm");
});

it("rulings are told by the inch, or by the centimetre where lengths are metric", () => {
  expect(rulingText(45, "in")).toBe("45 lpi");
  expect(rulingText(45, "cm")).toBe("17.7 l/cm");
  expect(rulingText(45, "mm")).toBe("17.7 l/cm");
});
