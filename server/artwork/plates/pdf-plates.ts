import { MM_PER_INCH } from "../../engine/units.ts";
import { listed } from "../../language/words.ts";
import { ArtworkError } from "../artwork-error.ts";
import type { Size } from "../decoder.ts";
import { MAX_PICTURE_PIXELS, VECTOR_PPI } from "../limits.ts";
import { sharpDecoder as decoder } from "../sharp-decoder.ts";
import { refuseTooManyPixels, sound } from "../sound.ts";
import { channelNamed } from "./colorant.ts";
import { drawnSeparations } from "./ghostscript.ts";
import { flipped, lay, masked } from "./laid.ts";
import { meet } from "./pdf-content.ts";
import { headOf, samplesOf } from "./pdf-image.ts";
import { noPage, type PlatePage, platePages, whole } from "./pdf-pages.ts";
import type { Paint, PlainImage } from "./pdf-paints.ts";
import { CONVERTED, PROCESS, type Rgb } from "./pdf-spaces.ts";
import { kernelOf, openPixelPlates } from "./pixel-plates.ts";
import type { OpenPlates, PlateView } from "./plates.ts";

const POINTS = 72;

/**
 * Opens a PDF whose separations are plates: those of `page`, else of all pages. Pictures are taken from the file as they
 * stand in it; what is drawn goes to a renderer. Throws ArtworkError.
 */
export function openPdfPlates(
  file: string,
  bytes: Uint8Array,
  page: number | undefined,
): Promise<OpenPlates> {
  return whole(file, () => opened(file, bytes, page));
}

async function opened(file: string, bytes: Uint8Array, page: number | undefined): Promise<OpenPlates> {
  const pages = await platePages(file, bytes);
  const first = pages[(page ?? 1) - 1];
  if (!first) throw noPage(file, pages.length, page ?? 1);
  const looked = page === undefined ? pages : [first];
  const inks = new Map(looked.flatMap((one) => [...inksOf(one)]));
  const sizes = looked.flatMap((one) => pictureSizes(one));
  const own = sizes.reduce((a, b) => (b.width > a.width ? b : a), sizeAt(first, VECTOR_PPI));
  const finest = sizes.length > 0 ? sizes.reduce((a, b) => (b.width > a.width ? b : a)) : own;
  return {
    info: {
      format: "pdf",
      ...finest,
      sizeMm: {
        width: (first.points.width * MM_PER_INCH) / POINTS,
        height: (first.points.height * MM_PER_INCH) / POINTS,
      },
      pages: pages.length,
      colorants: [...inks.keys()],
      channels: inks.size,
      oneBit: looked.every((one) => isOneBit(one)),
      looks: new Map([...inks].flatMap(([name, look]) => (look ? [[name, look]] : []))),
    },
    tones: async (views, size = finest) => {
      const made: Uint8Array[] = [];
      const drawn = new Map<number, Map<string, Uint8Array>>();
      for (const view of views) {
        const wanted = chosen(file, view, looked, inks);
        const tones =
          (await sound(file, () => fromPictures(wanted, size, view))) ??
          (await fromRenderer(file, bytes, wanted, size, drawn));
        made.push(view.solid === "white" ? tones.map((v) => 255 - v) : tones);
      }
      return { size, tones: made };
    },
  };
}

/** A colorant and the page that it is on. */
interface Wanted {
  readonly ink: string;
  readonly page: PlatePage;
}

/** Names of a page's inks, with what they look like: spot colorants, and process colours that something is painted in. */
function inksOf(page: PlatePage): Map<string, Rgb | undefined> {
  const inks = new Map(page.spots);
  for (const { space, box } of page.paints() ?? []) {
    if (space === CONVERTED || !meet(box, page.box)) continue;
    for (const name of space.names)
      if ((PROCESS as readonly string[]).includes(name) && !inks.has(name)) inks.set(name, undefined);
  }
  return inks;
}

function chosen(
  file: string,
  { colorant }: PlateView,
  pages: readonly PlatePage[],
  inks: ReadonlyMap<string, unknown>,
): Wanted {
  const names = [...inks.keys()];
  if (colorant === undefined && names.length !== 1)
    throw new ArtworkError(
      file,
      "format",
      names.length === 0
        ? "the PDF has no separations; is it the artwork?"
        : `the PDF has the separations ${listed(names.slice(0, 20))}; say which one, as colorant: ${JSON.stringify(names[0])}`,
    );
  const ink = names[colorant === undefined ? 0 : channelNamed(file, colorant, names)]!;
  return { ink, page: pages.find((page) => inksOf(page).has(ink))! };
}

