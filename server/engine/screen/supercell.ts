/**
 * A square of N × N halftone cells whose corners fall on device pixels. One cell alone can only have rulings and
 * angles that whole pixels allow; many together come as near to any as is wanted (PLRM, type 10 halftones, has the
 * arithmetic of such cells).
 */
export interface Supercell {
  /** Cells along a side. */
  readonly cells: number;
  /** The side as a vector in pixels: `across` to the right and `up`; the other side is at a right angle to it. */
  readonly across: number;
  readonly up: number;
}

/** How far a supercell may be from what is asked. */
const RULING_ERROR = 0.002;
const ANGLE_ERROR_DEGREES = 0.04;
/** Tone steps that the whole must have: four to each tone of a plate. */
const LEAST_PIXELS = 1024;
const MOST_CELLS = 400;

/** The smallest supercell that holds ruling (lines an inch) and angle (degrees anticlockwise) at a resolution (dots an inch). */
export function supercellFor(dpi: number, rulingLpi: number, angleDegrees: number): Supercell {
  const pitch = dpi / rulingLpi;
  const angle = (angleDegrees * Math.PI) / 180;
  let best: Supercell | undefined;
  let leastError = Number.POSITIVE_INFINITY;
  for (let cells = 1; cells <= MOST_CELLS; cells++) {
    const across = Math.round(cells * pitch * Math.cos(angle));
    const up = Math.round(cells * pitch * Math.sin(angle));
    if (across === 0 && up === 0) continue;
    const candidate = { cells, across, up };
    const { ruling, angleOff } = errorsOf(candidate, dpi, rulingLpi, angleDegrees);
    const error = Math.max(ruling / RULING_ERROR, angleOff / ANGLE_ERROR_DEGREES);
    if (across ** 2 + up ** 2 < LEAST_PIXELS) continue;
    if (error <= 1) return candidate;
    if (error < leastError) [best, leastError] = [candidate, error];
  }
  if (!best) throw new RangeError(`no cell of ${rulingLpi} lpi can be made at ${dpi} dpi`);
  return best;
}

/** The ruling that a supercell has, in lines an inch at `dpi`. */
export function rulingOf({ cells, across, up }: Supercell, dpi: number): number {
  return (dpi * cells) / Math.hypot(across, up);
}

/** Degrees anticlockwise from the horizontal. */
export function angleOf({ across, up }: Supercell): number {
  return (Math.atan2(up, across) * 180) / Math.PI;
}

function errorsOf(cell: Supercell, dpi: number, rulingLpi: number, angleDegrees: number) {
  const turn = Math.abs(angleOf(cell) - angleDegrees) % 360;
  return {
    ruling: Math.abs(rulingOf(cell, dpi) / rulingLpi - 1),
    angleOff: Math.min(turn, 360 - turn),
  };
}
