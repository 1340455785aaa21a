import { promisify } from "node:util";
import { constants, deflateRaw } from "node:zlib";
import type { SeparationPlan } from "../engine/plan.ts";
import type { Picture, Tones } from "../engine/raster.ts";
import { separate } from "../engine/separate.ts";
import { marginFor } from "../engine/stages/stages.ts";
import { differenceOf } from "../engine/tone-difference.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import {
  type ArtworkSource,
  glanceOf,
  type KeyedArtwork,
  previewArtwork,
  sharperArtwork,
} from "./artworks.ts";
import { areCached, cachedPlates, solvedTones, turns } from "./cached-plates.ts";
import { cropBox, cutOut, type PixelRect } from "./crop.ts";
import { NO_FIGURES, type PlateFigures, plateFigures } from "./plate-figures.ts";
import { keyOf, type StageCache } from "./stage-cache.ts";

export interface PreviewRequest {
  readonly plan: SeparationPlan;
  readonly widthMm: number;
  readonly source: ArtworkSource;
  /** Keys of what the receiver holds already: artwork and plates that bear them are not sent again. */
  readonly held: Held;
  /** A piece of the print, sharper; without it the whole at preview size. */
  readonly piece?: Piece | undefined;
  /** The whole in a fraction of its pixels, so much sooner; where all plates are made already they are given instead. */
  readonly glance?: boolean | undefined;
}

export interface Held {
  readonly artwork?: string | undefined;
  readonly plates: Readonly<Record<string, string>>;
}

/** Millimetres from the artwork's left and top edge, and pixels an inch wished for. */
export interface Piece {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  readonly ppi: number;
}

/**
 * Artwork and plates at one size. Bytes are deflated (RFC 1951), and left out where the receiver holds them; of a plate
 * that changed a little they are what differs from the one that it holds.
 */
export interface Preview {
  readonly artwork: PreviewArtwork;
  /** Those with a screen, in the recipe's order. */
  readonly plates: readonly PreviewPlate[];
  /** The picture at preview size is still to be asked for. */
  readonly glance?: true;
}

export interface PreviewArtwork {
  readonly key: string;
  readonly width: number;
  readonly height: number;
  readonly ppi: number;
  /** Where it lies on the print, in millimetres from its left and top edge. */
  readonly xMm: number;
  readonly yMm: number;
  /** The whole print's height. */
  readonly heightMm: number;
  /** The artwork's own resolution; undefined for drawings. */
  readonly ownPpi: number | undefined;
  readonly notes: readonly string[];
  /** RGBA. */
  readonly bytes?: Uint8Array;
}

export interface PreviewPlate {
  readonly name: string;
  readonly key: string;
  readonly figures: PlateFigures;
  /** A byte a pixel, 255 = solid, deflated; or a difference, as it is. */
  readonly bytes?: Uint8Array;
  /** The key of the held plate from which `bytes` is a difference (engine/tone-difference.ts). */
  readonly differsFrom?: string;
}

/** Largest piece in pixels, its margins not counted, and the largest artwork that is decoded for one. */
const PIECE_PIXELS = 4_000_000;
const PIECE_ARTWORK_PIXELS = 24_000_000;

/** Plates are mostly flat: runs alone pack them faster than a search for repetitions does, and smaller. */
const PACKING = { level: 1, strategy: constants.Z_RLE };

const deflate = promisify(deflateRaw);

/** A plate that changed more than that is packed as a whole. */
const DIFFERENCE_BYTES = 400_000;

/** Artwork and plates for a panel. Throws ArtworkError, or the signal's reason. */
export function preview(request: PreviewRequest, cache: StageCache, signal?: AbortSignal): Promise<Preview> {
  return request.piece ? pieceOf(request, request.piece, cache, signal) : wholeOf(request, cache, signal);
}

async function wholeOf(
  { plan, widthMm, source, held, glance: asked }: PreviewRequest,
  cache: StageCache,
  signal?: AbortSignal,
): Promise<Preview> {
  const whole = await previewArtwork(cache, source, widthMm, signal);
  const glance = asked && !areCached(cache, whole, plan) ? await glanceOf(cache, whole) : undefined;
  const made = await platesOf(glance ?? whole, plan, held, cache, signal);
  return glance ? { ...made, glance: true } : made;
}

