import { rowMm } from "./dots.ts";

/** A slow pattern that two gratings make together. */
export interface Moire {
  /** In mm; Infinity where the two fall in step. */
  readonly periodMm: number;
}

/** Dot screens have little left in harmonics beyond this many times their ruling. */
const HIGHEST_DOT_HARMONIC = 5.2;
/** The weave's diagonal is weak, and so are high harmonics: together they are not seen. */
const HIGHEST_WITH_DIAGONAL = 4;

/**
 * The slowest beat between a plain-woven mesh, threads at 0° and 90°, and a dot screen. Both are sums of plane
 * waves: the mesh of its thread count along and across and of the weave's diagonal, the dots of all whole
 * combinations of their two rows. Each pair of waves beats at the difference of its wave vectors.
 *
 * Source: the theory of superposed gratings (Amidror, The Theory of the Moiré Phenomenon, 2000, from memory).
 */
export function coarsestMoire(meshPerInch: number, rulingLpi: number, angleDegrees: number): Moire {
  const cos = Math.cos((angleDegrees * Math.PI) / 180);
  const sin = Math.sin((angleDegrees * Math.PI) / 180);
  const ratio = meshPerInch / rulingLpi;
  const reach = Math.floor(HIGHEST_DOT_HARMONIC);
  let least = Number.POSITIVE_INFINITY;
  for (const [mx, my, highest] of MESH_WAVES) {
    for (let i = -reach; i <= reach; i++) {
      for (let j = -reach; j <= reach; j++) {
        const harmonic = Math.hypot(i, j);
        if (harmonic === 0 || harmonic > highest) continue;
        const x = i * cos - j * sin - mx * ratio;
        const y = i * sin + j * cos - my * ratio;
        least = Math.min(least, Math.hypot(x, y));
      }
    }
  }
  return { periodMm: least < 1e-6 ? Number.POSITIVE_INFINITY : rowMm(rulingLpi) / least };
}

/** Those across them, a quarter turn on, beat alike: the dots' waves are the same after it. */
const MESH_WAVES: readonly (readonly [x: number, y: number, highest: number])[] = [
  [1, 0, HIGHEST_DOT_HARMONIC],
  [1, 1, HIGHEST_WITH_DIAGONAL],
];

/**
 * Rows of dots that a beat must span before it is seen as a pattern of its own. Mesh makers call 2.5, 3.75 and 5
 * threads to a row at 22.5° safe; their slowest beats span up to 3.2 rows, so what is slower than this is not.
 */
export const VISIBLE_ROWS = 3.3;

/** Whether a moiré is coarse enough to be seen, at a ruling in lines an inch. */
export function isVisible({ periodMm }: Moire, rulingLpi: number): boolean {
  return periodMm > VISIBLE_ROWS * rowMm(rulingLpi);
}
