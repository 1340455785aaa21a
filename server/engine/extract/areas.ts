import type { Areas, Picture, Tones } from "../raster.ts";

/** The colours of flat art as a picture of one row, which is extracted in the art's place. */
export function coloursOf({ colours }: Areas): Picture {
  return { width: colours.length / 4, height: 1, data: colours };
}

/** Writes a plate's tones, each pixel's out of those of its two colours. `values` has one for each colour. */
export function writeAreas({ first, second, share }: Areas, values: Uint8Array, out: Tones): void {
  for (let i = 0; i < out.length; i++) {
    const [a, b] = [values[first[i]!]!, values[second[i]!]!];
    out[i] = a === b ? a : Math.round((a * share[i]! + b * (255 - share[i]!)) / 255);
  }
}
