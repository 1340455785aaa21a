import type { SquareRow } from "./grid.ts";
import type { Palette } from "./palette.ts";

/**
 * Error diffusion over squares: each gets the ink that is nearest in CIELAB, and what that has too much or too little
 * goes to its neighbours, 7, 3, 5 and 1 sixteenths (Floyd and Steinberg, 1976), every other row from right to left. The
 * error is carried in light, since eyes and prints mix light: means hold. Rows come in order from the top.
 */
export class SquareDiffusion {
  readonly #palette: Palette;
  readonly #across: number;
  #errors: Float64Array;

  constructor(palette: Palette, across: number) {
    this.#palette = palette;
    this.#across = across;
    this.#errors = new Float64Array(3 * (across + 2));
  }

  /** Writes the number of each square's colour. */
  row({ light, cover }: SquareRow, row: number, out: Uint8Array): void {
    const palette = this.#palette;
    const across = this.#across;
    const here = this.#errors;
    const next = new Float64Array(here.length);
    const back = row % 2 === 1;
    const step = back ? -3 : 3;
    const wanted = new Float64Array(3);
    for (let k = 0; k < across; k++) {
      const square = back ? across - 1 - k : k;
      const covered = cover[square]!;
      if (covered === 0) {
        // What is clear in the artwork never prints, and takes no error in; an ink's own colour neither.
        out[square] = 0;
        continue;
      }
      const own = 3 * square;
      const same = covered < 1 ? -1 : palette.same(light[own]!, light[own + 1]!, light[own + 2]!);
      if (same >= 0) {
        out[square] = same;
        continue;
      }
      const at = own + 3;
      for (let c = 0; c < 3; c++) {
        const seen = covered * light[own + c]! + (1 - covered) * palette.light[c]!;
        wanted[c] = palette.within(seen + here[at + c]!, c);
      }
      const chosen = palette.nearest(wanted[0]!, wanted[1]!, wanted[2]!);
      out[square] = chosen;
      for (let c = 0; c < 3; c++) {
        const error = wanted[c]! - palette.light[3 * chosen + c]!;
        here[at + step + c]! += (error * 7) / 16;
        next[at - step + c]! += (error * 3) / 16;
        next[at + c]! += (error * 5) / 16;
        next[at + step + c]! += error / 16;
      }
    }
    this.#errors = next;
  }
}
