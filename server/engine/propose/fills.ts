import { distance, type Yuv } from "../areas/planes.ts";
import type { CalmWindows } from "./calm.ts";

/** Steps of a byte around a centre that are its fill, and that are as good as it. */
export const FILL = 9;
const TIGHT = 5;
/** More fills than this are no flat art's, and are not looked for. */
export const MOST_FILLS = 36;

/** An even colour of some windows. */
export interface Fill {
  readonly at: Yuv;
  /** Windows of its colour, and those that are nearly it. */
  readonly n: number;
  readonly tight: number;
}

/** Heaps of windows' means, each drawn to where it is densest. */
export function fillsOf({ cells }: CalmWindows, least: number): Fill[] {
  const taken = new Uint8Array(cells.length);
  const fills: Fill[] = [];
  for (const [c, seed] of cells.entries()) {
    if (taken[c] === 1 || fills.length > MOST_FILLS) continue;
    let at = seed.at;
    for (let round = 0; round < 3; round++) at = meanOf(cells, taken, at, TIGHT + 2) ?? at;
    let [n, tight] = [0, 0];
    for (const [j, cell] of cells.entries()) {
      if (taken[j] === 1) continue;
      const d = distance(cell.at, at);
      if (d > FILL) continue;
      taken[j] = 1;
      n += cell.n;
      if (d <= TIGHT) tight += cell.n;
    }
    if (n >= least) fills.push({ at, n, tight });
  }
  return fills;
}

function meanOf(
  cells: CalmWindows["cells"],
  taken: Uint8Array,
  around: Yuv,
  within: number,
): Yuv | undefined {
  const sum = [0, 0, 0];
  let n = 0;
  for (const [j, cell] of cells.entries()) {
    if (taken[j] === 1 || distance(cell.at, around) > within) continue;
    for (let c = 0; c < 3; c++) sum[c]! += cell.n * cell.at[c]!;
    n += cell.n;
  }
  return n === 0 ? undefined : [sum[0]! / n, sum[1]! / n, sum[2]! / n];
}
