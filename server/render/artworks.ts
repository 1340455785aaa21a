import { createHash } from "node:crypto";
import {
  type Artwork,
  type ArtworkInfo,
  type ArtworkView,
  probeArtwork,
  readArtwork,
  reducedArtwork,
} from "../artwork/artwork.ts";
import { prepare } from "../engine/areas/prepare.ts";
import type { PreparationPlan, SeparationPlan } from "../engine/plan.ts";
import type { Areas, Extent } from "../engine/raster.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import type { Within } from "../files/boundary.ts";
import type { Recipe } from "../language/recipe.ts";
import { compositePicture } from "./composite.ts";
import { separationPlan } from "./plan/separation-plan.ts";
import { type Given, type PlateSource, readGiven, withGiven } from "./plate-sources.ts";
import { type SourceFile, stateOf } from "./source-file.ts";
import { keyOf, type StageCache } from "./stage-cache.ts";

/** Pixels of the picture that is measured and previewed: enough to judge, few enough to keep up with typing. */
export const PREVIEW_PIXELS = 1_000_000;

/** Pixels of a first picture at low resolution, while the one at preview size is being made. */
const LOW_RESOLUTION_PIXELS = 100_000;

/** Where artwork comes from: a file as it is on disk, or bytes of another state of it under a key of their own. */
export interface ArtworkSource extends SourceFile {
  /** How far the file may lie. */
  readonly within?: Within;
  readonly view?: ArtworkView | undefined;
  /** Plates that come from files, their own or the artwork's. */
  readonly plates?: readonly PlateSource[] | undefined;
}

/** The same source, with what a recipe says of which part of its files it means. */
export function viewed(source: ArtworkSource, recipe: Recipe): ArtworkSource {
  const { madeOf, view } = recipe.artwork;
  const plate = madeOf === undefined ? undefined : recipe.plates.get(madeOf)?.given;
  return { ...source, view: plate ? { plate } : view };
}

/** Decoded artwork and the key of its pixels. Nobody may write to it. */
export interface KeyedArtwork {
  readonly key: string;
  readonly artwork: Artwork;
  /** Keys of the tones that came from files, by plate. */
  readonly given?: ReadonlyMap<string, string>;
}

/** A recipe's artwork made ready for its plates, at `ppi` or its own resolution. Throws as `readArtwork` does. */
export async function readForPlates(
  recipe: Recipe,
  source: ArtworkSource,
  resolution: Resolution = {},
): Promise<Artwork> {
  const plan = separationPlan(recipe);
  const { widthMm } = recipe.artwork;
  // Every square is to have a pixel of its own.
  const leastPpi = plan.preparation?.index && (plan.preparation.index.across * MM_PER_INCH) / widthMm;
  const artwork = await artworkOf(viewed(source, recipe), widthMm, { ...resolution, leastPpi });
  const given = await readGiven(source, artwork, (_, read) => read());
  return given
    ? withGiven(seenArtwork(artwork, given, plan), given)
    : preparedArtwork(artwork, plan.preparation);
}

/** The artwork as plates see it; where it is made of those that come from files, what they print. */
function seenArtwork(artwork: Artwork, { tones }: Given, plan: SeparationPlan): Artwork {
  const { picture } = artwork;
  const seen = plan.composite
    ? compositePicture({ ...picture, given: tones }, plan.composite, plan)
    : picture;
  return preparedArtwork({ ...artwork, picture: seen }, plan.preparation);
}

/** The artwork as its plates see it: without its background, in its flat colours. */
export function preparedArtwork(artwork: Artwork, preparation: PreparationPlan | undefined): Artwork {
  if (!preparation) return artwork;
  const { picture, cut } = prepare(artwork.picture, artwork.ppi / MM_PER_INCH, preparation);
  if (!cut) return { ...artwork, picture };
  const { page, enclosed, enclosedCut } = cut;
  return { ...artwork, picture, cut: { page, enclosed, enclosedCut } };
}

/** The artwork at preview size, or at its own where that is smaller. Throws ArtworkError. */
export async function previewArtwork(
  cache: StageCache,
  source: ArtworkSource,
  widthMm: number,
  signal?: AbortSignal,
): Promise<KeyedArtwork> {
  const state = await stateOf(source);
  const info = await infoOf(cache, source, state, widthMm, signal);
  const squareInches = (widthMm * info.heightMm) / MM_PER_INCH ** 2;
  const preview = Math.sqrt(PREVIEW_PIXELS / squareInches);
  return decoded(cache, source, state, widthMm, info.vector ? preview : Math.min(info.ppi, preview), signal);
}

/** Artwork at preview size made smaller; undefined where it is so small already that there is nothing to gain. */
export async function lowResolutionArtwork(
  cache: StageCache,
  { key, artwork, given }: KeyedArtwork,
): Promise<KeyedArtwork | undefined> {
  const { width, height } = artwork.picture;
  const smaller = Math.sqrt(LOW_RESOLUTION_PIXELS / (width * height));
  if (smaller > 0.7) return undefined;
  const smallKey = keyOf("low resolution", key, ...(given?.values() ?? []));
  const reduce = async () => {
    const reduced = await reducedArtwork(artwork, artwork.ppi * smaller);
    const { areas, squares, given: plates } = artwork.picture;
    const picked = middles(artwork.picture, reduced.picture);
    const picture = {
      ...reduced.picture,
      ...(areas ? { areas: fewerOf(areas, picked) } : {}),
      ...(squares ? { squares: picked(squares) } : {}),
      ...(plates ? { given: new Map([...plates].map(([name, tones]) => [name, picked(tones)])) } : {}),
    };
    const keys = given && new Map([...given].map(([name, key]) => [name, keyOf("low resolution", key)]));
    return { key: smallKey, artwork: { ...reduced, picture }, ...(keys ? { given: keys } : {}) };
  };
  return cache.of(smallKey, reduce, (made) => made.artwork.picture.data.byteLength);
}

