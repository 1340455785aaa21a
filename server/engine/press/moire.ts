import { memo } from "../memo.ts";
import { MM_PER_INCH } from "../units.ts";
import { AREAS, type DotScreen, dotWaves, HARMONICS } from "./dot-waves.ts";
import { rowMm } from "./dots.ts";

/**
 * A slow pattern that two gratings make together: each pair of their waves beats at the difference of its wave vectors.
 *
 * Source: the theory of superposed gratings (Amidror, The Theory of the Moiré Phenomenon, 2000, from memory).
 */
export interface Moire {
  /** Infinity where nothing beats, or the two fall in step. */
  readonly periodMm: number;
  /** Area 0–1 by which tones go up and down at most. */
  readonly strength: number;
}

/** A beat that moves tones by less is not seen, one of less than `FAINT` only over more rows: common practice, no source. */
const FAINTEST = 0.01;
const FAINT = 0.02;

/**
 * A mesh's waves, along and on the diagonal, and their share of its open area: openings of 0.6 of the pitch, as in the
 * middle of mesh makers' tables, give sin(0.6 π) / 0.6 π and its square. Those across beat alike: the dots' waves are
 * the same after a quarter turn, or nearly.
 */
const THREADS = Math.sin(0.6 * Math.PI) / (0.6 * Math.PI);
const MESH_WAVES = [
  [1, 0, THREADS],
  [0, 1, THREADS],
  [1, 1, THREADS ** 2],
  [1, -1, THREADS ** 2],
] as const;

/** Rules ask for the same few with every keystroke, and try some dozens of angles where something beats. */
const MOIRES_KEPT = 4096;

/**
 * The beat that is seen best, by its period, between a plain-woven mesh, threads at 0° and 90°, and a dot screen. Ink that flows together makes it weaker than its strength says.
 */
export const coarsestMoire = memo(MOIRES_KEPT, (meshPerInch: number, screen: DotScreen): Moire => {
  const waves = dotWaves(screen.dot);
  let coarsest: Moire = NO_MOIRE;
  for (const [i, j] of ALL_WAVES) {
    const amplitude = 2 * waves.most(i, j);
    if (amplitude * THREADS < FAINTEST) continue;
    const [x, y] = waveOf(screen, i, j);
    for (const [mx, my, share] of MESH_WAVES) {
      const strength = amplitude * share;
      if (strength < FAINTEST) continue;
      const periodMm = periodOf(x - mx * meshPerInch, y - my * meshPerInch);
      if (periodMm === Number.POSITIVE_INFINITY) return { periodMm, strength };
      const here = { periodMm, strength };
      if (seenOver(here) > seenOver(coarsest)) coarsest = here;
    }
  }
  return coarsest;
});

const NO_MOIRE: Moire = { periodMm: 0, strength: 0 };

/**
 * Rows of dots that a beat must span before it is seen as a pattern of its own. Mesh makers call 2.5, 3.75 and 5
 * threads to a row at 22.5° safe; their slowest beats span up to 3.2 rows, so what is slower than this is not.
 */
const VISIBLE_ROWS = 3.3;

/** Whether a moiré is coarse enough to be seen, at a ruling in lines an inch. */
export function isVisible(moire: Moire, rulingLpi: number): boolean {
  return seenOver(moire) > VISIBLE_ROWS * rowMm(rulingLpi);
}

/** The period that counts: a faint beat must be twice as slow to be seen. */
function seenOver({ periodMm, strength }: Moire): number {
  return strength < FAINT ? periodMm / 2 : periodMm;
}

/** Two waves, one of each of two screens, that beat slowly enough to be seen. */
interface Beat {
  readonly first: readonly [i: number, j: number];
  readonly second: readonly [i: number, j: number];
  readonly periodMm: number;
}

/**
 * The beats of two plates: where their dots fall upon and beside one another in turn, so that the area that both print
 * goes up and down. What falls in step over `withinMm`, a size of the print, does not go up and down in it.
 */
