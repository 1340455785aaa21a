import { inkOnGarment } from "../engine/press/ink-use.ts";
import { inkVolume } from "../engine/press/mesh.ts";
import type { Ink } from "../language/inks.ts";
import type { Mesh, Plate } from "../language/recipe.ts";
import { filmCurve } from "./film-curve.ts";
import type { Print } from "./print.ts";

/** What one plate takes of its ink; undefined where its mesh's figures are not known. */
export interface PlateInk {
  readonly plate: string;
  readonly grams: number | undefined;
}

/** What is needed of one ink. */
export interface InkNeed {
  readonly ink: string;
  readonly plates: readonly string[];
  /** Undefined where a mesh's figures are not known, as are the grams. */
  readonly cm3: number | undefined;
  readonly grams: number | undefined;
  /** g/cm³. */
  readonly density: number;
  /** Whether nobody said the density, so that the usual one is taken. */
  readonly assumed: boolean;
  /** What it is mixed of: grams, undefined as above; empty where nobody says. */
  readonly mix: readonly {
    readonly of: string;
    readonly parts: number;
    readonly grams: number | undefined;
  }[];
}

/** An example in a supplier's text on ink use (2011) of a plastisol; for others common practice, no source. */
const PLASTISOL_DENSITY = 1.44;
const OTHER_DENSITY = 1.1;

export function densityOf({ density, kind }: Ink): number {
  return density ?? (kind === undefined || kind === "plastisol" ? PLASTISOL_DENSITY : OTHER_DENSITY);
}

/** What so many garments take of each ink, printed with these plates, by the films that these become; spoilage included. */
export function inkNeeds(print: Print, plates: readonly string[], garments: number): InkNeed[] {
  const { recipe } = print;
  const byInk = new Map<string, Plate[]>();
  for (const name of plates) {
    const plate = recipe.plates.get(name)!;
    byInk.set(plate.ink, [...(byInk.get(plate.ink) ?? []), plate]);
  }
  const printed = garments * (1 + recipe.inkUse.spoilage);
  return [...byInk].map(([name, own]) => {
    const ink = recipe.inks.get(name)!;
    const laid = own.map((plate) => inkOfPlate(print, plate));
    const cm3 = laid.every((one) => one !== undefined)
      ? laid.reduce((sum, one) => sum + one * printed, 0)
      : undefined;
    return needOf(
      name,
      own.map((plate) => plate.name),
      ink,
      cm3,
    );
  });
}

/** The same plate by plate. */
export function inkByPlate(print: Print, plates: readonly string[], garments: number): PlateInk[] {
  const { recipe } = print;
  return plates.map((name) => {
    const plate = recipe.plates.get(name)!;
    const cm3 = inkOfPlate(print, plate);
    const whole = garments * (1 + recipe.inkUse.spoilage);
    return {
      plate: name,
      grams: cm3 === undefined ? undefined : cm3 * whole * densityOf(recipe.inks.get(plate.ink)!),
    };
  });
}

/** One need for each ink of several prints. */
export function addedUp(needs: readonly InkNeed[], inks: ReadonlyMap<string, Ink>): InkNeed[] {
  return [...new Set(needs.map(({ ink }) => ink))].map((name) => {
    const own = needs.filter(({ ink }) => ink === name);
    const cm3 = own.every((need) => need.cm3 !== undefined)
      ? own.reduce((sum, need) => sum + need.cm3!, 0)
      : undefined;
    return needOf(name, [...new Set(own.flatMap(({ plates }) => plates))], inks.get(name)!, cm3);
  });
}

function needOf(ink: string, plates: string[], known: Ink, cm3: number | undefined): InkNeed {
  const density = densityOf(known);
  const grams = cm3 === undefined ? undefined : cm3 * density;
  const parts = [...(known.mix ?? [])];
  const whole = parts.reduce((sum, [, part]) => sum + part, 0);
  return {
    ink,
    plates,
    cm3,
    grams,
    density,
    assumed: known.density === undefined,
    mix: parts.map(([of, part]) => ({
      of,
      parts: part,
      grams: grams === undefined ? undefined : (grams * part) / whole,
    })),
  };
}

/** cm³ on one garment; undefined where the mesh's figures are not known. */
function inkOfPlate(print: Print, plate: Plate): number | undefined {
  const { recipe } = print;
  const volume = volumeOf(plate.mesh === undefined ? undefined : recipe.meshes.get(plate.mesh));
  if (volume === undefined) return undefined;
  return inkOnGarment({
    filmCm2: filmShare(print, plate) * printCm2(print),
    volume,
    hits: plate.hits,
    transfer: recipe.inkUse.transfer,
  });
}

/** Share 0–1 of the print that is ink on the plate's film: its tones, compensated for dot gain. */
export function filmShare(print: Print, plate: Plate): number {
  const { histogram } = print.plates.get(plate.name)!;
  const film = filmCurve(print.recipe, plate);
  let sum = 0;
  for (let tone = 1; tone < 256; tone++) sum += film[tone]! * histogram[tone]!;
  return sum / print.pixels;
}

/** Area of the whole print. */
export function printCm2({ recipe, artwork }: Print): number {
  return (recipe.artwork.widthMm * artwork.info.heightMm) / 100;
}

/** Theoretical ink volume in cm³/m², where the table's figures are known. */
export function volumeOf(mesh: Mesh | undefined): number | undefined {
  const { openingMm, threadMm, thicknessMm } = mesh ?? {};
  if (openingMm === undefined || threadMm === undefined || thicknessMm === undefined) return undefined;
  return inkVolume({ opening: openingMm, thread: threadMm, thickness: thicknessMm });
}
