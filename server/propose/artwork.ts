import { type Artwork, probeArtwork, readArtwork } from "../artwork/artwork.ts";
import { prepare } from "../engine/areas/prepare.ts";
import { blockSteps } from "../engine/areas/smooth.ts";
import { deltaE00 } from "../engine/colour/ciede2000.ts";
import { type Lab, labFromBytes } from "../engine/colour/cielab.ts";
import { hexOf } from "../engine/inspect/colour-groups.ts";
import type { PreparationPlan } from "../engine/plan.ts";
import { isGreyscale, picturesColours, type WeightedColour } from "../engine/propose/colours.ts";
import { type FlatColour, flatColours } from "../engine/propose/flat.ts";
import { type Page, pageOf } from "../engine/propose/page.ts";
import type { Picture } from "../engine/raster.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import type * as Formats from "../language/generated/formats.ts";
import { cm2 } from "../rules/words.ts";
import { ProposalError, type ProposalRequest } from "./request.ts";
import type { ShopSettings } from "./shop.ts";

/** What is known of the artwork before inks are chosen. */
export interface Look {
  readonly artwork: Artwork;
  readonly widthMm: number;
  /** The file's pixels across what prints of it; undefined for a drawing. */
  readonly pixels: number | undefined;
  /** What the recipe says of the artwork beside its file and width. */
  readonly said: Pick<Formats.Artwork, "margins" | "background" | "smooth" | "flat">;
  /** The picture without its background. */
  readonly picture: Picture;
  /** 0 where a pixel does not print. */
  readonly kept: Uint8Array;
  /** Colour of a plain background that prints. */
  readonly box: string | undefined;
  /** Those that print, each with its share of the drawing. */
  readonly flat: readonly FlatColour[] | undefined;
  readonly colours: readonly WeightedColour[];
  readonly grey: boolean;
  /** Sentences for the user. */
  readonly notes: readonly string[];
}

/** Enough pixels to choose inks by, and about as many as the recipe is checked at. */
const LOOK_PIXELS = 1_200_000;
/** Representative colours that inks are tried on. */
const COLOURS = 110;
/** Usual width of a print, and its greatest height where no press says so. Common practice, no source. */
const DEFAULT_WIDTH_MM = 12 * MM_PER_INCH;
const DEFAULT_HEIGHT_MM = 16 * MM_PER_INCH;
const SMALLEST_WIDTH_MM = 2 * MM_PER_INCH;
/** Least ppi of artwork for garments. Common practice, no source (rule artwork-coarse says the same). */
const LEAST_PPI = 150;
const WHITE: Lab = { L: 100, a: 0, b: 0 };
/** ΔE00 from white, or from the garment, within which a background is no part of the picture. */
const NO_PART = 8;
/** Share of the border that a background has at least: text may touch a logo's edge, a picture's sky is no page. */
const BORDER = { flat: 0.6, tones: 0.8 };
/** Share of the drawing from which a colour of its areas is worth a plate. */
const LEAST_AREA = 0.0004;
const SPECKS = { text: "0.2 mm", mm: 0.2 };

export async function lookAt(request: ProposalRequest, floor: ShopSettings): Promise<Look> {
  const { artworkFile, garments } = request;
  const notes: string[] = [];
  const { within } = request.files;
  const info = await probeArtwork(artworkFile, { widthMm: DEFAULT_WIDTH_MM, within });
  // Its width is chosen once it is known what of the file prints.
  const squareInches = (DEFAULT_WIDTH_MM * info.heightMm) / MM_PER_INCH ** 2;
  const finest = Math.max(Math.sqrt(LOOK_PIXELS / squareInches), 1.5 / (DEFAULT_WIDTH_MM / MM_PER_INCH));
  const file = await readArtwork(artworkFile, {
    widthMm: DEFAULT_WIDTH_MM,
    within,
    ...(info.vector || info.ppi > finest ? { ppi: finest } : {}),
  });
  const covered = coveredOf(file.picture);
  if (covered.all === 0)
    throw new ProposalError(`${artworkFile}: the artwork is clear all over; there is nothing to print`);
  if (covered.soft > 0.08 * covered.all) {
    notes.push(
      `${Math.round((100 * covered.soft) / covered.all)} % of the artwork is half transparent and will print as dots on the bare garment; ask for hard edges, or for the artwork with its background`,
    );
  }
  const page = pageOf(file.picture);
  const isNoPart = (lab: Lab) =>
    near(lab, WHITE, NO_PART) || garments.every((garment) => near(lab, garment.lab, NO_PART));
  const soft = covered.soft > 0.2 * covered.all;
  const all = soft
    ? undefined
    : flatColours(file.picture, page && page.share >= BORDER.flat ? page.rgb : undefined);
  const ground = page && page.share >= (all ? BORDER.flat : BORDER.tones) ? page : undefined;
  const cut = ground && isNoPart(labFromBytes(...ground.rgb)) ? ground : undefined;
  const box = ground && !cut ? hexOf(ground.rgb) : undefined;
  if (box !== undefined)
    notes.push(
      `the plain background of ${box} prints as a box; cut it out of the artwork if it is not wanted`,
    );
  const sized = sizedFor(request, floor, file, cut, all);
  const { artwork, widthMm, ppi } = sized;
  if (!info.vector && ppi < LEAST_PPI) {
    notes.push(
      `the artwork has ${Math.round(ppi)} ppi at ${inches(widthMm)} wide, under ${LEAST_PPI}: edges will show steps; ask for a larger picture or a drawing`,
    );
  }
  const smooth =
    all || info.format !== "jpeg" || file.picture.width !== info.width ? undefined : calmOf(file.picture);
  const ready = readied(artwork, cut, all, smooth, notes);
  const { picture } = ready;
  const kept = new Uint8Array(picture.width * picture.height);
  for (let i = 0; i < kept.length; i++) kept[i] = picture.data[i * 4 + 3]! > 0 ? 1 : 0;
  const colours = picturesColours(picture, kept, COLOURS);
  const unseen = colours.reduce(
    (sum, { lab, weight }) =>
      sum + (garments.every((garment) => near(lab, garment.lab, NO_PART)) ? weight : 0),
    0,
  );
  if (unseen > 0.95 * colours.reduce((sum, { weight }) => sum + weight, 0))
    notes.push(
      "the artwork has the garment's own colour and will hardly be seen; print it on another garment",
    );
  return {
    artwork,
    widthMm,
    pixels: info.vector ? undefined : Math.round((ppi * widthMm) / MM_PER_INCH),
    said: { ...sized.said, ...ready.said },
    picture,
    kept,
    box,
    flat: ready.flat,
    colours,
    grey: isGreyscale(colours),
    notes,
  };
}

