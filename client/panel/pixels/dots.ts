import type { Tones } from "../../../server/engine/raster.ts";
import { bytesPerRow } from "../../../server/engine/screen/bits.ts";
import { Halftone } from "../../../server/engine/screen/halftone.ts";
import type { JobPlate } from "../../../server/wire/panel.ts";
import { type ProofSpec, printRows } from "./render.ts";

/** A plate's tones as the page holds them, and what turns them into dots. */
export interface DotPlate extends Pick<JobPlate, "screening" | "film"> {
  readonly name: string;
  /** Of its tones, which change in place. */
  readonly key: string | undefined;
  readonly tones: Tones;
}

/** The film's resolution and size in pixels over the whole print. */
export interface FilmSize {
  readonly dpi: number;
  readonly width: number;
  readonly height: number;
}

/** A square of the film around a place. */
export interface LoupeArea {
  readonly x: number;
  readonly y: number;
  readonly side: number;
}

/**
 * The dots that films will have, from the code that makes films. Halftones are kept as long as their plate's tones and
 * screening stay the same.
 */
export class Dots {
  readonly #made = new Map<string, { readonly key: string; readonly halftone: Halftone }>();

  /** The plate's dots within the area, a byte a pixel, 255 = ink; outside of the print there are none. */
  of(plate: DotPlate, width: number, height: number, film: FilmSize, area: LoupeArea): Tones {
    const out = new Uint8Array(area.side * area.side);
    const x0 = Math.max(0, area.x);
    const y0 = Math.max(0, area.y);
    const x1 = Math.min(film.width, area.x + area.side);
    const y1 = Math.min(film.height, area.y + area.side);
    if (x1 <= x0 || y1 <= y0) return out;
    const halftone = this.#halftone(plate, width, height, film);
    const stride = bytesPerRow(x1 - x0);
    const bits = new Uint8Array(stride * (y1 - y0));
    halftone.draw({ x: x0, y: y0, width: x1 - x0, height: y1 - y0 }, bits);
    for (let y = y0; y < y1; y++)
      for (let x = x0; x < x1; x++)
        if ((bits[(y - y0) * stride + ((x - x0) >> 3)]! >> (7 - ((x - x0) & 7))) & 1)
          out[(y - area.y) * area.side + x - area.x] = 255;
    return out;
  }

  #halftone(plate: DotPlate, width: number, height: number, film: FilmSize): Halftone {
    const key = JSON.stringify([plate.key, plate.screening, plate.film, width, height, film]);
    const known = this.#made.get(plate.name);
    if (known?.key === key) return known.halftone;
    const curve = plate.film
      ? Float64Array.from(plate.film)
      : Float64Array.from({ length: 256 }, (_, tone) => tone / 255);
    // A window of error diffusion would need all that lies above it: its dots look like those of the mask.
    const screening =
      plate.screening.method === "diffusion"
        ? { ...plate.screening, method: "fm" as const }
        : plate.screening;
    const halftone = new Halftone(
      { tones: plate.tones, width, height, curve },
      screening,
      film.dpi,
      film.width,
      film.height,
    );
    this.#made.set(plate.name, { key, halftone });
    return halftone;
  }
}

/** Prints the dots of all stations in their inks on the garment into an RGBA picture. */
export function printDots(
  proof: ProofSpec,
  dotsOf: (plate: string) => Tones | undefined,
  rgba: Uint8ClampedArray,
): void {
  const plates = new Map<string, Tones>();
  for (const { plate } of proof.stations) {
    const dots = dotsOf(plate);
    if (dots) plates.set(plate, dots);
  }
  printRows({ plates }, proof, rgba);
}
