import { deltaE00 } from "../engine/colour/ciede2000.ts";
import { chromaOf, hueOf, type Lab, labFromBytes } from "../engine/colour/cielab.ts";
import { ColourGroups, hexOf } from "../engine/inspect/colour-groups.ts";
import { openMask } from "../engine/inspect/opening.ts";
import { colourOf } from "../engine/print/ink-film.ts";
import type { Candidate } from "../engine/propose/trial.ts";
import { placeWords } from "../language/place-words.ts";
import { labAt, type Print } from "../render/print.ts";
import { cm2, percent } from "../rules/words.ts";

/** ΔE00 from which a colour is missed, and the share of the drawing from which that is told. */
const MISSED = 10;
const LEAST = 0.003;
const LEAST_GROUP = 0.001;
const MOST_GROUPS = 3;
/** What lies at an edge is a mixture, and none of the drawing's colours. */
const EDGE_MM = 0.3;
/** Around flat art's edges compression leaves dirt so many pixels wide, which is cleaned and not lost. */
const DIRT = 6;
/** ΔE00 by which an ink of the shelf must come nearer to be worth its screen. */
const WORTH = 4;

/** What of the drawing does not print as the customer sees it: which colour, where, and what it would cost. */
export function missedColours(print: Print, shelf: readonly Candidate[]): string[] {
  const { width, height, data, areas } = print.picture;
  const clear = areas ? areas.colours.length / 4 - 1 : -1;
  const told: string[] = [];
  for (const [name, setup] of print.recipe.setups) {
    for (const garment of setup.garments) {
      const proof = print.proof(garment, name);
      const missed = new Uint8Array(width * height);
      let drawn = 0;
      for (let i = 0; i < missed.length; i++) {
        // What was cut inside of the drawing is told already.
        if (data[i * 4 + 3]! < 128 || areas?.first[i] === clear) continue;
        drawn++;
        if (far(labAt(data, i * 4), labAt(proof, i * 3)) > MISSED) missed[i] = 1;
      }
      const edge = Math.max(areas ? DIRT : 2, Math.round(EDGE_MM / print.pixelMm));
      openMask(missed, width, height, edge);
      const groups = new ColourGroups(width, height);
      let all = 0;
      for (let i = 0; i < missed.length; i++) {
        if (missed[i] === 0) continue;
        all++;
        groups.add(i, data[i * 4]!, data[i * 4 + 1]!, data[i * 4 + 2]!);
      }
      if (all < LEAST * drawn) continue;
      const miss = missesOf(print, missed, proof);
      for (const { pixels, rgb, where } of groups.result().slice(0, MOST_GROUPS)) {
        if (pixels < LEAST_GROUP * drawn) continue;
        const lab = labFromBytes(...rgb);
        const by = miss(lab);
        told.push(
          `${hexOf(rgb)} will print ΔE00 ${by.toFixed(0)} off on ${garment}, ${cm2(print.areaCm2(pixels))} or ${percent(pixels / drawn)} of the drawing, ${placeWords(where)}; ${remedy(lab, by, print, shelf)}`,
        );
      }
    }
  }
  return told;
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

/** What prints the colour: an ink of the shelf that is not used yet, or one to be mixed. */
function remedy(lab: Lab, by: number, print: Print, shelf: readonly Candidate[]): string {
  const used = new Set([...print.recipe.plates.values()].map(({ ink }) => ink));
  const [nearest] = shelf
    .filter(({ name }) => !used.has(name))
    .map(({ name, film }) => ({ name, d: far(lab, colourOf(film)) }))
    .sort((a, b) => a.d - b.d);
  const screen = "one screen more";
  return nearest && nearest.d <= by - WORTH
    ? `add ${nearest.name}, ${screen}`
    : `have an ink mixed to it, ${screen}`;
}

/** C*ab that pigments without fluorescence hardly reach, by the hue where it ends. From memory, no source. */
const VIVID: readonly (readonly [until: number, chroma: number])[] = [
  [110, 108],
  [200, 82],
  [290, 72],
  [360, 92],
];

/** What is told of flat colours on this cloth: those it swallows, and those that no pigment reaches. */
export function hardColours(
  colours: readonly { readonly lab: Lab; readonly rgb: readonly [number, number, number] }[],
  cloths: readonly { readonly name: string; readonly lab: Lab }[],
): string[] {
  return colours.flatMap(({ lab, rgb }) => {
    const [, most] = VIVID.find(([until]) => hueOf(lab.a, lab.b) < until)!;
    const chroma = chromaOf(lab.a, lab.b);
    const neon =
      chroma > most
        ? [
            `${hexOf(rgb)} is more vivid than pigments print (C*ab ${chroma.toFixed(0)}); ask whether a fluorescent ink is meant`,
          ]
        : [];
    const hidden = cloths.flatMap((cloth) => {
      const d = far(lab, cloth.lab);
      if (lab.L > 40 || d > HARDLY) return [];
      return [`${hexOf(rgb)} is hardly seen on ${cloth.name}, ΔE00 ${d.toFixed(0)} from the garment`];
    });
    return [...neon, ...hidden];
  });
}

/** ΔE00 from dark cloth up to which a colour is hardly seen on it. Common practice, no source. */
const HARDLY = 12;

function far(p: Lab, q: Lab): number {
  return deltaE00(p.L, p.a, p.b, q.L, q.a, q.b);
}