/** Margins narrower than this are none, and so much is left around a drawing; shares of the file. */
const LEAST_MARGIN = 0.015;
const AROUND = 0.004;

/** The width at which what prints of the file prints, and the file's pixels at that size. */
function sizedFor(
  request: ProposalRequest,
  floor: ShopSettings,
  file: Artwork,
  page: Page | undefined,
  colours: readonly FlatColour[] | undefined,
) {
  const plan: PreparationPlan = {
    background: page && { rgb: page.rgb, within: page.within, enclosed: "kept" },
    flat: colours && { colours: colours.map(({ rgb }) => rgb), speckMm: 0 },
  };
  const small = thinned(file.picture);
  const perMm = (file.ppi / MM_PER_INCH) * (small.width / file.picture.width);
  const margins = marginsOf(prepare(small, perMm, plan).picture);
  const { left, top, right, bottom } = margins;
  const [wide, high] = [1 - left - right, 1 - top - bottom];
  const { info, picture } = file;
  const ratio = (info.heightMm * high) / (DEFAULT_WIDTH_MM * wide);
  const widthMm =
    request.widthMm ?? widthFor(ratio, info.vector ? undefined : Math.round(info.width * wide), floor);
  const wholeInches = widthMm / wide / MM_PER_INCH;
  const said = Object.entries(margins).filter(([, share]) => share > 0);
  return {
    widthMm,
    artwork: { ...file, ppi: picture.width / wholeInches },
    ppi: info.width / wholeInches,
    said:
      said.length > 0
        ? { margins: Object.fromEntries(said.map(([side, share]) => [side, `${(100 * share).toFixed(1)}%`])) }
        : {},
  };
}

/** Pixels enough to find margins in. */
const MARGIN_PIXELS = 250_000;

/** Every so many-th pixel of a picture with more of them. */
function thinned(picture: Picture): Picture {
  const step = Math.ceil(Math.sqrt((picture.width * picture.height) / MARGIN_PIXELS));
  if (step <= 1) return picture;
  const [width, height] = [Math.ceil(picture.width / step), Math.ceil(picture.height / step)];
  const data = new Uint8Array(width * height * 4);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const at = 4 * (y * step * picture.width + x * step);
      data.set(picture.data.subarray(at, at + 4), 4 * (y * width + x));
    }
  return { width, height, data };
}

/** Bare shares around what covers, to a tenth of a percent. */
function marginsOf({ width, height, data }: Picture) {
  let [x0, y0, x1, y1] = [width, height, -1, -1];
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      if (data[(y * width + x) * 4 + 3]! < 128) continue;
      [x0, x1] = [Math.min(x0, x), Math.max(x1, x)];
      [y0, y1] = [Math.min(y0, y), Math.max(y1, y)];
    }
  const share = (bare: number, of: number) => {
    const left = x1 < 0 ? 0 : bare / of - AROUND;
    return left < LEAST_MARGIN ? 0 : Math.min(0.49, Math.floor(left * 1000) / 1000);
  };
  return {
    left: share(x0, width),
    top: share(y0, height),
    right: share(width - 1 - x1, width),
    bottom: share(height - 1 - y1, height),
  };
}

