import type { Artwork } from "../artwork/artwork.ts";
import { deltaE00 } from "../engine/colour/ciede2000.ts";
import type { Lab } from "../engine/colour/cielab.ts";
import type { Apart } from "../engine/tune/apart.ts";
import {
  type GarmentShortfall,
  type PlateGain,
  type Shortfall,
  shortfall,
} from "../engine/tune/shortfall.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import { colourText } from "../language/changes/change.ts";
import type { Recipe } from "../language/recipe.ts";
import { listed } from "../language/words.ts";
import { tuneJob } from "../render/tune-job.ts";
import type { LeftOver } from "../wire/panel.ts";

/** An ink in the library that is this near to a colour, in ΔE00, will do for it. */
const NEAR = 8;
/** A gain under this, in mean ΔE00, is not worth a screen. */
const WORTH = 0.1;
/** One under this reads as none. */
const SEEN = 0.005;

/**
 * What keeps a recipe's prints on garments, by weight, from being nearer: per garment, and the one ink, or the one screen
 * more, that would bring most. Looks at so many pixels.
 */
export async function whatIsLeft(
  recipe: Recipe,
  { picture, ppi }: Artwork,
  garments: ReadonlyMap<string, number>,
  pixels: number,
  turn: () => Promise<void> = async () => {},
): Promise<LeftOver> {
  const splitting = shortfall(tuneJob(recipe, [], garments), picture, ppi / MM_PER_INCH, [], pixels);
  for (;;) {
    const step = splitting.next();
    if (step.done) return leftOver(step.value, recipe);
    await turn();
  }
}

/** The same in lines. */
export function leftLines({ garments, most }: LeftOver): string[] {
  return [
    ...garments.map(({ garment, text }) => `${garment}: ${text}`),
    ...(most === undefined ? [] : [most]),
  ];
}

function leftOver({ garments, apart }: Shortfall, recipe: Recipe): LeftOver {
  const texts = garments.map((one) => ({ garment: one.garment, text: splitText(one) }));
  const advice = garments.map(({ garment, ink }) => ({
    gain: ink.gain,
    text: () => `${inkText(ink.colour, recipe)}: ${figure(ink.gain)} nearer on ${garment}`,
  }));
  if (apart) advice.push({ gain: Math.max(...apart.gains), text: () => apartText(apart, garments) });
  const [best] = advice.sort((a, b) => b.gain - a.gain);
  const most = best && best.gain >= WORTH ? `most would come of ${best.text()}` : undefined;
  return { garments: texts, most };
}

/** Why a garment's print is as far off as it is, with the plate that has most part in it. */
function splitText({ mean, gamut, sharing, shape, tone, leftOut, offTone }: GarmentShortfall): string {
  return [
    `ΔE00 ${figure(mean)} at sampled pixels`,
    `${figure(gamut)} out of gamut`,
    `${figure(sharing)} for screens shared with other garments`,
    `${figure(shape)} where plates are left out${mostly(leftOut)}`,
    `${figure(tone)} by tones${mostly(offTone)}`,
  ].join(", ");
}

function mostly(of: PlateGain | undefined): string {
  return of && of.gain >= WORTH ? ` (${of.plate} alone ${figure(of.gain)})` : "";
}

function apartText({ plate, setup, gains }: Apart, garments: readonly GarmentShortfall[]): string {
  const nearer = gains.flatMap((gain, g) =>
    Math.abs(gain) >= SEEN
      ? [`${figure(Math.abs(gain))} ${gain > 0 ? "nearer" : "further"} on ${garments[g]!.garment}`]
      : [],
  );
  return `${plate} apart for setup ${setup}, one screen more: ${listed(nearer)}`;
}

function figure(value: number): string {
  return value.toFixed(2);
}

/** An ink in the library that no plate prints with, where one is near, else its colour. */
function inkText(colour: Lab, { inks, plates }: Recipe): string {
  const used = new Set([...plates.values()].map(({ ink }) => ink));
  const [nearest] = [...inks]
    .filter(([name]) => !used.has(name))
    .map(([name, ink]) => ({ name, far: distance(colour, ink.colour.lab) }))
    .sort((a, b) => a.far - b.far);
  return nearest && nearest.far < NEAR
    ? `the ink library's ink ${nearest.name} on a screen more`
    : `an ink of ${colourText(colour)}`;
}

function distance(p: Lab, q: Lab): number {
  return deltaE00(p.L, p.a, p.b, q.L, q.a, q.b);
}
