import { MM_PER_INCH } from "../../engine/units.ts";
import { type Parsed, parsed } from "./parsed.ts";
import { parseQuantity } from "./quantity.ts";

const CM_PER_INCH = MM_PER_INCH / 10;

/** Halftone ruling, "45 lpi" or "18 l/cm", in lines per inch. */
export function parseRuling(text: string): Parsed<number> {
  return parseQuantity(text, {
    name: "a ruling",
    units: { lpi: 1, "l/in": 1, "l/cm": CM_PER_INCH },
    offered: ["lpi", "l/cm"],
    least: 5,
    most: 300,
    bounds: "not a ruling from 5 to 300 lpi",
  });
}

/** Film resolution, "1200 dpi" or "480 d/cm", in dots per inch. */
export function parseResolution(text: string): Parsed<number> {
  return parseQuantity(text, {
    name: "a film resolution",
    units: { dpi: 1, "d/in": 1, "d/cm": CM_PER_INCH },
    offered: ["dpi", "d/cm"],
    least: 72,
    most: 10_000,
    bounds: "not a film resolution from 72 to 10000 dpi",
  });
}

/** Side of a square in millimetres: "150/in" or "60/cm" squares side by side, or "0.17 mm" across. */
export function parseSquare(text: string): Parsed<number> {
  if (/\/\s*(in|cm)\s*$/.test(text)) {
    const count = parseQuantity(text, {
      name: "a grid",
      units: { "/in": 1, "/cm": CM_PER_INCH },
      offered: ["/in", "/cm"],
      least: 20,
      most: 400,
      bounds: "not a grid from 20 to 400 squares per inch",
    });
    return count.ok ? parsed(MM_PER_INCH / count.value) : count;
  }
  return parseQuantity(text, {
    name: "a grid",
    units: { mm: 1, in: MM_PER_INCH, um: 0.001, µm: 0.001, μm: 0.001 },
    offered: ["/in", "mm"],
    least: MM_PER_INCH / 400,
    most: MM_PER_INCH / 20,
    bounds: "not squares from 0.0635 to 1.27 mm across",
  });
}

/** Mesh count, "225/in" or "90/cm", in threads per inch. */
export function parseMeshCount(text: string): Parsed<number> {
  return parseQuantity(text, {
    name: "a mesh count",
    units: { "/in": 1, "/cm": CM_PER_INCH },
    offered: ["/in", "/cm"],
    least: 10,
    most: 600,
    bounds: "not a mesh count from 10 to 600 threads per inch",
  });
}
