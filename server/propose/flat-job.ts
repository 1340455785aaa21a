import { deltaE00 } from "../engine/colour/ciede2000.ts";
import type { Lab } from "../engine/colour/cielab.ts";
import { hexOf } from "../engine/inspect/colour-groups.ts";
import { colourOf } from "../engine/print/ink-film.ts";
import { mixedInk, WHITE_INK } from "../engine/propose/candidates.ts";
import type { FlatColour } from "../engine/propose/flat.ts";
import { type Candidate, printOrder } from "../engine/propose/trial.ts";
import type * as Formats from "../language/generated/formats.ts";
import { percentage } from "../language/words.ts";
import type { Look } from "./artwork.ts";
import { hardColours } from "./hard-colours.ts";
import { type ColourPlate, type GarmentColour, hexOfLab, isLight, isSeen } from "./job.ts";

/** ΔE00 up to which an ink in the library does for a flat colour. Common practice, no source. */
const NEAR_ENOUGH = 8;

export interface FlatJob {
  readonly plates: readonly ColourPlate[];
  /** What the underbase leaves out: colours of the garment. */
  readonly bare: readonly Formats.Extraction[];
  readonly notes: readonly string[];
  /** Whether colours of the garment print: all are wanted, or there are no others. */
  readonly onOwnColour: boolean;
}

/** One solid plate for each flat colour; unless `all` are wanted, for those that are not the garment's own already. */
export function flatJob(
  { flat = [] }: Look,
  garments: readonly GarmentColour[],
  shelf: readonly Candidate[],
  all: boolean,
): FlatJob {
  const notes = hardColours(flat, garments);
  const printed = all ? flat : flat.filter(({ lab }) => isSeen(lab, garments));
  // Art of the garment's own colour alone: what little shows of it, prints.
  const plates = printed.length > 0 ? printed : flat;
  const silent = flat.filter((colour) => !plates.includes(colour));
  const inks = inksFor(plates, garments, shelf);
  const made = plates.map((colour, i): ColourPlate & { readonly onTop: boolean | undefined } => {
    const { ink, far } = inks[i]!;
    if (far !== undefined) notes.push(far);
    const extract: Formats.Extraction = areaOf(colour);
    return {
      ink,
      onTop: ink.onTop,
      extract,
      comment: `${percent(colour.share)} of the artwork, solid${far === undefined ? "" : "; no ink in the ink library is near"}.`,
    };
  });
  const order = printOrder(
    made.map((plate) => plate.ink),
    true,
  );
  return {
    plates: order.map((ink) => made.find((plate) => plate.ink === ink)!),
    bare: silent.map(areaOf),
    notes,
    onOwnColour: all || printed.length === 0,
  };
}

/** The areas of one colour; all others are further away than that. */
function areaOf({ rgb }: FlatColour): Formats.Extraction {
  return { near: hexOf(rgb), within: 1 };
}

/** The ink library's nearest ink for each colour, each but once; else one to be mixed. */
function inksFor(
  colours: readonly FlatColour[],
  garments: readonly GarmentColour[],
  shelf: readonly Candidate[],
): { ink: Candidate; far: string | undefined }[] {
  const taken = new Set<Candidate>();
  const dark = garments.some((garment) => !isLight(garment));
  return colours.map(({ lab }) => {
    const nearest = shelf
      .filter((ink) => !taken.has(ink))
      .map((ink) => ({ ink, d: far(lab, colourOf(ink.film)) }))
      .sort((x, y) => x.d - y.d)[0];
    const fits = nearest !== undefined && nearest.d <= NEAR_ENOUGH;
    if (fits) taken.add(nearest.ink);
    const isWhite = far(lab, colourOf(WHITE_INK.film)) <= NEAR_ENOUGH / 2;
    const ink = fits ? nearest.ink : isWhite ? WHITE_INK : mixedInk(lab);
    const said =
      fits || shelf.length === 0
        ? undefined
        : `no ink in the ink library prints ${hexOfLab(lab)}${nearest ? `; ${nearest.ink.name} is nearest, ${nearest.d.toFixed(0)} ΔE00 away` : ""}: have it mixed`;
    // White over a flashed white underbase is a highlight; a film of its own keeps it apart from the base.
    return { ink: isWhite && dark ? { ...ink, onTop: true } : { ...ink }, far: said };
  });
}

function far(p: Lab, q: Lab): number {
  return deltaE00(p.L, p.a, p.b, q.L, q.a, q.b);
}

function percent(share: number): string {
  return share < 0.01 ? "Under 1 %" : percentage(share);
}
