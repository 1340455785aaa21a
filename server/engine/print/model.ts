import type { LinearRgb } from "../colour/cielab.ts";
import { byteFromLinear } from "../colour/srgb.ts";
import { memo } from "../memo.ts";
import type { Screening } from "../screen/halftone.ts";
import { mixingBands } from "./bands.ts";
import { type DotLattice, dotLattices } from "./dot-lattices.ts";
import { areaTable, type DotGain } from "./gain.ts";
import { type FabricColour, filmOf, type InkFilm, substrateOf } from "./ink-film.ts";
import { mixInFull, neugebauerPrimaries } from "./neugebauer-primaries.ts";
import { type PrintPixels, pixelPrinter } from "./pixels.ts";
import { areaOfToneValue } from "./tone-value.ts";

/** One station that prints. Wet-on-wet or after a flash, a film lies on the films before it: the rules are the same. */
export interface Station {
  readonly ink: InkFilm;
  /** How tones on film grow in print; without it they do not. */
  readonly gain?: DotGain | undefined;
  /** How its tones become dots: dots of one lattice nest. Without it they fall independently of all others. */
  readonly screen?: Screening | undefined;
}

/** What stations print on, and how. */
export interface PrintConditions {
  readonly garment: FabricColour;
  /** Yule–Nielsen's n; 1 mixes by area alone. */
  readonly n: number;
  /** Whether films are compensated for dot gain. */
  readonly compensated: boolean;
  /** The film's smallest dot, tone 0–1. */
  readonly smallestDot: number;
  /** Largest distance between two plates in print, in millimetres; without it none. */
  readonly misregistrationMm?: number | undefined;
}

/** What the press is expected to give. One forward model serves proof, solver, measurements and panel, so that they agree. */
export interface PrintModel {
  /**
   * Prints the plates, one a station in print order, a byte a pixel, 255 = solid. Writes pixels `start` up to `end` as
   * 8-bit sRGB to `out` from its beginning, three bytes a pixel, or four, of which the last is 255.
   */
  readonly print: PrintPixels;
  /** The full form, for one set of printed areas 0–1; linear sRGB, not clipped. */
  colour(areas: ArrayLike<number>): LinearRgb;
  /** Printed area of each plate tone, 256 numbers a station. */
  readonly areas: readonly Float32Array[];
  /** The overprints (`neugebauerPrimaries`), or undefined where there are too many stations for a table. */
  readonly table: Float32Array | undefined;
  /** Stations whose dots nest. */
  readonly lattices: readonly DotLattice[];
}

/** Stations whose overprints are tabled: 16,384 of them take 200 kB and a few milliseconds. */
export const MOST_TABLED = 14;

/**
 * Makes a print ready: films, their overprints, tone tables. Costs milliseconds, mostly once an ink, so an edited ink
 * is cheap; `PrintModel.print` then allocates nothing that grows with the picture.
 */
export function preparePrint(conditions: PrintConditions, stations: readonly Station[]): PrintModel {
  const { garment, n, compensated, smallestDot } = conditions;
  const bands = mixingBands(n);
  const { ground, discharged } = keptGround(garment);
  const films = stations.map(({ ink }) => keptFilm(ink));
  const areas = stations.map(({ ink, gain }) => {
    // Only tone values that are no areas hang on the ink.
    const isArea = !gain || gain.areas || (n === 1 && gain.toneValue !== "spot-colour");
    return keptAreas({ gain, compensated, smallestDot, ...(isArea ? {} : { on: { ink, n } }) });
  });
  const table =
    films.length <= MOST_TABLED ? neugebauerPrimaries(ground, films, bands, n, discharged) : undefined;
  const lattices = dotLattices(
    stations.map(({ screen }) => screen),
    conditions.misregistrationMm ?? 0,
  );
  const colour = (at: ArrayLike<number>) => mixInFull(ground, films, at, bands, n, lattices, discharged);
  return {
    areas,
    table,
    lattices,
    colour,
    print: table ? pixelPrinter({ table, areas, lattices, bands, n }) : inFull(colour, areas),
  };
}

/** Inks, garments and gains of a job with those tried beside them. */
const KEPT = 256;

const keptFilm = memo(KEPT, filmOf);
const keptGround = memo(KEPT, (garment: FabricColour) => {
  const ground = substrateOf(garment);
  return { ground, discharged: garment.discharged ? substrateOf(garment.discharged) : ground };
});
/** One table for stations that grow alike, by which others know them. */
const keptAreas = memo(KEPT, ({ gain, compensated, smallestDot, on }: Growth) => {
  if (!on) return areaTable(gain, compensated, smallestDot);
  const meant = gain?.toneValue ?? "murray-davies";
  const areaOf = areaOfToneValue(keptFilm(on.ink), mixingBands(on.n), on.n, meant);
  return areaTable(gain, compensated, smallestDot, areaOf);
});
type Growth = Pick<Station, "gain"> &
  Pick<PrintConditions, "compensated" | "smallestDot"> & {
    readonly on?: { readonly ink: InkFilm; readonly n: number };
  };

/** For more stations than a table can hold. */
function inFull(colour: PrintModel["colour"], areas: readonly Float32Array[]): PrintPixels {
  const here = new Float64Array(areas.length);
  return (plates, start, end, out, pitch = 3) => {
    for (let i = start, o = 0; i < end; i++, o += pitch) {
      if (i > start && plates.every((tones) => tones[i] === tones[i - 1])) {
        out.copyWithin(o, o - pitch, o);
        continue;
      }
      for (let s = 0; s < here.length; s++) here[s] = areas[s]![plates[s]![i]!]!;
      const { r, g, b } = colour(here);
      out[o] = byteFromLinear(r);
      out[o + 1] = byteFromLinear(g);
      out[o + 2] = byteFromLinear(b);
      if (pitch === 4) out[o + 3] = 255;
    }
  };
}
