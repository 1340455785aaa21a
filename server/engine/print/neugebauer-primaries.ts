import type { LinearRgb } from "../colour/cielab.ts";
import { linearOfBands, type MixingBands } from "./bands.ts";
import type { DotLattice } from "./dot-lattices.ts";
import { power, root } from "./halftone.ts";
import { type Film, printOver } from "./ink-film.ts";
import { eachRing } from "./nesting.ts";
import { BANDS, type Spectrum } from "./observer.ts";

/**
 * Neugebauer's primaries: every overprint of k solid films on a substrate, in print order. `table[3 · mask…]` holds the
 * three mixing bands, each as its n-th root, of the films whose bits are set in `mask`; film 0 prints first. A film that
 * discharges lies on `discharged` where it is the first on the garment.
 */
export function neugebauerPrimaries(
  substrate: Spectrum,
  films: readonly Film[],
  bands: MixingBands,
  n: number,
  discharged: Spectrum = substrate,
): Float32Array {
  const table = new Float32Array(3 * 2 ** films.length);
  // One spectrum a depth is enough: an overprint differs from its parent by one film.
  const spectra = films.map(() => new Float64Array(BANDS));
  const visit = (next: number, mask: number, R: Spectrum): void => {
    if (next === films.length) {
      bands.write(R, table, 3 * mask);
      return;
    }
    visit(next + 1, mask, R);
    const printed = spectra[next]!;
    const film = films[next]!;
    printOver(film, mask === 0 && film.discharges ? discharged : R, printed);
    visit(next + 1, mask | (1 << next), printed);
  };
  visit(0, 0, substrate);
  if (n !== 1) for (let i = 0; i < table.length; i++) table[i] = root(table[i]!, n);
  return table;
}

/**
 * The full form, without a table: the sum over every overprint of the films that are present, weighed by Demichel
 * within each ring of the lattices' dots. Linear sRGB, not clipped. For checks, and for more stations than a table can
 * hold; 2^k work for k halftones, in each ring.
 */
export function mixInFull(
  substrate: Spectrum,
  films: readonly Film[],
  areas: ArrayLike<number>,
  bands: MixingBands,
  n: number,
  lattices: readonly DotLattice[] = [],
  discharged: Spectrum = substrate,
): LinearRgb {
  const sum = [0, 0, 0];
  const primary = new Float64Array(3);
  const visit = (next: number, weight: number, R: Spectrum, within: ArrayLike<number>): void => {
    let i = next;
    while (i < films.length && within[i]! <= 0) i++;
    if (i === films.length) {
      bands.write(R, primary, 0);
      for (let band = 0; band < 3; band++) sum[band]! += weight * root(primary[band]!, n);
      return;
    }
    const a = Math.min(1, within[i]!);
    if (a < 1) visit(i + 1, weight * (1 - a), R, within);
    const printed = new Float64Array(BANDS);
    const film = films[i]!;
    printOver(film, R === substrate && film.discharges ? discharged : R, printed);
    visit(i + 1, weight * a, printed, within);
  };
  eachRing(areas, lattices, (weight, within) => visit(0, weight, substrate, within));
  const [x, y, z] = sum.map((v) => power(v, n)) as [number, number, number];
  return linearOfBands(bands, x, y, z);
}