/** The plate out of the page's pictures, each put where it stands; undefined where something else prints in it too. */
async function fromPictures(
  { ink, page }: Wanted,
  size: Size,
  view: PlateView,
): Promise<Uint8Array | undefined> {
  const parts = page.turned ? undefined : picturesOf(page, ink);
  if (!parts) return undefined;
  const out = new Uint8Array(size.width * size.height);
  const { left, top } = page.box;
  const across = size.width / page.points.width;
  const down = size.height / page.points.height;
  for (const { image, paint, component, count } of parts) {
    const own = await samplesOf(image.stream, count, component);
    const mask = image.mask && (await samplesOf(image.mask, 1, 0));
    if (!own || (image.mask && !mask)) return undefined;
    const samples = mask ?? own;
    const { light } = paint.space as Exclude<Paint["space"], typeof CONVERTED>;
    const stencil = image.stencil;
    let tones = own.component;
    // A stencil paints where it is zero, in one tint.
    if (stencil)
      tones = tones.map((v) =>
        Math.round((255 - v) * (light ? 1 - stencil[component]! : stencil[component]!)),
      );
    else if (light) tones = tones.map((v) => 255 - v);
    if (mask) {
      const shown = masked(tones, own, mask);
      if (!shown) return undefined;
      tones = shown;
    }
    if (image.mirrored || image.upsideDown) tones = flipped(tones, samples, image);
    const x0 = Math.round((paint.box.left - left) * across);
    const y0 = Math.round((top - paint.box.top) * down);
    const to = {
      width: Math.max(1, Math.round((paint.box.right - left) * across) - x0),
      height: Math.max(1, Math.round((top - paint.box.bottom) * down) - y0),
    };
    if (to.width * to.height > MAX_PICTURE_PIXELS * 2) return undefined;
    if (to.width !== samples.width || to.height !== samples.height)
      tones = await decoder.resizeTones(tones, samples, to, kernelOf(view));
    lay(tones, to, x0, y0, out, size);
  }
  return out;
}

interface Part {
  readonly paint: Paint;
  readonly image: PlainImage;
  readonly component: number;
  readonly count: number;
}

/** The pictures that a plate consists of; undefined where anything else tells on it. */
function picturesOf(page: PlatePage, ink: string): Part[] | undefined {
  const paints = page.paints()?.filter(({ box }) => meet(box, page.box));
  if (!paints) return undefined;
  const parts: Part[] = [];
  for (const paint of paints) {
    const { space, image } = paint;
    const component = space === CONVERTED ? -1 : space.names.indexOf(ink);
    if (component >= 0 && space !== CONVERTED) {
      // What shows through must not show the same ink.
      if (!image || (image.mask && parts.some((part) => meet(part.paint.box, paint.box)))) return undefined;
      parts.push({ paint, image, component, count: image.stencil ? 1 : space.names.length });
      continue;
    }
    const reaches =
      space === CONVERTED ? (PROCESS as readonly string[]).includes(ink) : space.names.includes("All");
    // What does not overprint takes ink away from all plates that it does not print on.
    const takes = !paint.overprint && parts.some((part) => meet(part.paint.box, paint.box));
    if (reaches || takes) return undefined;
  }
  return parts;
}

async function fromRenderer(
  file: string,
  bytes: Uint8Array,
  { ink, page }: Wanted,
  size: Size,
  known: Map<number, Map<string, Uint8Array>>,
): Promise<Uint8Array> {
  refuseTooManyPixels(file, size);
  const separations =
    known.get(page.number) ??
    (await drawnSeparations(file, { bytes, page: page.number, box: page.kind, points: page.points }, size));
  known.set(page.number, separations);
  const found = separations.get(ink) ?? numbered(separations, ink);
  if (!found)
    throw new ArtworkError(
      file,
      "format",
      `Ghostscript finds no separation "${ink}" on page ${page.number} of the PDF`,
    );
  const drawn = await openPixelPlates(file, "tiff", found, 1);
  return (await drawn.tones([NO_VIEW], size)).tones[0]!;
}

/** A name that is another's but for capitals gets a number in Ghostscript's file names: `black` as `black8`. */
function numbered(separations: ReadonlyMap<string, Uint8Array>, ink: string): Uint8Array | undefined {
  const name = [...separations.keys()].find(
    (one) => one.startsWith(ink) && /^\d+$/.test(one.slice(ink.length)),
  );
  return name === undefined ? undefined : separations.get(name);
}

const NO_VIEW: PlateView = {
  page: undefined,
  channel: undefined,
  colorant: undefined,
  solid: undefined,
  screened: false,
};

/** The whole page at the resolution of each of its pictures. */
function pictureSizes(page: PlatePage): Size[] {
  return (page.paints() ?? []).flatMap(({ image, box }) => {
    const head = image && headOf(image.mask ?? image.stream);
    if (!head || !meet(box, page.box)) return [];
    const ppi = (head.width * POINTS) / (box.right - box.left);
    return [sizeAt(page, ppi)];
  });
}

function sizeAt({ points }: PlatePage, ppi: number): Size {
  return {
    width: Math.max(1, Math.round((points.width * ppi) / POINTS)),
    height: Math.max(1, Math.round((points.height * ppi) / POINTS)),
  };
}

/** Whether all that the page paints within its box are pictures of one bit. */
function isOneBit(page: PlatePage): boolean {
  const paints = page.paints()?.filter(({ box }) => meet(box, page.box));
  return (
    paints !== undefined &&
    paints.length > 0 &&
    paints.every(({ image }) => image !== undefined && headOf(image.stream)?.bits === 1)
  );
}
