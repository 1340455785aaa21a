import type { PreparationPlan } from "../plan.ts";
import type { Areas, Picture } from "../raster.ts";
import { inkOfEachSquare } from "../squares/squares.ts";
import { keepHairlines } from "./hairlines.ts";
import { type Labels, labelAreas } from "./label.ts";
import { type Cut, cutPage, cutTones } from "./page.ts";
import type { Rgb } from "./planes.ts";
import { sharpen } from "./sharpen.ts";
import { smoothed } from "./smooth.ts";
import { tidy } from "./tidy.ts";

/** A picture made ready for its plates. */
export interface Prepared {
  readonly picture: Picture;
  /** Undefined where no background is cut. */
  readonly cut: Cut | undefined;
}

/** Largest difference of a byte at which the background is one of the flat colours. */
const SAME = 6;

/** Before stage 1: what `cleared` does, and the squares of an index separation. */
export function prepare(picture: Picture, pixelsPerMm: number, plan: PreparationPlan): Prepared {
  const ready = cleared(picture, pixelsPerMm, plan);
  if (!plan.index) return ready;
  const squares = inkOfEachSquare(ready.picture, plan.index);
  return { ...ready, picture: { ...ready.picture, squares } };
}

/**
 * Takes the background out and, in flat art, gives every pixel to the areas it lies in. Needs the whole
 * picture, since a background is what can be reached from the border. The picture keeps its own colours, to be looked
 * at and compared with; what is cut is clear in it.
 */
function cleared(
  picture: Picture,
  pixelsPerMm: number,
  { background, flat, smooth }: PreparationPlan,
): Prepared {
  if (!flat) {
    const calm = smooth ? smoothed(picture, smooth) : picture;
    return background ? cutTones(calm, background) : { picture: calm, cut: undefined };
  }
  const colours = [...flat.colours];
  let page = -1;
  if (background) {
    page = colours.findIndex((rgb) => rgb.every((v, c) => Math.abs(v - background.rgb[c]!) <= SAME));
    if (page < 0) page = colours.push(background.rgb) - 1;
  }
  const labels = labelAreas(picture, colours);
  tidy(picture, labels, colours, pixelsPerMm, flat.speckMm);
  sharpen(labels);
  keepHairlines(labels);
  const clear = colours.length;
  const cut = background && cutPage(labels, page, clear, background.enclosed);
  const { width, height } = picture;
  const data = shownOf(picture, labels, colours, cut);
  return { picture: { width, height, data, areas: areasOf(labels, colours) }, cut };
}

function areasOf({ first, second, share }: Labels, colours: readonly Rgb[]): Areas {
  const data = new Uint8Array((colours.length + 1) * 4);
  for (const [k, rgb] of colours.entries()) data.set([...rgb, 255], k * 4);
  return { colours: data, first, second, share };
}

/** The picture with what is cut clear; where it was mixed into an edge, the edge has its area's own colour. */
function shownOf(
  { data }: Picture,
  { first, second, share }: Labels,
  colours: readonly Rgb[],
  cut: Cut | undefined,
): Uint8Array {
  const clear = colours.length;
  const out = data.slice();
  for (let i = 0; i < first.length; i++) {
    const [a, b] = [first[i]!, second[i]!];
    if (cut?.lacking[i] === 1) continue;
    if (a !== clear && b !== clear) continue;
    const covered = a === clear ? (b === clear ? 0 : 255 - share[i]!) : b === clear ? share[i]! : 255;
    out[i * 4 + 3] = Math.min(covered, data[i * 4 + 3]!);
    const colour = colours[a === clear ? b : a];
    if (colour && a !== b) out.set(colour, i * 4);
  }
  return out;
}
