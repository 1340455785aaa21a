import { parseColour } from "./colour.ts";
import { parseDay } from "./day.ts";
import { parseLength, parsePosition } from "./length.ts";
import { parseName } from "./name.ts";
import type { Parsed } from "./parsed.ts";
import { parseInkSum, parseMargin, parsePercentage } from "./percentage.ts";
import { parseMeshCount, parseResolution, parseRuling, parseSquare } from "./screen.ts";

/** The parser behind each `format` of the schemas. */
export const FORMATS: Readonly<Record<string, (text: string) => Parsed<unknown>>> = {
  colour: parseColour,
  day: parseDay,
  "ink-sum": parseInkSum,
  length: parseLength,
  margin: parseMargin,
  "mesh-count": parseMeshCount,
  name: parseName,
  percentage: parsePercentage,
  position: parsePosition,
  resolution: parseResolution,
  ruling: parseRuling,
  square: parseSquare,
};

/** Units to choose from behind a number, as they are written behind it. */
export const UNITS: Readonly<Record<string, readonly string[]>> = {
  length: [" in", " mm", " cm"],
  position: [" in", " mm", " cm"],
  percentage: ["%"],
  margin: ["%"],
  "ink-sum": ["%"],
  ruling: [" lpi", " l/cm"],
  resolution: [" dpi", " d/cm"],
  "mesh-count": ["/in", "/cm"],
  square: ["/in", " mm"],
};
