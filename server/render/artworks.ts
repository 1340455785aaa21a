import { createHash } from "node:crypto";
import {
  type Artwork,
  type ArtworkInfo,
  probeArtwork,
  readArtwork,
  reducedArtwork,
} from "../artwork/artwork.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import { fileState } from "../files/file-state.ts";
import { keyOf, type StageCache } from "./stage-cache.ts";

/** Pixels of the picture that is measured and previewed: enough to judge, few enough to keep up with typing. */
export const PREVIEW_PIXELS = 1_000_000;

/** Pixels of a first picture at low resolution, while the one at preview size is being made. */
const LOW_RESOLUTION_PIXELS = 100_000;

/** Where artwork comes from: a file as it is on disk, or bytes of another state of it under a key of their own. */
export interface ArtworkSource {
  readonly file: string;
  readonly stored?: { readonly key: string; read(): Promise<Uint8Array> } | undefined;
}

/** Decoded artwork and the key of its pixels. Nobody may write to it. */
export interface KeyedArtwork {
  readonly key: string;
  readonly artwork: Artwork;
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
  { key, artwork }: KeyedArtwork,
): Promise<KeyedArtwork | undefined> {
  const { width, height } = artwork.picture;
  const smaller = Math.sqrt(LOW_RESOLUTION_PIXELS / (width * height));
  if (smaller > 0.7) return undefined;
  const smallKey = keyOf("low resolution", key);
  const reduce = async () => ({
    key: smallKey,
    artwork: await reducedArtwork(artwork, artwork.ppi * smaller),
  });
  return cache.of(smallKey, reduce, (made) => made.artwork.picture.data.byteLength);
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

/** What a file is, without its pixels. */
async function infoOf(
  cache: StageCache,
  source: ArtworkSource,
  state: string,
  widthMm: number,
  signal?: AbortSignal,
): Promise<ArtworkInfo> {
  const probe = async () => probeArtwork(source.file, { widthMm, ...(await bytesOf(source)) });
  return cache.of(keyOf("info", state, widthMm), probe, () => 1000, signal);
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
    const artwork = await readArtwork(source.file, { widthMm, ppi, ...(await bytesOf(source)) });
    const { data, width } = artwork.picture;
    // By its pixels: the file may have been saved again, or come from a commit, and be the same.
    const pixels = createHash("sha256").update(data).digest("base64url");
    return { key: keyOf("artwork", pixels, width, artwork.ppi, artwork.picture.drawn === true), artwork };
  };
  return cache.of(
    keyOf("decoded", state, widthMm, ppi),
    read,
    ({ artwork }) => artwork.picture.data.byteLength,
    signal,
  );
}

async function bytesOf(source: ArtworkSource) {
  const bytes = await source.stored?.read();
  return bytes ? { bytes } : {};
}

async function stateOf({ file, stored }: ArtworkSource): Promise<string> {
  if (stored) return stored.key;
  // A file that cannot be asked gets its fault told when it is read.
  return `${file} ${(await fileState(file)) ?? `missing ${Date.now()}`}`;
}
