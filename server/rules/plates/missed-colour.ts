import { deltaE00, isFarther } from "../../engine/colour/ciede2000.ts";
import { type Lab, labFromBytes } from "../../engine/colour/cielab.ts";
import { type ColourGroup, ColourGroups, hexOf } from "../../engine/inspect/colour-groups.ts";
import { openMask } from "../../engine/inspect/opening.ts";
import { placeWords } from "../../language/place-words.ts";
import { mixesSquares } from "../../render/plan/index-plan.ts";
import { labAt, type Print } from "../../render/print.ts";
import type { Mark, PixelRule } from "../rule.ts";
import { cm2, percent } from "../words.ts";
import { yaml } from "../yaml.ts";

/** ΔE00 from which a colour is missed, and the share of the drawing from which that is said. */
const MISSED = 10;
const LEAST = 0.003;
const LEAST_GROUP = 0.001;
const MOST_GROUPS = 3;
/** What lies at an edge is a mixture, and none of the drawing's colours. */
const EDGE_MM = 0.3;
/** Around flat art's edges compression leaves dirt so many pixels wide, which is cleaned and not lost. */
const DIRT = 6;
/** ΔE00 by which another ink must come nearer to be worth its screen. */
const WORTH = 4;

/** Colours that print far from the customer's: which, where, and what would print them. */
export const missedColour: PixelRule = {
  id: "missed-colour",
  looksAt: "pixels",
  level: "note",
  why: "A colour that these inks cannot print comes out as another colour, and the customer sees it.",
  source:
    "ΔE00 10 and 0.3 % of the drawing as the bounds, and 4 nearer for another ink, are common practice, no source.",
  example: {
    fails: yaml`
      # a picture with green in it
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
        ember: { ink: ember, extract: { artwork: opaque } }
    `,
    passes: yaml`
      # a picture with green in it, and the green in the ink library
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
        leaf: { ink: leaf, extract: { artwork: opaque } }
    `,
  },
  check: (print) => missedColours(print),
};

export function* missedColours(print: Print): Iterable<Mark> {
  for (const [name, setup] of print.recipe.setups) {
    // Squares are other colours one by one, and mix to the artwork's.
    if (mixesSquares(print.recipe, setup)) continue;
    const { garments } = setup;
    for (const garment of garments) {
      const proof = print.proof(garment, name);
      const { missed, drawn, groups } = missedOf(print, proof);
      if (groups.length === 0) continue;
      const miss = missesOf(print, missed, proof);
      // Of flat art every colour counts; in tones the largest stands for those beside it.
      for (const { pixels, rgb, where } of print.picture.areas ? groups : groups.slice(0, 1)) {
        const lab = labFromBytes(...rgb);
        const by = miss(lab);
        const { ink, plate } = wayTo(lab, by, print);
        const remedy = plate
          ? `${plate} has the ink for it: take more of that colour into it`
          : `${ink === undefined ? "have an ink mixed to it" : `add ${ink}`}, one screen more`;
        const colour = hexOf(rgb);
        yield {
          path: ["setups", name],
          part: "key",
          message: `${colour} will print ΔE00 ${by.toFixed(0)} off on ${garment}, ${cm2(print.areaCm2(pixels))} or ${percent(pixels / drawn)} of the drawing, ${placeWords(where)}; ${remedy}`,
          data: { colour, ...(ink === undefined ? {} : { plate: { ink, colour } }) },
        };
      }
    }
  }
}

/** Pixels that print too far from the artwork, away from edges, and their colours. */
function missedOf(
  print: Print,
  proof: Uint8Array,
): { readonly missed: Uint8Array; readonly drawn: number; readonly groups: readonly ColourGroup[] } {
  const { width, height, data, areas } = print.picture;
  const clear = areas ? areas.colours.length / 4 - 1 : -1;
  const missed = new Uint8Array(width * height);
  let drawn = 0;
  for (let i = 0; i < missed.length; i++) {
    // What was cut inside of the drawing is told already.
    if (data[i * 4 + 3]! < 128 || areas?.first[i] === clear) continue;
    drawn++;
    const [art, print] = [labAt(data, i * 4), labAt(proof, i * 3)];
    if (isFarther(art.L, art.a, art.b, print.L, print.a, print.b, MISSED)) missed[i] = 1;
  }
  openMask(missed, width, height, Math.max(areas ? DIRT : 2, Math.round(EDGE_MM / print.pixelMm)));
  const groups = new ColourGroups(width, height);
  let all = 0;
  for (let i = 0; i < missed.length; i++) {
    if (missed[i] === 0) continue;
    all++;
    groups.add(i, data[i * 4]!, data[i * 4 + 1]!, data[i * 4 + 2]!);
  }
  if (all < LEAST * drawn) return { missed, drawn, groups: [] };
  const largest = groups.result().slice(0, MOST_GROUPS);
  return { missed, drawn, groups: largest.filter(({ pixels }) => pixels >= LEAST_GROUP * drawn) };
}

/** The mean miss of pixels that are like a colour. */
function missesOf(print: Print, missed: Uint8Array, proof: Uint8Array): (lab: Lab) => number {
  return (lab) => {
    let [sum, n] = [0, 0];
    for (let i = 0; i < missed.length; i++) {
      if (missed[i] === 0) continue;
      const art = labAt(print.picture.data, i * 4);
      if (far(art, lab) > MISSED) continue;
      sum += far(art, labAt(proof, i * 3));
      n++;
    }
    return n > 0 ? sum / n : MISSED;
  };
}

/** The ink that is much nearer to the colour than what prints, and the plate that prints it already; none where there is none. */
function wayTo(lab: Lab, by: number, { recipe }: Print): { readonly ink?: string; readonly plate?: string } {
  const [nearest] = [...recipe.inks]
    .map(([ink, { colour }]) => ({ ink, d: far(lab, colour.lab) }))
    .sort((a, b) => a.d - b.d);
  if (!nearest || nearest.d > by - WORTH) return {};
  const plate = [...recipe.plates.values()].find(
    ({ ink, purpose }) => ink === nearest.ink && purpose !== "underbase",
  );
  return plate ? { plate: plate.name } : { ink: nearest.ink };
}

function far(p: Lab, q: Lab): number {
  return deltaE00(p.L, p.a, p.b, q.L, q.a, q.b);
}
