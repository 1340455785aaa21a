import { existsSync } from "node:fs";
import { fileURLToPath } from "node:url";
import sharp from "sharp";
import type { Picture } from "../../server/engine/raster.ts";

/** Where Debian's openclipart-svg and python3-skimage lie; another folder for photographs can be named. */
const DRAWINGS = "/usr/share/openclipart/svg";
const PHOTOGRAPHS = process.env.BENCH_PHOTOGRAPHS ?? "/usr/lib/python3/dist-packages/skimage/data";
const SAMPLE = fileURLToPath(new URL("../../samples/night-garden/night-garden.svg", import.meta.url));

/** Real artwork: flat drawings, drawings with gradients, photographs, and the demo's. */
export const PICTURES: readonly (readonly [name: string, file: string])[] = [
  ["hikers, flat", `${DRAWINGS}/recreation/sports/hikinh_ganson.svg`],
  ["cat, flat", `${DRAWINGS}/animals/mammals/housecats/gatto_cat_architetto_fra_03.svg`],
  ["cone, flat", `${DRAWINGS}/food/desserts/cone_alt3.svg`],
  ["puffin, gradients", `${DRAWINGS}/animals/birds/puffin-md.svg`],
  ["sandglass, gradients", `${DRAWINGS}/signs_and_symbols/clocks/sandglass_vermin_.svg`],
  ["coffee, photograph", `${PHOTOGRAPHS}/coffee.png`],
  ["astronaut, photograph", `${PHOTOGRAPHS}/astronaut.png`],
  ["night garden, the demo", SAMPLE],
];

const SIDE = 480;

/** The picture at bench size; undefined where it is not installed. */
export async function pictureOf(file: string): Promise<Picture | undefined> {
  if (!existsSync(file)) return undefined;
  const { data, info } = await sharp(file, { density: 96 })
    .resize({ width: SIDE, height: SIDE, fit: "inside" })
    .toColourspace("srgb")
    .ensureAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  return { width: info.width, height: info.height, data: new Uint8Array(data) };
}
