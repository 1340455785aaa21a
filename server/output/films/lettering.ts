import { LETTER_OUTLINES } from "../generated/letters.ts";
import type { Outline, Shape } from "./shapes.ts";

const LETTERS = new Map(
  LETTER_OUTLINES.map(([letter, advance, outlines]) => [letter, { advance, outlines }]),
);
const EM = 1000;

/** Text as outlines, its baseline's left end at x, y; `size` is an em, all in mm. Letters of other scripts become a box. */
export function lettering(text: string, x: number, y: number, size: number): Shape {
  const outlines: Outline[] = [];
  let pen = x;
  for (const letter of shown(text)) {
    const glyph = LETTERS.get(letter) ?? MISSING;
    for (const outline of glyph.outlines)
      outlines.push(outline.map((v, i) => (i % 2 === 0 ? pen : y) + (v * size) / EM));
    pen += (glyph.advance * size) / EM;
  }
  return { outlines };
}

/** Width of the text in mm. */
export function letteringWidth(text: string, size: number): number {
  return shown(text).reduce((sum, letter) => sum + ((LETTERS.get(letter) ?? MISSING).advance * size) / EM, 0);
}

/** The text, cut off with dots where it is wider than there is room. */
export function fitted(text: string, size: number, room: number): string {
  if (letteringWidth(text, size) <= room) return text;
  const letters = shown(text);
  while (letters.length > 0 && letteringWidth(`${letters.join("")}…`, size) > room) letters.pop();
  return `${letters.join("")}…`;
}

function shown(text: string): string[] {
  return [...text.normalize("NFC").replace(/[\p{Cc}\p{Cf}]/gu, " ")];
}

const MISSING = {
  advance: 600,
  outlines: [
    [60, 0, 540, 0, 540, -660, 60, -660],
    [120, -60, 480, -60, 480, -600, 120, -600],
  ],
};