function fewerOf({ colours, first, second, share }: Areas, picked: (of: Uint8Array) => Uint8Array): Areas {
  return { colours, first: picked(first), second: picked(second), share: picked(share) };
}

/** Bytes of a picture as they are in the middle of each pixel of a smaller one. */
function middles(from: Extent, to: Extent): (of: Uint8Array) => Uint8Array {
  const at = new Uint32Array(to.width * to.height);
  for (let y = 0; y < to.height; y++) {
    const row = Math.floor(((y + 0.5) * from.height) / to.height) * from.width;
    for (let x = 0; x < to.width; x++)
      at[y * to.width + x] = row + Math.floor(((x + 0.5) * from.width) / to.width);
  }
  return (of) => Uint8Array.from(at, (i) => of[i]!);
}

/** The artwork at `ppi`, or at its own resolution (a drawing's is 300) where that is lower; `most` pixels at most. */
export async function sharperArtwork(
  cache: StageCache,
  source: ArtworkSource,
  widthMm: number,
  ppi: number,
  most: number,
  signal?: AbortSignal,
): Promise<KeyedArtwork> {
  const state = await stateOf(source);
  const info = await infoOf(cache, source, state, widthMm, signal);
  const squareInches = (widthMm * info.heightMm) / MM_PER_INCH ** 2;
  const finest = Math.min(info.ppi, Math.sqrt(most / squareInches));
  return decoded(cache, source, state, widthMm, Math.min(finest, ppi), signal);
}

/** Artwork made ready for its plates, the whole of it once at each resolution: strips and pieces take their parts. */
export async function readyArtwork(
  cache: StageCache,
  { key, artwork }: KeyedArtwork,
  plan: SeparationPlan,
  source: ArtworkSource,
  signal?: AbortSignal,
): Promise<KeyedArtwork> {
  const { preparation, composite } = plan;
  const given = await readGiven(source, artwork, (of, read) =>
    cache.of(
      keyOf("given", ...of),
      read,
      ({ tones }) => tones.reduce((sum, { byteLength }) => sum + byteLength, 0),
      signal,
    ),
  );
  if (!preparation && !composite)
    return given ? { key, artwork: withGiven(artwork, given), given: given.keys } : { key, artwork };
  const seen = composite ? [composite, plan.plates, ...(given?.keys ?? [])] : [];
  const own = keyOf("prepared", key, preparation, ...seen);
  const make = (): KeyedArtwork => ({
    key: own,
    artwork: given ? seenArtwork(artwork, given, plan) : preparedArtwork(artwork, preparation),
  });
  const bytes = ({ artwork: { picture } }: KeyedArtwork) =>
    picture.data.byteLength +
    (picture.areas ? 3 * picture.areas.first.byteLength : 0) +
    (picture.squares?.byteLength ?? 0);
  const made = await cache.of(own, make, bytes, signal);
  return given ? { key: own, artwork: withGiven(made.artwork, given), given: given.keys } : made;
}

/** What a file is, without its pixels. */
async function infoOf(
  cache: StageCache,
  source: ArtworkSource,
  state: string,
  widthMm: number,
  signal?: AbortSignal,
): Promise<ArtworkInfo> {
  const probe = async () =>
    probeArtwork(source.file, { widthMm, ...source.view, ...(await bytesOf(source)) });
  return cache.of(keyOf("info", state, widthMm, source.view, source.within), probe, () => 1000, signal);
}

async function decoded(
  cache: StageCache,
  source: ArtworkSource,
  state: string,
  widthMm: number,
  ppi: number,
  signal?: AbortSignal,
): Promise<KeyedArtwork> {
  const read = async (): Promise<KeyedArtwork> => {
    const artwork = await readArtwork(source.file, {
      widthMm,
      ppi,
      ...source.view,
      ...(await bytesOf(source)),
    });
    const { data, width } = artwork.picture;
    // By its pixels: the file may have been saved again, or come from a commit, and be the same.
    const pixels = createHash("sha256").update(data).digest("base64url");
    return { key: keyOf("artwork", pixels, width, artwork.ppi, artwork.picture.drawn === true), artwork };
  };
  return cache.of(
    keyOf("decoded", state, widthMm, ppi, source.view, source.within),
    read,
    ({ artwork }) => artwork.picture.data.byteLength,
    signal,
  );
}

async function bytesOf({ stored, within }: ArtworkSource) {
  const bytes = await stored?.read();
  return { within, ...(bytes ? { bytes } : {}) };
}

/** Pixels an inch asked for: of any artwork, or of a drawing alone. */
export interface Resolution {
  readonly ppi?: number | undefined;
  readonly drawingPpi?: number | undefined;
  /** What a coarser picture is brought up to where nothing is asked for. */
  readonly leastPpi?: number | undefined;
}

/** The artwork for print: at `ppi`, or at its own resolution; a drawing at `drawingPpi`, or 300. Throws ArtworkError. */
async function artworkOf(
  source: ArtworkSource,
  widthMm: number,
  { ppi, drawingPpi, leastPpi }: Resolution = {},
): Promise<Artwork> {
  return readArtwork(source.file, {
    widthMm,
    ...(drawingPpi === undefined ? {} : { drawingPpi }),
    ...(ppi === undefined ? {} : { ppi }),
    ...(leastPpi === undefined ? {} : { leastPpi }),
    ...source.view,
    ...(await bytesOf(source)),
  });
}
