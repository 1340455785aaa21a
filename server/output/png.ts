import sharp from "sharp";
import type { Tones } from "../engine/raster.ts";

/** Little effort: plates are mostly flat, and higher levels cost more time than they save space. */
const COMPRESSION = 4;

/** A plate as 8-bit grey PNG, black = full ink, with its resolution. */
export function platePng(tones: Tones, width: number, height: number, ppi: number): Promise<Uint8Array> {
  const grey = new Uint8Array(tones.length);
  for (let i = 0; i < grey.length; i++) grey[i] = 255 - tones[i]!;
  return sharp(grey, { raw: { width, height, channels: 1 }, limitInputPixels: false })
    .toColourspace("b-w")
    .withDensity(ppi)
    .png({ compressionLevel: COMPRESSION })
    .toBuffer();
}

/** An sRGB picture, three bytes a pixel, as PNG with its profile and resolution. */
export function picturePng(rgb: Uint8Array, width: number, height: number, ppi: number): Promise<Uint8Array> {
  return sharp(rgb, { raw: { width, height, channels: 3 }, limitInputPixels: false })
    .withIccProfile("srgb")
    .withDensity(ppi)
    .png({ compressionLevel: COMPRESSION })
    .toBuffer();
}
