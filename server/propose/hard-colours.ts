import { deltaE00 } from "../engine/colour/ciede2000.ts";
import { chromaOf, hueOf, type Lab } from "../engine/colour/cielab.ts";
import { hexOf } from "../engine/inspect/colour-groups.ts";

/** C*ab that pigments without fluorescence hardly reach, by the hue where it ends. From memory, no source. */
const VIVID: readonly (readonly [until: number, chroma: number])[] = [
  [110, 108],
  [200, 82],
  [290, 72],
  [360, 92],
];

/** What is told of flat colours on this garment: those it swallows, and those that no pigment reaches. */
export function hardColours(
  colours: readonly { readonly lab: Lab; readonly rgb: readonly [number, number, number] }[],
  garments: readonly { readonly name: string; readonly lab: Lab }[],
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
    const hidden = garments.flatMap((garment) => {
      const d = far(lab, garment.lab);
      if (lab.L > 40 || d > HARDLY) return [];
      return [`${hexOf(rgb)} is hardly seen on ${garment.name}, ΔE00 ${d.toFixed(0)} from the garment`];
    });
    return [...neon, ...hidden];
  });
}

/** ΔE00 from dark garments up to which a colour is hardly seen on it. Common practice, no source. */
const HARDLY = 12;

function far(p: Lab, q: Lab): number {
  return deltaE00(p.L, p.a, p.b, q.L, q.a, q.b);
}
