/**
 * A round brush for choke and spread: for each row offset dy = 0…rows−1 (rows below are the mirror image) how far
 * it covers fully, and by how much of a tone the pixels just beyond weigh in.
 *
 * A pixel at distance d from the centre counts fully up to d = radius and not at all from radius + 1 on; in
 * between its tone is moved by d − radius. So an edge moves by the true distance in every direction, by fractions
 * of a pixel too, and because choke and spread use the same brush, a choke followed by a spread can never grow
 * a shape (the two are adjoint: Serra, Image Analysis and Mathematical Morphology, 1982, from memory).
 */
export interface Disc {
  readonly rows: number;
  /** Half width of the fully covered run in each row; −1 where none is. */
  readonly full: Int32Array;
  /** Partly covered pixels of each row: offsets dx ≥ 0 and the tone, 1–254, that each adds. */
  readonly rim: readonly (readonly { readonly dx: number; readonly adds: number }[])[];
}

/** `radius` in pixels, 0 or more. */
export function disc(radius: number): Disc {
  // A dy of radius + 1 or more adds a whole tone and changes nothing.
  const rows = Math.ceil(radius + 1);
  const full = new Int32Array(rows);
  const rim: { dx: number; adds: number }[][] = [];
  for (let dy = 0; dy < rows; dy++) {
    full[dy] = dy <= radius ? Math.floor(Math.sqrt(radius * radius - dy * dy)) : -1;
    const row: { dx: number; adds: number }[] = [];
    for (let dx = full[dy]! + 1; ; dx++) {
      const adds = Math.round(255 * (Math.sqrt(dx * dx + dy * dy) - radius));
      if (adds >= 255) break;
      row.push({ dx, adds });
    }
    rim.push(row);
  }
  return { rows, full, rim };
}