export class PlateBeats {
  readonly #a: DotScreen;
  readonly #b: DotScreen;
  readonly #beats: readonly Beat[];

  constructor(a: DotScreen, b: DotScreen, withinMm: number) {
    this.#a = a;
    this.#b = b;
    const least = VISIBLE_ROWS * rowMm(Math.min(a.rulingLpi, b.rulingLpi));
    // A quarter of a beat takes dots from half to wholly upon one another.
    const most = 4 * withinMm;
    const [first, second] = [strongWaves(a), strongWaves(b)];
    const found: Beat[] = [];
    for (const p of first) {
      // Of a wave and its opposite one is enough.
      if (p.i < 0 || (p.i === 0 && p.j < 0)) continue;
      for (const q of second) {
        const periodMm = periodOf(p.x - q.x, p.y - q.y);
        if (periodMm <= least || periodMm > most) continue;
        found.push({ first: [p.i, p.j], second: [q.i, q.j], periodMm });
      }
    }
    this.#beats = found;
  }

  /** The strongest beat's period, and how far the area that both print goes up and down, for parts of 0–1 as dots' waves have them. */
  of(partA: number, partB: number): Moire {
    const [a, b] = [dotWaves(this.#a.dot), dotWaves(this.#b.dot)];
    let strength = 0;
    let strongest = 0;
    let periodMm = Number.POSITIVE_INFINITY;
    for (const { first, second, periodMm: period } of this.#beats) {
      const here = 2 * a.at(...first, partA) * b.at(...second, partB);
      if (here < FAINTEST) continue;
      strength += here;
      // Of two of like strength the slower.
      if (here > strongest * 1.01 || (here > strongest * 0.99 && period > periodMm)) {
        strongest = Math.max(strongest, here);
        periodMm = period;
      }
    }
    return { periodMm, strength };
  }

  /** The same at the areas where it is strongest. */
  get worst(): Moire {
    let worst: Moire = { periodMm: Number.POSITIVE_INFINITY, strength: 0 };
    for (let p = 0; p < AREAS; p++)
      for (let q = 0; q < AREAS; q++) {
        const here = this.of(p, q);
        if (here.strength > worst.strength) worst = here;
      }
    return worst;
  }
}

/** The strongest beat of two plates, at whatever areas; see `PlateBeats`. */
export const strongestBeat = memo(
  MOIRES_KEPT,
  (a: DotScreen, b: DotScreen, withinMm: number): Moire => new PlateBeats(a, b, withinMm).worst,
);

/** Whether a moiré of two plates is too faint to be seen in any inks. */
export function isFaint({ strength }: Moire): boolean {
  return strength < FAINTEST;
}

/** Amplitude, as area, under which a plate's wave beats with no other's. */
const WEAK_WAVE = 0.02;

function strongWaves(screen: DotScreen) {
  const waves = dotWaves(screen.dot);
  return ALL_WAVES.flatMap(([i, j]) => {
    if (waves.most(i, j) < WEAK_WAVE) return [];
    const [x, y] = waveOf(screen, i, j);
    return [{ i, j, x, y }];
  });
}

const ALL_WAVES: readonly (readonly [i: number, j: number])[] = Array.from(
  { length: (2 * HARMONICS + 1) ** 2 },
  (_, k) => [(k % (2 * HARMONICS + 1)) - HARMONICS, Math.floor(k / (2 * HARMONICS + 1)) - HARMONICS] as const,
).filter(([i, j]) => i !== 0 || j !== 0);

/** Wave vector of a harmonic, in lines an inch. */
function waveOf({ rulingLpi, angle }: DotScreen, i: number, j: number): [x: number, y: number] {
  const cos = Math.cos((angle * Math.PI) / 180);
  const sin = Math.sin((angle * Math.PI) / 180);
  return [rulingLpi * (i * cos - j * sin), rulingLpi * (i * sin + j * cos)];
}

function periodOf(x: number, y: number): number {
  const perInch = Math.hypot(x, y);
  return perInch < 1e-4 ? Number.POSITIVE_INFINITY : MM_PER_INCH / perInch;
}
