/**
 * Draws the outlines of the letters that films and their labels are lettered with, from an open font, so that neither a
 * font nor a font reader is needed at run time. Part of `npm run generate`.
 */
import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import opentype from "opentype.js";

const FONT = "@fontsource/source-sans-3/files/source-sans-3-";
/** Latin with its accents, and signs that labels use. */
const SETS = ["latin-600-normal.woff", "latin-ext-600-normal.woff"];
/** Latin with its extensions A and B, then general punctuation and signs. */
const LAST_LATIN = 0x24f;
const FIRST_SIGN = 0x2010;
const EM = 1000;
/** Straight pieces that a curve becomes: at the size of a label, a film pixel each. */
const PIECES = 4;

/** TypeScript that holds, for each letter, its advance and its closed outlines as x, y, x, y …, in thousandths of an em, y down. */
export async function lettersModule(): Promise<string> {
  const require = createRequire(import.meta.url);
  const letters: string[] = [];
  const seen = new Set<string>();
  for (const set of SETS) {
    const bytes = await readFile(require.resolve(FONT + set));
    const font = opentype.parse(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length));
    for (let i = 1; i < font.glyphs.length; i++) {
      const glyph = font.glyphs.get(i);
      for (const code of glyph.unicodes ?? []) {
        const letter = String.fromCodePoint(code);
        if (seen.has(letter) || code < 0x20 || (code > LAST_LATIN && code < FIRST_SIGN)) continue;
        seen.add(letter);
        const outlines = outlinesOf(glyph.getPath(0, 0, EM).commands);
        letters.push(
          `  [${JSON.stringify(letter)}, ${Math.round(glyph.advanceWidth ?? 0)}, ${JSON.stringify(outlines)}],`,
        );
      }
    }
  }
  return `// Outlines of Source Sans 3 (SIL Open Font License 1.1), drawn by "npm run generate". Do not edit.

export const LETTER_OUTLINES: readonly (readonly [letter: string, advance: number, outlines: readonly (readonly number[])[]])[] = [
${letters.join("\n")}
];
`;
}

type Commands = ReturnType<opentype.Glyph["getPath"]>["commands"];

function outlinesOf(commands: Commands): number[][] {
  const outlines: number[][] = [];
  let outline: number[] = [];
  let [x, y] = [0, 0];
  const to = (nx: number, ny: number) => {
    outline.push(Math.round(nx), Math.round(ny));
    [x, y] = [nx, ny];
  };
  for (const command of commands) {
    if (command.type === "Z") continue;
    if (command.type === "M") {
      outline = [];
      outlines.push(outline);
      to(command.x, command.y);
    } else if (command.type === "L") to(command.x, command.y);
    else {
      const [x0, y0] = [x, y];
      for (let k = 1; k <= PIECES; k++) {
        const t = k / PIECES;
        const u = 1 - t;
        if (command.type === "Q") {
          const { x1, y1 } = command;
          to(
            u * u * x0 + 2 * u * t * x1 + t * t * command.x,
            u * u * y0 + 2 * u * t * y1 + t * t * command.y,
          );
        } else {
          const { x1, y1, x2, y2 } = command;
          const [a, b, c, d] = [u ** 3, 3 * u * u * t, 3 * u * t * t, t ** 3];
          to(a * x0 + b * x1 + c * x2 + d * command.x, a * y0 + b * y1 + c * y2 + d * command.y);
        }
      }
    }
  }
  return outlines.filter(({ length }) => length >= 6);
}
