import { piecesOf } from "../../engine/areas/pieces.ts";
import { Thirds } from "../../engine/inspect/thirds.ts";
import { CLEAR, SOLID } from "../../engine/trap/solid-part.ts";
import { placeWords } from "../../language/place-words.ts";
import type { Print, PrintPlate } from "../../render/print.ts";
import type { Mark, PixelRule } from "../rule.ts";
import { mm } from "../words.ts";
import { yaml } from "../yaml.ts";

/** A line is at least so many times as long as it is wide: type and outlines. */
const LINE = 10;
/** Shorter ones in all are not worth a word. Common practice, no source. */
const LEAST_MM = 3;
const LEAST_DETAILS = 20;

const SOURCE =
  "Follows from `smallest-line` and `smallest-gap`, else the pitch of the mesh. Seen where the plates' pixels are no larger: `check --full`, or a small print.";

/** Lines and gaps that the mesh does not hold, and that are no longer on the plate. */
export const lostLines: PixelRule = {
  id: "lost-lines",
  looksAt: "pixels",
  level: "error",
  why: "A line thinner than the mesh can hold breaks off the stencil, and a gap thinner than that fills in: type and outlines are lost.",
  source: SOURCE,
  example: {
    fails: yaml`
      # a picture with lines 0.3 mm wide
      screening: { smallest-line: 0.5 mm }
    `,
    passes: yaml`
      # a picture with lines 0.3 mm wide
      screening: { smallest-line: 0.2 mm }
    `,
  },
  check: (print) => told(print, true),
};

/** Short pieces of the same kind: ends, corners, specks. */
export const lostDetails: PixelRule = {
  id: "lost-details",
  looksAt: "pixels",
  level: "note",
  why: "Specks and slivers thinner than the mesh can hold are left out, since they would break off or fill in at random.",
  source: SOURCE,
  example: {
    fails: yaml`
      # a picture with many specks of 0.3 mm
      screening: { smallest-line: 0.5 mm }
    `,
    passes: yaml`
      # a picture with many specks of 0.3 mm
      screening: { smallest-line: 0.2 mm }
    `,
  },
  check: (print) => told(print, false),
};

function* told(print: Print, lines: boolean): Iterable<Mark> {
  for (const plate of print.plates.values()) {
    for (const kind of ["line", "gap"] as const) {
      const { count, lengthMm, thinnestMm, where } = lostOf(print, plate, kind, lines);
      if (lines ? lengthMm < LEAST_MM : count < LEAST_DETAILS) continue;
      const what =
        kind === "line"
          ? lines
            ? `lines of ${plate.name}, from ${mm(thinnestMm)} wide, ${lengthText(lengthMm)} in all,`
            : `${count} specks and slivers of ${plate.name}`
          : lines
            ? `gaps in ${plate.name}, from ${mm(thinnestMm)} wide, ${lengthText(lengthMm)} in all,`
            : `${count} small gaps in ${plate.name}`;
      const lost =
        kind === "line" ? "are too thin for the mesh and left out" : "are too thin for the mesh and closed";
      yield {
        path: ["plates", plate.name],
        part: "key",
        message: `${what} ${lost}, ${placeWords(where)}; draw them wider, take a finer mesh, or set smallest-${kind} if your screens hold less`,
      };
    }
  }
}

/** What limits took away (`line`) or filled (`gap`): long pieces, or all others. */
function lostOf(
  { picture: { width, height }, pixelMm }: Print,
  { unlimited, tones }: PrintPlate,
  kind: "line" | "gap",
  long: boolean,
) {
  const where = new Thirds(width, height);
  const gone = new Uint8Array(tones.length);
  let any = false;
  for (let i = 0; i < gone.length; i++) {
    const [from, to] = [unlimited[i]!, tones[i]!];
    if (kind === "line" ? from < SOLID || to > CLEAR : from > CLEAR || to < SOLID) continue;
    gone[i] = 1;
    any = true;
  }
  if (!any) return { count: 0, lengthMm: 0, thinnestMm: 0, where };
  const pieces = piecesOf(gone, width, height, true);
  const borders = bordersOf(gone, pieces.of, width, height, pieces.count);
  const isWanted = (piece: number) => {
    if (pieces.label[piece] !== 1) return false;
    const { length, across } = shapeOf(pieces.size[piece]!, borders[piece]!);
    return length >= LINE * across === long;
  };
  let [count, pixels, thinnest] = [0, 0, Number.POSITIVE_INFINITY];
  for (let piece = 0; piece < pieces.count; piece++) {
    if (!isWanted(piece)) continue;
    const { length, across } = shapeOf(pieces.size[piece]!, borders[piece]!);
    count++;
    pixels += length;
    thinnest = Math.min(thinnest, across);
  }
  for (let i = 0; i < gone.length; i++) if (gone[i] === 1 && isWanted(pieces.of[i]!)) where.add(i);
  return { count, lengthMm: pixels * pixelMm, thinnestMm: thinnest * pixelMm, where };
}

/** Length and width of a strip with this many pixels and sides of pixels around it. */
function shapeOf(area: number, border: number): { readonly length: number; readonly across: number } {
  // A strip l × w has the border 2 (l + w) and the area l w.
  const half = border / 2;
  const root = Math.sqrt(Math.max(0, half * half - 4 * area));
  const length = (half + root) / 2;
  return { length, across: area / length };
}

/** Sides between a piece's pixels and all others, or the picture's border. */
function bordersOf(
  gone: Uint8Array,
  of: Int32Array,
  width: number,
  height: number,
  count: number,
): Uint32Array {
  const borders = new Uint32Array(count);
  for (let i = 0; i < gone.length; i++) {
    if (gone[i] === 0) continue;
    const x = i % width;
    const y = (i - x) / width;
    if (x === 0 || gone[i - 1] === 0) borders[of[i]!]!++;
    if (x === width - 1 || gone[i + 1] === 0) borders[of[i]!]!++;
    if (y === 0 || gone[i - width] === 0) borders[of[i]!]!++;
    if (y === height - 1 || gone[i + width] === 0) borders[of[i]!]!++;
  }
  return borders;
}

function lengthText(lengthMm: number): string {
  return lengthMm < 100 ? `${Math.round(lengthMm)} mm` : `${Math.round(lengthMm / 10)} cm`;
}
