import type { Picture } from "../engine/raster.ts";

/** What a pixel file says of itself, before its pixels are decoded. */
export interface Header {
  /** Pixels as stored, before the orientation is applied. */
  readonly width: number;
  readonly height: number;
  readonly pages: number;
  /** The decoder's name for the colour space, e.g. srgb, rgb16, b-w, grey16, cmyk. */
  readonly space: string;
  /** Whole samples of 8 or 16 bits; anything else (floating point) is `false`. */
  readonly wholeSamples: boolean;
  readonly bits: number;
  /** Samples a pixel, alpha included. */
  readonly channels: number;
  readonly hasAlpha: boolean;
  /** 1–8, as in EXIF 2.32 §4.6.4 (Orientation). */
  readonly orientation: number;
  readonly icc: Uint8Array | undefined;
  /** The file holds an ICC profile that is too damaged to hand out. */
  readonly profileDropped: boolean;
}

/** Width and height in whole pixels, after orientation. */
export interface Size {
  readonly width: number;
  readonly height: number;
}

export interface Decoded {
  readonly picture: Picture;
  /** Faults in the file that the decoder stepped over; one line each. */
  readonly faults: readonly string[];
  /** The embedded profile could not be used, and the pixels were taken as if it were not there. */
  readonly profileIgnored: boolean;
}

/** Takes pictures apart. Every method throws an Error where the bytes cannot be decoded. */
export interface Decoder {
  header(bytes: Uint8Array): Promise<Header>;
  /** The first page, turned upright, in sRGB; resampled by Lanczos (a = 3) where `size` is given. */
  decode(bytes: Uint8Array, header: Header, size?: Size): Promise<Decoded>;
  /** The first page's samples as stored, turned upright: 4 a pixel, the missing ones solid; not colour managed. */
  samples(bytes: Uint8Array, header: Header): Promise<Uint8Array | Uint16Array>;
  resize(picture: Picture, size: Size): Promise<Picture>;
  /** An SVG document whose root asks for exactly `size` at 96 units an inch. */
  draw(svg: Uint8Array, size: Size): Promise<Picture>;
}
