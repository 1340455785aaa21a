import { promisify } from "node:util";
import { constants, deflateRaw } from "node:zlib";
import type { SeparationPlan } from "../engine/plan.ts";
import type { Picture, Tones } from "../engine/raster.ts";
import { separate } from "../engine/separate.ts";
import { marginFor } from "../engine/stages/stages.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import {
  type Crop,
  NO_KEYS,
  type PictureKeys,
  type Preview,
  type PreviewArtwork,
  type PreviewPlate,
} from "../wire/preview.ts";
import { differenceOf } from "../wire/tone-difference.ts";
import {
  type ArtworkSource,
  type KeyedArtwork,
  lowResolutionArtwork,
  previewArtwork,
  readyArtwork,
  sharperArtwork,
} from "./artworks.ts";
import { areCached, cachedPlates, plateKeys, solvedTones, turns } from "./cached-plates.ts";
import { cropBox, cutAreas, cutGiven, cutOut, type PixelRect } from "./crop.ts";
import { NO_FIGURES, plateFigures } from "./plate-figures.ts";
import { keyOf, type StageCache } from "./stage-cache.ts";

/** What a preview is to be made of. */
export interface PreviewRequest {
  readonly plan: SeparationPlan;
  readonly widthMm: number;
  readonly source: ArtworkSource;
  /** What the receiver holds: artwork and plates that bear these keys are not sent again. */
  readonly held: PictureKeys;
  /** Part of the print, sharper; without it the whole at preview size. */
  readonly crop?: Crop | undefined;
  /** The whole in a fraction of its pixels, so much sooner; where all plates are made already they are given instead. */
  readonly lowResolution?: boolean | undefined;
}

/** Largest crop in pixels, its margins not counted, and the largest artwork that is decoded for one. */
const CROP_PIXELS = 4_000_000;
const CROP_ARTWORK_PIXELS = 24_000_000;

/** Plates are mostly flat: runs alone pack them faster than a search for repetitions does, and smaller. */
const PACKING = { level: 1, strategy: constants.Z_RLE };

const deflate = promisify(deflateRaw);

/** A plate that changed more than that is packed as a whole. */
const DIFFERENCE_BYTES = 400_000;

/** Artwork and plates for a panel. Throws ArtworkError, or the signal's reason. */
export function preview(
  request: PreviewRequest,
  cache: StageCache,
  signal?: AbortSignal,
): Promise<Preview<Uint8Array>> {
  return request.crop ? cropped(request, request.crop, cache, signal) : wholeOf(request, cache, signal);
}

async function wholeOf(
  { plan, widthMm, source, held, lowResolution }: PreviewRequest,
  cache: StageCache,
  signal?: AbortSignal,
): Promise<Preview<Uint8Array>> {
  const decoded = await previewArtwork(cache, source, widthMm, signal);
  const whole = await readyArtwork(cache, decoded, plan, source, signal);
  const small =
    lowResolution && !areCached(cache, whole, plan) ? await lowResolutionArtwork(cache, whole) : undefined;
  const made = await platesOf(small ?? whole, plan, held, cache, signal);
  return small ? { ...made, lowResolution: true } : made;
}

async function platesOf(
  keyed: KeyedArtwork,
  plan: SeparationPlan,
  held: PictureKeys,
  cache: StageCache,
  signal?: AbortSignal,
): Promise<Preview<Uint8Array>> {
  const { picture, ppi } = keyed.artwork;
  const whole = { x0: 0, y0: 0, x1: picture.width, y1: picture.height };
  // Packed on other threads while plates are made.
  const packing = artworkPart(keyed, keyed.key, picture.data, whole, held);
  const plates: Promise<PreviewPlate<Uint8Array>>[] = [];
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
): Promise<Pick<PreviewPlate<Uint8Array>, "bytes" | "differsFrom">> {
  const before = held === undefined ? undefined : cache.get<Tones>(held);
  const difference =
    before?.length === tones.length ? differenceOf(before, tones, DIFFERENCE_BYTES) : undefined;
  return difference ? { bytes: difference, differsFrom: held! } : { bytes: await deflate(tones, PACKING) };
}

async function cropped(
  { plan, widthMm, source }: PreviewRequest,
  crop: Crop,
  cache: StageCache,
  signal?: AbortSignal,
): Promise<Preview<Uint8Array>> {
  const most = Math.sqrt(CROP_PIXELS / ((crop.width * crop.height) / MM_PER_INCH ** 2));
  const wished = Math.min(ofStep(crop.ppi, Math.ceil), ofStep(most, Math.floor));
  const decoded = await sharperArtwork(cache, source, widthMm, wished, CROP_ARTWORK_PIXELS, signal);
  const keyed = await readyArtwork(cache, decoded, plan, source, signal);
  const { picture, ppi } = keyed.artwork;
  const perMm = ppi / MM_PER_INCH;
  const { inner, outer } = cropBox(
    crop,
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
    ...(picture.areas ? { areas: cutAreas(picture.areas, picture.width, outer) } : {}),
    ...(picture.given ? { given: cutGiven(picture.given, picture.width, outer) } : {}),
    ...(picture.squares ? { squares: cutOut(picture.squares, 1, picture.width, outer) } : {}),
  };
  const keys = plateKeys(cache, keyed, plan);
  const plates: PreviewPlate<Uint8Array>[] = [];
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
    plates.push({ name, key: keyOf("crop", keys.get(name), crop), figures: NO_FIGURES, bytes });
  }
  const data = cutOut(picture.data, 4, picture.width, inner);
  return {
    artwork: await artworkPart(keyed, keyOf("crop", keyed.key, crop), data, inner, NO_KEYS),
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
  held: PictureKeys,
): Promise<PreviewArtwork<Uint8Array>> {
  const { ppi, info, notes } = artwork;
  const bytes = held.artwork === key ? undefined : await deflate(data, PACKING);
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
