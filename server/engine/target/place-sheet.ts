import type { Sheet } from "./sheet.ts";

/** A picture of a print: RGBA, 8-bit sRGB, four bytes a pixel. */
export interface Scan {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array | Uint8ClampedArray;
}

/** A scan that a sheet cannot be read from, with the one line to say so. */
export class ScanError extends Error {
  constructor(message: string) {
    super(message);
    this.name = "ScanError";
  }
}

/** From mm on the sheet to pixels of the scan: x = a·X + b·Y + c, y = d·X + e·Y + f. */
export type Placement = readonly [number, number, number, number, number, number];

/** Pixels along the longer side of what marks are looked for in. */
const LOOKED_AT = 1600;
/** A pixel is ink where it lies this share of the way from the commonest colour to the farthest. */
const INK = 0.35;

/** Finds the sheet by its three marks, turned and scaled however it lies. Throws ScanError. */
export function placeSheet(scan: Scan, sheet: Sheet): Placement {
  const step = Math.max(1, Math.floor(Math.max(scan.width, scan.height) / LOOKED_AT));
  const squares = squaresOf(scan, step);
  const [first, second, third] = sheet.marks.map(({ x, y, width, height }) => ({
    x: x + width / 2,
    y: y + height / 2,
  })) as [Point, Point, Point];
  const side = sheet.marks[0]!.width;
  const across = second.x - first.x;
  const down = third.y - first.y;
  let best: { off: number; placement: Placement } | undefined;
  for (const p of squares)
    for (const q of squares) {
      const scale = Math.hypot(q.x - p.x, q.y - p.y) / across;
      if (q === p || Math.abs(Math.sqrt(p.area) / (side * scale) - 1) > 0.25) continue;
      // Where the third must lie: a quarter turn on from the second, y down.
      const [ux, uy] = [(q.x - p.x) / across, (q.y - p.y) / across];
      const at = { x: p.x - uy * down, y: p.y + ux * down };
      for (const r of squares) {
        const off = Math.hypot(r.x - at.x, r.y - at.y) / (down * scale);
        const alike = [q, r].every(({ area }) => Math.abs(area / p.area - 1) < 0.4);
        if (off > 0.03 || !alike || (best && off >= best.off)) continue;
        const [vx, vy] = [(r.x - p.x) / down, (r.y - p.y) / down];
        const placement: Placement = [
          ux,
          vx,
          p.x - ux * first.x - vx * first.y,
          uy,
          vy,
          p.y - uy * first.x - vy * first.y,
        ];
        best = { off, placement };
      }
    }
  if (!best)
    throw new ScanError(
      "the three square marks of the sheet were not found; scan all of it, corners included",
    );
  return best.placement;
}

interface Point {
  readonly x: number;
  readonly y: number;
}

/** Solid squares of a scan, in its pixels: blobs of ink as full as a turned square is, and as long each way. */
function squaresOf(scan: Scan, step: number): (Point & { readonly area: number })[] {
  const width = Math.floor(scan.width / step);
  const height = Math.floor(scan.height / step);
  const ink = inkOf(scan, step, width, height);
  const squares: (Point & { area: number })[] = [];
  const stack: number[] = [];
  for (let start = 0; start < ink.length; start++) {
    if (!ink[start]) continue;
    ink[start] = 0;
    stack.push(start);
    let [count, sx, sy, xx, yy, xy] = [0, 0, 0, 0, 0, 0];
    for (let at = stack.pop(); at !== undefined; at = stack.pop()) {
      const [x, y] = [at % width, Math.floor(at / width)];
      count++;
      sx += x;
      sy += y;
      xx += x * x;
      yy += y * y;
      xy += x * y;
      for (const next of [x > 0 ? at - 1 : -1, x < width - 1 ? at + 1 : -1, at - width, at + width])
        if (next >= 0 && next < ink.length && ink[next]) {
          ink[next] = 0;
          stack.push(next);
        }
    }
    if (count < LEAST_PIXELS) continue;
    const [mx, my] = [sx / count, sy / count];
    // A full square of area A has a variance of A / 12 along every direction.
    const [vx, vy, cov] = [xx / count - mx * mx, yy / count - my * my, xy / count - mx * my];
    const whole = count / 12;
    if (
      Math.abs(vx / whole - 1) > SQUARE ||
      Math.abs(vy / whole - 1) > SQUARE ||
      Math.abs(cov / whole) > SQUARE
    )
      continue;
    squares.push({ x: (mx + 0.5) * step, y: (my + 0.5) * step, area: count * step * step });
  }
  return squares;
}

const LEAST_PIXELS = 60;
const SQUARE = 0.15;

/** Which pixels of a coarse scan are ink: far from the commonest colour, which is the bare garment. */
function inkOf({ data, width: pitch }: Scan, step: number, width: number, height: number): Uint8Array {
  const counts = new Map<number, number>();
  const place = (i: number) =>
    4 * ((Math.floor(i / width) * step + (step >> 1)) * pitch + (i % width) * step + (step >> 1));
  const total = width * height;
  for (let i = 0; i < total; i++) {
    const at = place(i);
    const key = ((data[at]! >> 4) << 8) | ((data[at + 1]! >> 4) << 4) | (data[at + 2]! >> 4);
    counts.set(key, (counts.get(key) ?? 0) + 1);
  }
  const [common] = [...counts].reduce((most, entry) => (entry[1] > most[1] ? entry : most));
  const bare = [common >> 8, (common >> 4) & 15, common & 15].map((v) => v * 16 + 8);
  const away = new Float32Array(total);
  let farthest = 0;
  for (let i = 0; i < total; i++) {
    const at = place(i);
    away[i] = Math.hypot(data[at]! - bare[0]!, data[at + 1]! - bare[1]!, data[at + 2]! - bare[2]!);
    farthest = Math.max(farthest, away[i]!);
  }
  return Uint8Array.from(away, (v) => (v > INK * farthest ? 1 : 0));
}
