import { deltaE00 } from "../engine/colour/ciede2000.ts";
import type { Lab } from "../engine/colour/cielab.ts";
import type { Shortfall } from "../engine/tune/shortfall.ts";
import { colourText } from "../language/changes/change.ts";
import type { Recipe } from "../language/recipe.ts";

/** An ink in the library that is this near to a colour, in ΔE00, will do for it. */
const NEAR = 8;
/** A gain under this, in mean ΔE00, is not worth a screen. */
const WORTH = 0.1;

/** Per garment, what keeps its print from being nearer; then the one ink, or the one screen more, that would bring most. */
export function leftLines(left: readonly Shortfall[], recipe: Recipe): string[] {
  const figure = (value: number) => value.toFixed(2);
  const lines = left.map(
    ({ garment, mean, gamut, sharing, shape, tone }) =>
      `${garment}: ΔE00 ${figure(mean)} at sampled pixels, of which ${figure(gamut)} no tones of these inks reach, ${figure(sharing)} for screens shared with other garments, ${figure(shape)} where ranges leave a plate out, ${figure(tone)} by tones inside of them`,
  );
  const advice = left.flatMap(({ garment, ink, apart }) => [
    { gain: ink.gain, text: `${inkText(ink.colour, recipe)}: ${figure(ink.gain)} nearer on ${garment}` },
    ...(apart
      ? [
          {
            gain: apart.gain,
            text: `${apart.plate} apart for ${garment}: ${figure(apart.gain)} nearer on it, one screen more`,
          },
        ]
      : []),
  ]);
  const [best] = advice.sort((a, b) => b.gain - a.gain);
  return best && best.gain >= WORTH ? [...lines, `most would come of ${best.text}`] : lines;
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
