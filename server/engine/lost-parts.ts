import { bytesPerRow, setBits } from "./screen/bits.ts";
import { RunGroups } from "./screen/run-groups.ts";

/** Runs of pixels in rows: row, first pixel, pixel behind the last, of each; from the top, and from the left in a row. */
export type Runs = readonly number[];

/** Where lines of a plate were left out and gaps closed, since the mesh does not hold them. */
export interface LostRuns {
  readonly lines: Runs;
  readonly gaps: Runs;
}

/** How many lines and gaps those are, and how many pixels they had. */
export interface LostParts {
  readonly lines: number;
  readonly linePixels: number;
  readonly gaps: number;
  readonly gapPixels: number;
}

/** Runs of pixels of a raster, whose numbers rise. */
export function runsOf(pixels: Iterable<number>, width: number): Runs {
  const runs: number[] = [];
  for (const at of pixels) {
    const x = at % width;
    const y = (at - x) / width;
    const last = runs.length - 3;
    if (last >= 0 && runs[last] === y && runs[last + 2] === x) runs[last + 2] = x + 1;
    else runs.push(y, x, x + 1);
  }
  return runs;
}

/** The runs in rows `first` up to `last` alone, as rows from `to` on. */
export function runsWithin(runs: Runs, first: number, last: number, to: number): Runs {
  const within: number[] = [];
  for (let i = 0; i < runs.length; i += 3)
    if (runs[i]! >= first && runs[i]! < last) within.push(runs[i]! - first + to, runs[i + 1]!, runs[i + 2]!);
  return within;
}

/** Counts pieces of a raster `width` pixels wide; pixels that touch at corners are one. */
export function countLost({ lines, gaps }: LostRuns, width: number): LostParts {
  const [line, gap] = [groupsOf(lines, width), groupsOf(gaps, width)];
  return { lines: line.small, linePixels: line.smallPixels, gaps: gap.small, gapPixels: gap.smallPixels };
}

function groupsOf(runs: Runs, width: number): RunGroups {
  const groups = new RunGroups(true);
  let above = new Uint8Array(bytesPerRow(width));
  let before = -1;
  for (let i = 0; i < runs.length; ) {
    const y = runs[i]!;
    if (before >= 0 && before < y - 1) {
      above.fill(0);
      groups.row(before + 1, undefined, above, above);
    }
    const row = new Uint8Array(above.length);
    for (; runs[i] === y; i += 3) setBits(row, 0, runs[i + 1]!, runs[i + 2]!);
    groups.row(y, row, row, above);
    above = row;
    before = y;
  }
  return groups;
}
