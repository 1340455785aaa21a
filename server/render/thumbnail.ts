import { loadSharp } from "../artwork/load-sharp.ts";
import type { Tones } from "../engine/raster.ts";

/** Longest side of a thumbnail, in pixels. */
const SIDE = 160;

/** A small picture of a plate, black = full ink, as a data URI. */
export async function thumbnail(tones: Tones, width: number, height: number): Promise<string> {
  const sharp = loadSharp();
  const png = await sharp(tones, { raw: { width, height, channels: 1 } })
    .resize({ width: SIDE, height: SIDE, fit: "inside", withoutEnlargement: true })
    .negate()
    .toColourspace("b-w")
    .png()
    .toBuffer();
  return `data:image/png;base64,${png.toString("base64")}`;
}
