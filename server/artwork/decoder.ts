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

/** Samples as a file stores them: whole channels, not colour managed. */
export interface Channels extends Size {
  /** One after another, width × height bytes each; 16-bit samples rounded to 8. */
  readonly channels: readonly Uint8Array[];
}

/** How channels are asked for. */
export interface ChannelsOptions {
  /** From 0. */
  readonly page: number;
  /** Samples of 16 bits, which are rounded to 8. */
  readonly deep: boolean;
  /** A picture of one channel: that one alone, straight at `size`. */
  readonly single?: { readonly size: Size | undefined; readonly kernel: ToneKernel } | undefined;
  /** What shows where the picture is clear, 0–255; without it there is nothing clear, and a last channel is one like others. */
  readonly behind?: number | undefined;
}

/** How tones get fewer or more pixels: `smooth` as artwork does, `area` without overshoot, as dots need it. */
export type ToneKernel = "smooth" | "area";

/** Takes pictures apart. Every method throws an Error where the bytes cannot be decoded. */
export interface Decoder {
  header(bytes: Uint8Array): Promise<Header>;
  /** The first page, turned upright, in sRGB; resampled by Lanczos (a = 3) where `size` is given. */
  decode(bytes: Uint8Array, header: Header, size?: Size): Promise<Decoded>;
  /** The first page's samples as stored, turned upright: 4 a pixel, the missing ones solid; not colour managed. */
  samples(bytes: Uint8Array, header: Header): Promise<Uint8Array | Uint16Array>;
  resize(picture: Picture, size: Size): Promise<Picture>;
  /** A page's channels as stored, turned upright. */
  channels(bytes: Uint8Array, options: ChannelsOptions): Promise<Channels>;
  /** One channel, with other pixels. */
  resizeTones(tones: Uint8Array, from: Size, to: Size, kernel: ToneKernel): Promise<Uint8Array>;
  /** An SVG document whose root asks for exactly `size` at 96 units an inch. */
  draw(svg: Uint8Array, size: Size): Promise<Picture>;
}
