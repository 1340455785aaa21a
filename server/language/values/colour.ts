import { type Lab, labFromBytes } from "../../engine/colour/cielab.ts";
import { type Parsed, parsed, refused } from "./parsed.ts";

/** A colour as the recipe writes it; `lab` is CIELAB under D50, the way the print trade measures it. */
export interface Colour {
  readonly notation: "hex" | "lab";
  readonly lab: Lab;
}

const HEX = /^#(?:[0-9a-f]{3}|[0-9a-f]{6})$/i;
const NUMBER = String.raw`([+-]?(?:\d+(?:\.\d*)?|\.\d+))`;
const LAB = new RegExp(String.raw`^lab\(\s*${NUMBER}\s+${NUMBER}\s+${NUMBER}\s*(/[^)]*)?\)$`);
const FORMS = 'write sRGB as "#d8431f" or a measured colour as lab(50.2 58.1 49.0)';

/** sRGB as "#rgb" or "#rrggbb", or CIELAB (D50) in the notation of CSS Color 4, without an alpha. */
export function parseColour(text: string): Parsed<Colour> {
  const trimmed = text.trim();
  if (HEX.test(trimmed)) {
    const digits = trimmed.length === 4 ? trimmed.slice(1).replace(/./g, "$&$&") : trimmed.slice(1);
    const [r, g, b] = [0, 2, 4].map((at) => Number.parseInt(digits.slice(at, at + 2), 16));
    return parsed({ notation: "hex", lab: labFromBytes(r!, g!, b!) });
  }
  const form = LAB.exec(trimmed);
  if (!form) return refused(`"${text}" is not a colour; ${FORMS}`);
  if (form[4] !== undefined) return refused(`"${text}" has an alpha; an ink's opacity has a key of its own`);
  const [L, a, b] = form.slice(1, 4).map(Number) as [number, number, number];
  if (L < 0 || L > 100) return refused(`"${text}" has L* outside 0 to 100`);
  if (Math.abs(a) > 160 || Math.abs(b) > 160) return refused(`"${text}" has a* or b* beyond ±160`);
  return parsed({ notation: "lab", lab: { L, a, b } });
}
