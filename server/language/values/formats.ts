import { parseColour } from "./colour.ts";
import { parseDay } from "./day.ts";
import { parseLength, parsePosition, parsePrintLength, parsePrintPosition } from "./length.ts";
import { parseName, parseSizeName } from "./name.ts";
import type { Parsed } from "./parsed.ts";
import { parseInkSum, parseMargin, parsePercentage } from "./percentage.ts";
import { parseMeshCount, parseResolution, parseRuling, parseSquare } from "./screen.ts";
import { parseDensity, parseFabricWeight } from "./weight.ts";

/** The parser behind each `format` of the schemas. */
export const FORMATS: Readonly<Record<string, (text: string) => Parsed<unknown>>> = {
  colour: parseColour,
  day: parseDay,
  density: parseDensity,
  "fabric-weight": parseFabricWeight,
  "ink-sum": parseInkSum,
  length: parseLength,
  margin: parseMargin,
  "mesh-count": parseMeshCount,
  name: parseName,
  percentage: parsePercentage,
  position: parsePosition,
  // Whether it can be read hangs on no width.
  "print-length": (text) => parsePrintLength(text, 1),
  "print-position": (text) => parsePrintPosition(text, 1),
  resolution: parseResolution,
  ruling: parseRuling,
  "size-name": parseSizeName,
  square: parseSquare,
};

/** Units to choose from behind a number, as they are written behind it. */
export const UNITS: Readonly<Record<string, readonly string[]>> = {
  length: [" in", " mm", " cm"],
  position: [" in", " mm", " cm"],
  "print-length": [" in", " mm", " cm", "%"],
  "print-position": [" in", " mm", " cm", "%"],
  density: [" g/cm3", " kg/l"],
  "fabric-weight": [" g/m2", " oz/yd2"],
  percentage: ["%"],
  margin: ["%"],
  "ink-sum": ["%"],
  ruling: [" lpi", " l/cm"],
  resolution: [" dpi", " d/cm"],
  "mesh-count": ["/in", "/cm"],
  square: ["/in", " mm"],
};
