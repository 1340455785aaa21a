import { type Parsed, parsed, refused } from "./parsed.ts";

const NAME = /^\p{L}[\p{L}\p{N}_-]{0,39}$/u;

/** A name of a plate, ink, garment or setup. It becomes part of file names, so it stays free of other signs. */
export function parseName(text: string): Parsed<string> {
  return NAME.test(text)
    ? parsed(text)
    : refused(
        `"${text}" cannot be a name; start with a letter and use letters, digits, hyphens or underscores, 40 at most`,
      );
}

const SIZE_NAME = /^[\p{L}\p{N}][\p{L}\p{N}/-]{0,11}$/u;

/** A garment's size, such as L, 2XL, 10-12 or M/L. */
export function parseSizeName(text: string): Parsed<string> {
  return SIZE_NAME.test(text)
    ? parsed(text)
    : refused(`"${text}" cannot be a size; use letters, digits, hyphens or slashes, 12 at most`);
}
