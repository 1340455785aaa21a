import type { Tones } from "../../../server/engine/raster.ts";

/** A picture's sides beyond which nothing prints: those where the print ends. Beyond the others it goes on as it is. */
export interface PrintEnds {
  readonly left: boolean;
  readonly top: boolean;
  readonly right: boolean;
  readonly bottom: boolean;
}

/** A whole print, which ends on each side. */
export const ALL_ENDS: PrintEnds = { left: true, top: true, right: true, bottom: true };

/**
 * A plate's tones, moved to the right and down by parts of a pixel: each pixel is the mean of what comes to lie in it,
 * were the plate even within each of its own pixels. Rounded once.
 */
export function slid(
  tones: Tones,
  width: number,
  height: number,
  [dx, dy]: readonly [x: number, y: number],
  ends: PrintEnds,
): Uint8Array<ArrayBuffer> {
  const out = new Uint8Array(tones.length);
  const left = Math.floor(-dx);
  const top = Math.floor(-dy);
  const toRight = -dx - left;
  const toBottom = -dy - top;
  const columnOf = Int32Array.from({ length: width + 1 }, (_, x) =>
    within(x + left, width, ends.left, ends.right),
  );
  const row = new Float64Array(width);
  for (let y = 0; y < height; y++) {
    row.fill(0);
    const inked = [
      addRow(tones, within(y + top, height, ends.top, ends.bottom), 1 - toBottom, row),
      addRow(tones, within(y + top + 1, height, ends.top, ends.bottom), toBottom, row),
    ];
    if (!inked.includes(true)) continue;
    let before = tone(row, columnOf[0]!);
    for (let x = 0, at = y * width; x < width; x++, at++) {
      const after = tone(row, columnOf[x + 1]!);
      out[at] = before + (after - before) * toRight + 0.5;
      before = after;
    }
  }
  return out;
}

/** A place of a row or column that is there; −1 where nothing prints. */
function within(at: number, count: number, endsBefore: boolean, endsBehind: boolean): number {
  if (at < 0) return endsBefore ? -1 : 0;
  if (at >= count) return endsBehind ? -1 : count - 1;
  return at;
}

function tone(row: Float64Array, x: number): number {
  return x < 0 ? 0 : row[x]!;
}

/** Adds a share of a row's tones; whether there is any ink. */
function addRow(tones: Tones, y: number, share: number, row: Float64Array): boolean {
  if (y < 0 || share === 0) return false;
  const from = y * row.length;
  let ink = 0;
  for (let x = 0; x < row.length; x++) {
    const tone = tones[from + x]!;
    ink |= tone;
    row[x]! += tone * share;
  }
  return ink !== 0;
}
