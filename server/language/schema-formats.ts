import { FORMATS } from "./values/formats.ts";

/** The schemas' formats as the validator asks for them. */
export const schemaFormats = Object.fromEntries(
  Object.entries(FORMATS).map(([format, parse]) => [
    format,
    { type: "string" as const, validate: (text: string) => parse(text).ok },
  ]),
);

/** A text's length as JSON Schema counts it: in code points. */
export function lengthOf(text: string): number {
  return [...text].length;
}
