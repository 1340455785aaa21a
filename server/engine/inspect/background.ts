import { fastLab } from "../colour/fast-lab.ts";
import type { Picture } from "../raster.ts";

/** Alpha from which a pixel covers. */
const COVERS = 242;
/** Distance in CIELAB within which colours of the border are one colour. */
const SAME = 3;

/** A plain colour that reaches the picture's edges. */
export interface Background {
  /** The pixels along the edges that cover. */
  readonly border: readonly number[];
  /** Their mean, 8-bit sRGB. */
  readonly rgb: readonly [number, number, number];
}

/** The pixels along the picture's edges and their colour, where they are opaque and all alike. */
export function backgroundOf({ width, height, data }: Picture): Background | undefined {
  const border: number[] = [];
  for (let x = 0; x < width; x++) border.push(x, (height - 1) * width + x);
  for (let y = 1; y < height - 1; y++) border.push(y * width, y * width + width - 1);
  const opaque = border.filter((at) => data[at * 4 + 3]! >= COVERS);
  if (opaque.length < border.length * 0.98) return undefined;
  const mean = (c: number) =>
    Math.round(opaque.reduce((sum, at) => sum + data[at * 4 + c]!, 0) / opaque.length);
  const rgb = [mean(0), mean(1), mean(2)] as const;
  const lab = new Float64Array(6);
  fastLab(...rgb, lab);
  const alike = opaque.filter((at) => {
    fastLab(data[at * 4]!, data[at * 4 + 1]!, data[at * 4 + 2]!, lab, 3);
    return Math.hypot(lab[3]! - lab[0]!, lab[4]! - lab[1]!, lab[5]! - lab[2]!) <= SAME;
  });
  return alike.length >= border.length * 0.95 ? { border, rgb } : undefined;
}
