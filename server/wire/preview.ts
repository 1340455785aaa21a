/**
 * Artwork and plates at one size, as they travel from the process that makes them through the language server and the
 * extension to the panel's page: `Uint8Array` between processes and threads, base64 in JSON.
 */

/** Keys of one picture's artwork and plates, by plate: equal keys mean equal bytes. */
export interface PictureKeys {
  readonly artwork?: string;
  readonly plates: Readonly<Record<string, string>>;
}

/** Of a receiver that holds nothing. */
export const NO_KEYS: PictureKeys = { plates: {} };

/** Part of the print: millimetres from its left and top edge, and pixels an inch wished for. */
export interface Crop {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  readonly ppi: number;
}

/** Artwork and plates at one size: the whole print, or a crop of it. */
export interface Preview<Bytes> {
  readonly artwork: PreviewArtwork<Bytes>;
  /** Those with a screen, in the recipe's order. */
  readonly plates: readonly PreviewPlate<Bytes>[];
  /** The picture at preview size is still to be asked for. */
  readonly lowResolution?: true;
}

/** Where a picture lies on the print, and what its artwork is. */
export interface PreviewArtwork<Bytes = never> {
  readonly key: string;
  readonly width: number;
  readonly height: number;
  readonly ppi: number;
  /** From the print's left and top edge. */
  readonly xMm: number;
  readonly yMm: number;
  /** The whole print's height. */
  readonly heightMm: number;
  /** The artwork's own resolution; undefined for drawings. */
  readonly ownPpi: number | undefined;
  readonly notes: readonly string[];
  /** RGBA, deflated (RFC 1951); left out where the receiver holds them. */
  readonly bytes?: Bytes;
}

/** One plate of a preview. */
export interface PreviewPlate<Bytes> {
  readonly name: string;
  readonly key: string;
  readonly figures: PlateFigures;
  /** A byte a pixel, 255 = solid, deflated; or a difference, as it is. Left out where the receiver holds the plate. */
  readonly bytes?: Bytes;
  /** The key of the held plate from which `bytes` is a difference (tone-difference.ts). */
  readonly differsFrom?: string;
}

/** What the panel says about a plate in numbers. */
export interface PlateFigures {
  /** Mean tone over the whole print, 0–1. */
  readonly coverage: number;
  /** Millimetres; the smallest film that holds all that prints. Zero for an empty plate. */
  readonly filmMm: { readonly width: number; readonly height: number };
}

/** What a receiver of the preview holds then. */
export function keysOf({ artwork, plates }: Preview<unknown>): PictureKeys {
  return { artwork: artwork.key, plates: Object.fromEntries(plates.map(({ name, key }) => [name, key])) };
}

/** Whether a receiver holds all of a preview already. */
export function isHeld({ artwork, plates }: Preview<unknown>, held: PictureKeys): boolean {
  return held.artwork === artwork.key && plates.every(({ name, key }) => held.plates[name] === key);
}

/** The preview with its bytes in another form. */
export function withBytes<From, To>(preview: Preview<From>, convert: (bytes: From) => To): Preview<To> {
  const converted = <T extends { readonly bytes?: From }>({ bytes, ...rest }: T) => ({
    ...rest,
    ...(bytes === undefined ? {} : { bytes: convert(bytes) }),
  });
  return { ...preview, artwork: converted(preview.artwork), plates: preview.plates.map(converted) };
}

/** The preview for a receiver that holds all of it. */
export function withoutBytes({ artwork, plates, ...rest }: Preview<unknown>): Preview<never> {
  const { bytes: _, ...described } = artwork;
  return {
    ...rest,
    artwork: described,
    plates: plates.map(({ name, key, figures }) => ({ name, key, figures })),
  };
}
