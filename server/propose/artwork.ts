import { type Artwork, probeArtwork, readArtwork } from "../artwork/artwork.ts";
import { deltaE00 } from "../engine/colour/ciede2000.ts";
import { type Lab, labFromBytes } from "../engine/colour/cielab.ts";
import { backgroundOf } from "../engine/inspect/background.ts";
import { hexOf } from "../engine/inspect/colour-groups.ts";
import { isGreyscale, picturesColours, type WeightedColour } from "../engine/propose/colours.ts";
import { type FlatColour, flatColours } from "../engine/propose/flat.ts";
import type { Picture } from "../engine/raster.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import { ProposalError, type ProposalRequest } from "./request.ts";
import type { ShopSettings } from "./shop.ts";

/** What is known of the artwork before inks are chosen. */
export interface Look {
  readonly artwork: Artwork;
  readonly widthMm: number;
  /** The picture without what does not print. */
  readonly picture: Picture;
  /** 0 where a pixel does not print. */
  readonly kept: Uint8Array;
  /** Colour of a plain backdrop that is left out. */
  readonly backdrop: { readonly hex: string; readonly lab: Lab } | undefined;
  /** Colour of a plain backdrop that prints. */
  readonly box: string | undefined;
  readonly flat: readonly FlatColour[] | undefined;
  readonly colours: readonly WeightedColour[];
  readonly grey: boolean;
  /** Sentences for the user. */
  readonly notes: readonly string[];
}

/** Enough pixels to choose inks by; of files with pixels more, since fewer would soften flat art's edges. */
const LOOK_PIXELS = { drawing: 500_000, picture: 4_000_000 };
/** Representative colours that inks are tried on. */
const COLOURS = 110;
/** Usual width of a print, and its greatest height where no press says so. Common practice, no source. */
const DEFAULT_WIDTH_MM = 12 * MM_PER_INCH;
const DEFAULT_HEIGHT_MM = 16 * MM_PER_INCH;
const SMALLEST_WIDTH_MM = 2 * MM_PER_INCH;
/** Least ppi of artwork for garments. Common practice, no source (rule artwork-coarse says the same). */
const LEAST_PPI = 150;
/** ΔE00 from a backdrop within which colours are left out with it. */
export const BACKGROUND_WITHIN = 4;
const WHITE: Lab = { L: 100, a: 0, b: 0 };
/** ΔE00 from white, or from the cloth, within which a backdrop is no part of the picture. */
const NO_PART = 8;

export async function lookAt(request: ProposalRequest, floor: ShopSettings): Promise<Look> {
  const { artworkFile, cloths } = request;
  const notes: string[] = [];
  const info = await probeArtwork(artworkFile, { widthMm: DEFAULT_WIDTH_MM, within: request.files.within });
  const ratio = info.heightMm / DEFAULT_WIDTH_MM;
  const widthMm = request.widthMm ?? widthFor(ratio, info.vector ? undefined : info.width, floor);
  const finest = Math.sqrt(
    LOOK_PIXELS[info.vector ? "drawing" : "picture"] / ((widthMm / MM_PER_INCH) ** 2 * ratio),
  );
  const ppi = info.width / (widthMm / MM_PER_INCH);
  const artwork = await readArtwork(artworkFile, {
    within: request.files.within,
    widthMm,
    ...(info.vector || ppi > finest ? { ppi: Math.max(finest, 1.5 / (widthMm / MM_PER_INCH)) } : {}),
  });
  if (!info.vector && ppi < LEAST_PPI) {
    notes.push(
      `the artwork has ${Math.round(ppi)} ppi at ${inches(widthMm)} wide, under ${LEAST_PPI}: edges will show steps; ask for a larger picture or a drawing`,
    );
  }
  const { picture } = artwork;
  const { data, width, height } = picture;
  const kept = new Uint8Array(width * height);
  let soft = 0;
  let covered = 0;
  for (let i = 0; i < kept.length; i++) {
    const alpha = data[i * 4 + 3]!;
    if (alpha > 0) covered++;
    if (alpha > 25 && alpha < 230) soft++;
    kept[i] = alpha > 0 ? 1 : 0;
  }
  if (covered === 0)
    throw new ProposalError(`${artworkFile}: the artwork is clear all over; there is nothing to print`);
  if (soft > 0.08 * covered) {
    notes.push(
      `${Math.round((100 * soft) / covered)} % of the artwork is half transparent and prints as dots on bare cloth; ask for hard edges, or for the art on its backdrop`,
    );
  }
  const plain = backgroundOf(picture);
  let backdrop: Look["backdrop"];
  let box: string | undefined;
  if (plain) {
    const lab = labFromBytes(...plain.rgb);
    const hex = hexOf(plain.rgb);
    if (near(lab, WHITE, NO_PART) || cloths.every((cloth) => near(lab, cloth.lab, NO_PART))) {
      backdrop = { hex, lab };
      const left = leftOut(picture, kept, lab);
      if (left.printing === 0) {
        backdrop = undefined;
        kept.fill(1);
        notes.push(`the artwork is ${hex} all over`);
      } else if (left.inside > 0.01 * left.printing) {
        notes.push(
          `${hex} inside the drawing is left out with the backdrop of the same colour, and shows the cloth; ask for the artwork on a transparent backdrop if it is to print`,
        );
      }
    } else {
      box = hex;
      notes.push(
        `the plain backdrop of ${hex} prints as a box; cut it out of the artwork if it is not wanted`,
      );
    }
  }
  const shown = backdrop ? without(picture, kept) : picture;
  const colours = picturesColours(shown, kept, COLOURS);
  const flat = flatColours(shown, kept);
  const unseen = colours.reduce(
    (sum, { lab, weight }) => sum + (cloths.every((cloth) => near(lab, cloth.lab, NO_PART)) ? weight : 0),
    0,
  );
  if (unseen > 0.95 * colours.reduce((sum, { weight }) => sum + weight, 0))
    notes.push("the artwork has the cloth's own colour and will hardly be seen; print it on other cloth");
  return {
    artwork,
    widthMm,
    picture: shown,
    kept,
    backdrop,
    box,
    flat,
    colours,
    grey: isGreyscale(colours),
    notes,
  };
}

