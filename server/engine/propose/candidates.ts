import { deltaE00 } from "../colour/ciede2000.ts";
import { chromaOf, hueOf, type Lab, labFromBytes, linearFromLab } from "../colour/cielab.ts";
import { byteFromLinear } from "../colour/srgb.ts";
import { colourOf } from "../print/ink-film.ts";
import type { WeightedColour } from "./colours.ts";
import { type Candidate, DARK } from "./trial.ts";

/** Opacities of inks that are still to be mixed: usual of plastisol through such meshes. Common practice, no source. */
export function defaultOpacity({ L, a, b }: Lab): number {
  if (L <= DARK) return 0.97;
  return L >= 92 && chromaOf(a, b) < 8 ? 0.93 : 0.75;
}

/** The white that proposals print bases with. */
export const WHITE_INK: Candidate = {
  name: "",
  film: { colour: labFromBytes(0xf6, 0xf5, 0xf1), opacity: 0.93 },
};
/** The same white printed on top. */
export const HIGHLIGHT: Candidate = { ...WHITE_INK, onTop: true };

/** Colours farther apart than this are worth a try of their own. */
const APART = 5;
/** Inks are mixed more vivid and further from middle grey than the colours they make with others. */
const STRETCHES = [1, 1.25, 1.6];
const SECTORS = 12;

/** An ink to be mixed, of a colour that a hex can hold: what it prints, no more than that. */
export function mixedInk(lab: Lab): Candidate {
  const { r, g, b } = linearFromLab(lab);
  const colour = labFromBytes(byteFromLinear(r), byteFromLinear(g), byteFromLinear(b));
  return { name: "", film: { colour, opacity: defaultOpacity(colour) } };
}

/** Inks worth trying for a picture: its own colours, the same more vivid, its most vivid of every hue, and greys. */
export function freeCandidates(colours: readonly WeightedColour[], greys: boolean): Candidate[] {
  const found: Candidate[] = [];
  const add = (lab: Lab) => {
    const ink = mixedInk(lab);
    const { L, a, b } = colourOf(ink.film);
    const known = found.some(({ film }) => {
      const own = colourOf(film);
      return deltaE00(L, a, b, own.L, own.a, own.b) < APART;
    });
    if (!known) found.push(ink);
  };
  for (const L of [6, 30, 48, 66, 82]) add({ L, a: 0, b: 0 });
  if (greys) return found;
  const middle = 55;
  for (const { lab } of mostVivid(colours)) {
    add(stretched(lab, middle, 1.15));
    add(stretched(lab, middle, 1.5));
  }
  for (const { lab } of spread(colours, 26)) for (const by of STRETCHES) add(stretched(lab, middle, by));
  return found;
}

function stretched({ L, a, b }: Lab, middle: number, by: number): Lab {
  const light = 1 + (by - 1) * 0.5;
  return { L: Math.min(97, Math.max(4, middle + (L - middle) * light)), a: a * by, b: b * by };
}

/** Of every sector of hue the colour of most chroma. */
function mostVivid(colours: readonly WeightedColour[]): WeightedColour[] {
  const best: (WeightedColour | undefined)[] = Array.from({ length: SECTORS });
  for (const colour of colours) {
    const { a, b } = colour.lab;
    if (chromaOf(a, b) < 10) continue;
    const sector = Math.floor((hueOf(a, b) / 360) * SECTORS) % SECTORS;
    const known = best[sector];
    if (!known || chromaOf(a, b) > chromaOf(known.lab.a, known.lab.b)) best[sector] = colour;
  }
  return best.filter((colour) => colour !== undefined);
}

/** Colours far apart from one another, the most frequent first. */
function spread(colours: readonly WeightedColour[], most: number): WeightedColour[] {
  const chosen: WeightedColour[] = [];
  const far = colours.map(() => Number.POSITIVE_INFINITY);
  while (chosen.length < Math.min(most, colours.length)) {
    let best = 0;
    for (const i of colours.keys()) {
      const score = (at: number) => far[at]! * colours[at]!.weight ** 0.3;
      if (score(i) > score(best)) best = i;
    }
    const next = colours[best]!;
    if (far[best] === 0) break;
    chosen.push(next);
    for (const [i, { lab }] of colours.entries()) {
      const d = deltaE00(lab.L, lab.a, lab.b, next.lab.L, next.lab.a, next.lab.b);
      far[i] = Math.min(far[i]!, d);
    }
  }
  return chosen;
}
