import { memo } from "../memo.ts";
import type { Screening } from "../screen/halftone.ts";
import type { DotName } from "../screen/spot-functions.ts";
import { MM_PER_INCH } from "../units.ts";
import { DotOverlap, symmetryOf } from "./dot-overlap.ts";

/** Stations whose dots stand on one lattice, two at least, so that they nest as far as the register lets them. */
export interface DotLattice {
  /** Their numbers, rising. */
  readonly stations: readonly number[];
  readonly overlap: DotOverlap;
  readonly dot: DotName;
  /** Standard deviation of a plate's place on each axis, as a share of the pitch. */
  readonly register: number;
}

/**
 * How far the largest distance between two plates is above what is usual: 2.5 standard deviations of the distance, which
 * is √2 times a plate's own. Common practice has one figure a press, and no source for what share of prints keeps it.
 */
const LARGEST = 2.5;

/** Register, as a share of the pitch, from which dots of one lattice fall as chance has it: overlaps are within 0.0001. */
const CHANCE = 0.5;

/** Rulings and angles as near as this are one. */
const SAME = 1e-6;

/** Standard deviation of a plate's place on each axis, in millimetres, where two plates lie at most `misregistrationMm` apart. */
export function registerDeviation(misregistrationMm: number): number {
  return misregistrationMm / (LARGEST * Math.SQRT2);
}

/** Whether two screens stand on one lattice: of one ruling, dot, and angle but for turns that leave the dot as it is. */
export function sameLattice(a: Screening, b: Screening): boolean {
  if (a.method !== "am" || b.method !== "am" || a.dot !== b.dot) return false;
  if (Math.abs(a.rulingLpi / b.rulingLpi - 1) > SAME) return false;
  const turn = symmetryOf(a.dot);
  const off = Math.abs(a.angle - b.angle) % turn;
  return Math.min(off, turn - off) < SAME;
}

/**
 * The lattices that several stations share. Grains, whose masks differ from plate to plate, dots alone on their lattice
 * and plates whose screen is not known fall independently of all others.
 */
export function dotLattices(
  screens: readonly (Screening | undefined)[],
  misregistrationMm: number,
): DotLattice[] {
  const found: { readonly screen: Screening & { method: "am" }; readonly stations: number[] }[] = [];
  for (const [s, screen] of screens.entries()) {
    if (screen?.method !== "am") continue;
    const known = found.find((lattice) => sameLattice(lattice.screen, screen));
    if (known) known.stations.push(s);
    else found.push({ screen, stations: [s] });
  }
  return found.flatMap(({ screen, stations }) => {
    const register = (registerDeviation(misregistrationMm) * screen.rulingLpi) / MM_PER_INCH;
    if (stations.length < 2 || register >= CHANCE) return [];
    return [{ stations, overlap: overlapOf(screen.dot, register), dot: screen.dot, register }];
  });
}

/** Some milliseconds each, and they stay while inks and garments are tried. */
const overlapOf = memo(16, (dot: DotName, register: number) => new DotOverlap(dot, register));
