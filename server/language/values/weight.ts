import type { Parsed } from "./parsed.ts";
import { parseQuantity } from "./quantity.ts";

/** "1.3 g/cm3", "1.3 kg/l" in grams to the cubic centimetre. */
export function parseDensity(text: string): Parsed<number> {
  return parseQuantity(text, {
    name: "a density",
    units: { "g/cm3": 1, "g/cm³": 1, "g/ml": 1, "kg/l": 1 },
    offered: ["g/cm3", "kg/l"],
    least: 0.5,
    most: 5,
    bounds: "not a density from 0.5 to 5 g/cm3",
  });
}

/** One ounce avoirdupois to the square yard, in g/m². */
const OUNCE_TO_THE_YARD = 28.349523125 / 0.83612736;

/** "180 g/m2", "5.3 oz/yd2" in grams to the square metre. */
export function parseFabricWeight(text: string): Parsed<number> {
  return parseQuantity(text, {
    name: "a weight of fabric",
    units: { "g/m2": 1, "g/m²": 1, "oz/yd2": OUNCE_TO_THE_YARD, "oz/yd²": OUNCE_TO_THE_YARD },
    offered: ["g/m2", "oz/yd2"],
    least: 20,
    most: 2000,
    bounds: "not a weight of fabric from 20 to 2000 g/m2",
  });
}