/** Pixels that are not clear, and those that are half clear. */
function coveredOf({ data }: Picture): { all: number; soft: number } {
  let [all, soft] = [0, 0];
  for (let at = 3; at < data.length; at += 4) {
    const alpha = data[at]!;
    if (alpha > 0) all++;
    if (alpha > 25 && alpha < 230) soft++;
  }
  return { all, soft };
}

/** Steps between compression's blocks from which they show: so much higher than others, and so high. */
const BLOCKS = { ratio: 1.25, height: 1 };

/** How much smoothing takes the steps between blocks away; undefined where there are none to be seen. */
function calmOf(picture: Picture): number | undefined {
  const { ratio, height } = blockSteps(picture);
  if (ratio < BLOCKS.ratio || height < BLOCKS.height) return undefined;
  return Math.round(Math.min(14, Math.max(5, 3 * height)));
}

interface Readied {
  readonly picture: Picture;
  readonly said: Look["said"];
  readonly flat: readonly FlatColour[] | undefined;
}

/** The picture as its plates will see it, what the recipe says of that, and what is told of what was left out. */
function readied(
  artwork: Artwork,
  page: Page | undefined,
  colours: readonly FlatColour[] | undefined,
  smooth: number | undefined,
  notes: string[],
): Readied {
  const perMm = artwork.ppi / MM_PER_INCH;
  const area = (pixels: number) => cm2(pixels / perMm ** 2 / 100);
  const flat = colours && { colours: colours.map(({ rgb }) => rgb), speckMm: SPECKS.mm };
  const made = (enclosed: "kept" | "cut" | "counters-cut") => {
    const plan: PreparationPlan = {
      background: page && { rgb: page.rgb, within: page.within, enclosed },
      flat,
      smooth,
    };
    return { enclosed, ...prepare(artwork.picture, perMm, plan) };
  };
  let ready = made(flat ? "counters-cut" : "kept");
  if (page && ready.cut) {
    const hex = hexOf(page.rgb);
    const { page: outside, enclosed, enclosedCut } = ready.cut;
    const drawing = artwork.picture.width * artwork.picture.height - outside;
    if (drawing === 0) {
      notes.push(`the artwork is ${hex} all over`);
      return { picture: artwork.picture, said: {}, flat: colours };
    }
    const keptInside = enclosed - enclosedCut;
    if (flat && keptInside > 0 && keptInside < LEAST_AREA * drawing) ready = made("cut");
    else if (enclosedCut === 0) ready = { ...ready, enclosed: "kept" };
    const cut = ready.cut!;
    notes.push(
      `the background of ${hex} is cut out from the border inward, ${area(cut.page)} of it`,
      ...(cut.enclosedCut > 0
        ? [
            `${area(cut.enclosedCut)} of ${hex} inside the drawing ${ready.enclosed === "cut" ? "is too little for a plate" : "looks like the counters of letters"} and is cut out too; write enclosed: kept to print it`,
          ]
        : []),
      ...(cut.enclosed > cut.enclosedCut
        ? [
            `${area(cut.enclosed - cut.enclosedCut)} of ${hex} that the drawing encloses is kept; write enclosed: cut to leave it bare`,
          ]
        : []),
    );
  }
  const { areas } = ready.picture;
  const flatLeft = areas && colours && sharesOf(areas.first, colours);
  return {
    picture: ready.picture,
    said: {
      ...(page
        ? { background: { colour: hexOf(page.rgb), within: page.within, enclosed: ready.enclosed } }
        : {}),
      ...(smooth === undefined ? {} : { smooth }),
      ...(colours ? { flat: { colours: hexesOf(colours), specks: SPECKS.text } } : {}),
    },
    flat: flatLeft && flatLeft.length > 0 ? flatLeft : colours,
  };
}

function hexesOf(colours: readonly FlatColour[]): Formats.FlatArt["colours"] {
  return colours.map(({ rgb }) => hexOf(rgb)) as Formats.FlatArt["colours"];
}

/** Colours whose areas print, with their shares, largest first. */
function sharesOf(first: Uint8Array, colours: readonly FlatColour[]): FlatColour[] {
  const counts = new Float64Array(256);
  for (const label of first) counts[label]!++;
  const all = colours.reduce((sum, _, k) => sum + counts[k]!, 0);
  return colours
    .map((colour, k) => ({ ...colour, share: all > 0 ? counts[k]! / all : 0 }))
    .filter(({ share }) => share >= LEAST_AREA)
    .sort((a, b) => b.share - a.share || a.lab.L - b.lab.L);
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

export function near(p: Lab, q: Lab, within: number): boolean {
  return deltaE00(p.L, p.a, p.b, q.L, q.a, q.b) <= within;
}

export function inches(mm: number): string {
  return `${Number((mm / MM_PER_INCH).toFixed(2))} in`;
}
