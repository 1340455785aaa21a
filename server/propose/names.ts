import { chromaOf, hueOf, type Lab } from "../engine/colour/cielab.ts";

/** Below this C*ab a colour has no hue worth naming. Common practice, no source. */
const NEUTRAL = 10;

/** Hues by where they end, in degrees hab, as plain English names them. No source. */
const HUES: readonly (readonly [until: number, name: string])[] = [
  [15, "rose"],
  [46, "red"],
  [70, "orange"],
  [86, "gold"],
  [106, "yellow"],
  [122, "lime"],
  [168, "green"],
  [208, "teal"],
  [296, "blue"],
  [320, "violet"],
  [345, "purple"],
  [360, "rose"],
];

/** A colour in plain words, fit for a name: `deep-red`, `light-grey`. */
export function colourWord(lab: Lab): string {
  const { L } = lab;
  const chroma = chromaOf(lab.a, lab.b);
  if (chroma < (L > 88 || L < 20 ? 12 : NEUTRAL)) return neutral(L);
  const hue = hueOf(lab.a, lab.b);
  const [, name] = HUES.find(([until]) => hue < until)!;
  if (["red", "orange", "gold"].includes(name)) {
    if (L < 50 && chroma < 60 && hue > 35) return L < 28 ? "dark-brown" : "brown";
    if (chroma < 38 && hue > 35) return L < 66 ? "tan" : "cream";
  }
  if ((name === "yellow" || name === "lime") && L < 58) return "olive";
  if (name === "blue" && L < 30 && chroma < 55) return "navy";
  if (name === "rose" && L > 62) return "pink";
  if (L > 80 && chroma < 42) return `pale-${name}`;
  if (L > 66 && !["yellow", "lime", "gold", "orange"].includes(name)) return `light-${name}`;
  return L < 34 ? `deep-${name}` : name;
}

function neutral(L: number): string {
  if (L >= 91) return "white";
  if (L >= 76) return "pale-grey";
  if (L >= 62) return "light-grey";
  if (L >= 42) return "grey";
  return L > 20 ? "dark-grey" : "black";
}

/** Names for colours in the order given, each its own: the second `red` is `red-2`. `taken` are not used. */
export function uniqueNames(colours: readonly Lab[], taken: readonly string[] = []): string[] {
  const used = new Set(taken);
  return colours.map((lab) => {
    const word = colourWord(lab);
    let name = word;
    for (let n = 2; used.has(name); n++) name = `${word}-${n}`;
    used.add(name);
    return name;
  });
}