/** The greatest usual width that press and pixels allow, in whole quarters of an inch. */
function widthFor(ratio: number, pixels: number | undefined, { press }: ShopSettings): number {
  const sizes = [press?.areaMm, press?.screenMm].filter((size) => size !== undefined);
  const most = Math.min(
    DEFAULT_WIDTH_MM,
    (sizes.length > 0 ? Number.POSITIVE_INFINITY : DEFAULT_HEIGHT_MM) / ratio,
    ...sizes.flatMap(({ width, height }) => [width, height / ratio]),
  );
  const sharp = pixels === undefined ? most : (pixels / LEAST_PPI) * MM_PER_INCH;
  const wanted = Math.max(Math.min(most, SMALLEST_WIDTH_MM), Math.min(most, sharp));
  const quarters = Math.floor((wanted / MM_PER_INCH) * 4 + 1e-6);
  return quarters < 1 ? wanted : (quarters / 4) * MM_PER_INCH;
}

/** Takes colours of the backdrop out of `kept`; counts what stays, and what of the backdrop the edges do not reach. */
function leftOut(
  { data, width, height }: Picture,
  kept: Uint8Array,
  lab: Lab,
): { printing: number; inside: number } {
  const known = new Map<number, boolean>();
  const out = new Uint8Array(kept.length);
  let printing = 0;
  for (let i = 0; i < kept.length; i++) {
    if (kept[i] === 0) continue;
    const [r, g, b] = [data[i * 4]!, data[i * 4 + 1]!, data[i * 4 + 2]!];
    const key = (r << 16) | (g << 8) | b;
    let same = known.get(key);
    if (same === undefined) {
      same = near(labFromBytes(r, g, b), lab, BACKGROUND_WITHIN);
      known.set(key, same);
    }
    if (same) {
      out[i] = 1;
      kept[i] = 0;
    } else printing++;
  }
  // What can be reached from the edges is backdrop; the rest lies inside.
  const stack: number[] = [];
  const reach = (i: number) => {
    if (out[i] !== 1) return;
    out[i] = 2;
    stack.push(i);
  };
  for (let x = 0; x < width; x++) {
    reach(x);
    reach((height - 1) * width + x);
  }
  for (let y = 0; y < height; y++) {
    reach(y * width);
    reach(y * width + width - 1);
  }
  for (let i = stack.pop(); i !== undefined; i = stack.pop()) {
    const x = i % width;
    if (x > 0) reach(i - 1);
    if (x < width - 1) reach(i + 1);
    if (i >= width) reach(i - width);
    if (i + width < out.length) reach(i + width);
  }
  return { printing, inside: out.reduce((sum, state) => sum + (state === 1 ? 1 : 0), 0) };
}

function without({ width, height, data }: Picture, kept: Uint8Array): Picture {
  const clear = data.slice();
  for (let i = 0; i < kept.length; i++) if (kept[i] === 0) clear[i * 4 + 3] = 0;
  return { width, height, data: clear };
}

export function near(p: Lab, q: Lab, within: number): boolean {
  return deltaE00(p.L, p.a, p.b, q.L, q.a, q.b) <= within;
}

export function inches(mm: number): string {
  return `${Number((mm / MM_PER_INCH).toFixed(2))} in`;
}