async function platesOf(
  keyed: KeyedArtwork,
  plan: SeparationPlan,
  held: Held,
  cache: StageCache,
  signal?: AbortSignal,
): Promise<Preview> {
  const { picture, ppi } = keyed.artwork;
  const whole = { x0: 0, y0: 0, x1: picture.width, y1: picture.height };
  // Packed on other threads while plates are made.
  const packing = artworkPart(keyed, keyed.key, picture.data, whole, held.artwork);
  const plates: Promise<PreviewPlate>[] = [];
  for await (const { name, key, tones } of cachedPlates(cache, keyed, plan, signal)) {
    const figures = await cache.of(
      `figures ${key}`,
      () => plateFigures(tones, picture.width, MM_PER_INCH / ppi),
      () => 100,
    );
    const before = held.plates[name];
    // With other artwork the receiver lets all its plates go.
    const base = held.artwork === keyed.key ? before : undefined;
    plates.push(
      before === key
        ? Promise.resolve({ name, key, figures })
        : packed(tones, base, cache).then((bytes) => ({ name, key, figures, ...bytes })),
    );
  }
  return { artwork: await packing, plates: await Promise.all(plates) };
}

async function packed(
  tones: Tones,
  held: string | undefined,
  cache: StageCache,
): Promise<Pick<PreviewPlate, "bytes" | "differsFrom">> {
  const before = held === undefined ? undefined : cache.get<Tones>(held);
  const difference =
    before?.length === tones.length ? differenceOf(before, tones, DIFFERENCE_BYTES) : undefined;
  return difference ? { bytes: difference, differsFrom: held! } : { bytes: await deflate(tones, PACKING) };
}

async function pieceOf(
  { plan, widthMm, source }: PreviewRequest,
  piece: Piece,
  cache: StageCache,
  signal?: AbortSignal,
): Promise<Preview> {
  const most = Math.sqrt(PIECE_PIXELS / ((piece.width * piece.height) / MM_PER_INCH ** 2));
  const wished = Math.min(ofStep(piece.ppi, Math.ceil), ofStep(most, Math.floor));
  const keyed = await sharperArtwork(cache, source, widthMm, wished, PIECE_ARTWORK_PIXELS, signal);
  const { picture, ppi } = keyed.artwork;
  const perMm = ppi / MM_PER_INCH;
  const { inner, outer } = cropBox(
    piece,
    marginFor(plan, perMm, picture),
    perMm,
    picture.width,
    picture.height,
  );
  const cut: Picture = {
    ...picture,
    width: outer.x1 - outer.x0,
    height: outer.y1 - outer.y0,
    data: cutOut(picture.data, 4, picture.width, outer),
    origin: { x: outer.x0, y: outer.y0 },
  };
  const plates: PreviewPlate[] = [];
  const within = {
    x0: inner.x0 - outer.x0,
    y0: inner.y0 - outer.y0,
    x1: inner.x1 - outer.x0,
    y1: inner.y1 - outer.y0,
  };
  const turn = turns(signal);
  const solved = await solvedTones(cache, plan, turn);
  for (const step of separate(cut, perMm, plan, { solved })) {
    await turn();
    if (typeof step === "number") continue;
    const { name, tones } = step;
    const bytes = await deflate(cutOut(tones, 1, cut.width, within), PACKING);
    plates.push({
      name,
      key: keyOf("piece", name, piece),
      figures: NO_FIGURES,
      bytes,
    });
  }
  const data = cutOut(picture.data, 4, picture.width, inner);
  return {
    artwork: await artworkPart(keyed, keyOf("piece", keyed.key, piece), data, inner, undefined),
    plates,
  };
}

/** Resolutions come in steps of √2, so that zooming decodes few sizes. */
function ofStep(ppi: number, round: (v: number) => number): number {
  return 2 ** (round(2 * Math.log2(Math.max(1, ppi))) / 2);
}

async function artworkPart(
  { artwork }: KeyedArtwork,
  key: string,
  data: Uint8Array,
  { x0, y0, x1, y1 }: PixelRect,
  held: string | undefined,
): Promise<PreviewArtwork> {
  const { ppi, info, notes } = artwork;
  const bytes = held === key ? undefined : await deflate(data, PACKING);
  return {
    key,
    width: x1 - x0,
    height: y1 - y0,
    ppi,
    xMm: (x0 / ppi) * MM_PER_INCH,
    yMm: (y0 / ppi) * MM_PER_INCH,
    heightMm: info.heightMm,
    ownPpi: info.vector ? undefined : info.ppi,
    notes,
    ...(bytes ? { bytes } : {}),
  };
}
