import { deltaE00 } from "../../engine/colour/ciede2000.ts";
import { chromaOf, hueOf } from "../../engine/colour/cielab.ts";
import { hexOf } from "../../engine/inspect/colour-groups.ts";
import { labAt } from "../../render/print.ts";
import { inkOf } from "../job.ts";
import type { PixelRule } from "../rule.ts";
import { figure } from "../words.ts";
import { yaml } from "../yaml.ts";

/** Hue angle from which an ink is another colour than what it prints, and ΔE00 from which it is so for any ink. */
const FAR_HUE = 70;
const FAR = 40;
/** Below this C*ab a hue says little. */
const CHROMATIC = 20;

/** A plate prints more or less the colour that it takes from the artwork. */
export const farInk: PixelRule = {
  id: "far-ink",
  looksAt: "pixels",
  level: "warning",
  why: "A plate that takes one colour from the artwork and prints quite another was given the wrong ink or the wrong range.",
  source: "ΔE00 by ISO/CIE 11664-6; the bounds are common practice, no source.",
  example: {
    fails: yaml`
      # a picture with red and green in it
      plates:
        ember: { ink: ember, extract: { hue: [120, 180], chroma: [20, 150] } }
    `,
    passes: yaml`
      # a picture with red and green in it
      plates:
        ember: { ink: ember, extract: { hue: [350, 60], chroma: [20, 150] } }
    `,
  },
  *check(print) {
    const { data } = print.picture;
    for (const { name, untrapped } of print.plates.values()) {
      const plate = print.recipe.plates.get(name)!;
      // An ink that is mixed into others' colours is far from all of them; a plate from a file is somebody else's choice.
      if (plate.screening.method === "index" || plate.given) continue;
      // Folded plates bring colours of their own.
      if (plate.purpose !== "colour" || print.recipe.merges.some(({ into }) => into === name)) continue;
      const sum = [0, 0, 0];
      let weight = 0;
      for (let i = 0; i < untrapped.length; i++) {
        const w = untrapped[i]! * untrapped[i]!;
        if (w === 0) continue;
        weight += w;
        for (let c = 0; c < 3; c++) sum[c]! += w * data[i * 4 + c]!;
      }
      if (weight === 0) continue;
      const mean = sum.map((v) => Math.round(v / weight)) as [number, number, number];
      const art = labAt(Uint8Array.from(mean), 0);
      const ink = inkOf(print.recipe, plate).colour.lab;
      const difference = deltaE00(art.L, art.a, art.b, ink.L, ink.a, ink.b);
      const turn = Math.abs(((hueOf(art.a, art.b) - hueOf(ink.a, ink.b) + 540) % 360) - 180);
      const otherHue =
        turn > FAR_HUE && chromaOf(art.a, art.b) > CHROMATIC && chromaOf(ink.a, ink.b) > CHROMATIC;
      if (difference < FAR && !otherHue) continue;
      const hex = hexOf(mean);
      yield {
        path: ["plates", name, "ink"],
        message: `${name} takes ${hex} from the artwork, mostly, and prints it with ${plate.ink}, ${figure(difference)} ΔE00 away; give it another ink, or another range`,
        data: { colour: hex },
      };
    }
  },
};
