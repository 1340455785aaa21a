import type { ArtworkInfo } from "../../server/artwork/artwork.ts";
import { resolveRecipe } from "../../server/language/resolve-recipe.ts";
import { preparedArtwork } from "../../server/render/artworks.ts";
import { separationPlan } from "../../server/render/plan/separation-plan.ts";
import { makePrint, type Print } from "../../server/render/print.ts";
import { ALL_RULES } from "../../server/rules/all.ts";
import type { Mark } from "../../server/rules/rule.ts";
import { jobWith } from "./example.ts";

export type Pixel = readonly [r: number, g: number, b: number, a?: number];
export const CLEAR: Pixel = [0, 0, 0, 0];
export const BLACK: Pixel = [16, 16, 18];
export const RED: Pixel = [216, 67, 31];
export const GREEN: Pixel = [30, 140, 60];
export const WHITE: Pixel = [255, 255, 255];
export const PINK: Pixel = [230, 120, 110];

/** A picture to separate. */
export interface Drawn {
  readonly width: number;
  readonly height: number;
  at(x: number, y: number): Pixel;
  /** What is known of the file, where it is not a plain PNG of these pixels with a profile. */
  readonly info?: Partial<ArtworkInfo>;
  readonly notes?: readonly string[];
}

/** The job of the examples, with sections replaced, made from a drawn picture; its width fixes the resolution. */
export async function printOf(example: string, drawn: Drawn): Promise<Print> {
  const { main, shop } = jobWith(example);
  const recipe = resolveRecipe(main, shop);
  const { width, height } = drawn;
  const data = new Uint8Array(width * height * 4);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const [r, g, b, a = 255] = drawn.at(x, y);
      data.set([r, g, b, a], (y * width + x) * 4);
    }
  const { widthMm } = recipe.artwork;
  const ppi = width / (widthMm / 25.4);
  const info: ArtworkInfo = {
    format: "png",
    width,
    height,
    heightMm: (widthMm * height) / width,
    ppi,
    bits: 8,
    colourSpace: "rgb",
    profile: "sRGB",
    hasAlpha: true,
    orientation: 1,
    pages: 1,
    vector: false,
    hasText: false,
    outside: [],
    spots: [],
    ...drawn.info,
  };
  const artwork = { picture: { width, height, data }, ppi, info, notes: drawn.notes ?? [] };
  return makePrint(recipe, preparedArtwork(artwork, separationPlan(recipe).preparation));
}

/** What one pixel rule says of a print. */
export function saidBy(id: string, print: Print): Mark[] {
  const rule = ALL_RULES.find((known) => known.id === id);
  if (rule?.looksAt !== "pixels") throw new Error(`no pixel rule "${id}"`);
  return [...rule.check(print)];
}

export async function messages(id: string, example: string, drawn: Drawn): Promise<string[]> {
  return saidBy(id, await printOf(example, drawn)).map(({ message }) => message);
}
