import type { SharpOptions } from "sharp";
import { loadSharp } from "../artwork/load-sharp.ts";
import type { Tones } from "../engine/raster.ts";

/** Little effort: plates are mostly flat, and higher levels cost more time than they save space. */
const COMPRESSION = 4;

/** A plate as 8-bit grey PNG, black = full ink, with its resolution. */
export function platePng(tones: Tones, width: number, height: number, ppi: number): Promise<Uint8Array> {
  const image = open(tones, { width, height, channels: 1 });
  return image
    .negate()
    .toColourspace("b-w")
    .withDensity(ppi)
    .png({ compressionLevel: COMPRESSION })
    .toBuffer();
}

/** An sRGB picture, three bytes a pixel, as PNG with its profile and resolution. */
export function picturePng(rgb: Uint8Array, width: number, height: number, ppi: number): Promise<Uint8Array> {
  const image = open(rgb, { width, height, channels: 3 });
  return image.withIccProfile("srgb").withDensity(ppi).png({ compressionLevel: COMPRESSION }).toBuffer();
}

function open(data: Uint8Array, raw: NonNullable<SharpOptions["raw"]>) {
  return loadSharp()(data, { raw, limitInputPixels: false });
}
