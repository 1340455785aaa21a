import { deltaE00 } from "../../engine/colour/ciede2000.ts";
import { ColourGroups, hexOf } from "../../engine/inspect/colour-groups.ts";
import { openMask } from "../../engine/inspect/opening.ts";
import { placeWords } from "../../language/place-words.ts";
import { mixesSquares } from "../../render/plan/index-plan.ts";
import { labAt } from "../../render/print.ts";
import type { PixelRule } from "../rule.ts";
import { cm2 } from "../words.ts";
import { yaml } from "../yaml.ts";

/** Tone that all colours together must reach to count as printing, 0–255. */
const PRINTS = 51;
/** ΔE00 from which what comes out is not what was sent. */
const LOST = 20;
const LEAST_CM2 = 0.5;
const MOST_GROUPS = 3;
/** The edge between two colours is a mixture of them that no plate prints, and none needs to. */
const EDGE_MM = 0.3;

/** Artwork that no plate prints. */
export const unprintedArtwork: PixelRule = {
  id: "unprinted-artwork",
  looksAt: "pixels",
  level: "warning",
  why: "A colour that falls between all ranges is missing from the shirt, and nobody sees it before the first print.",
  source:
    "Follows from the plates; a fifth of the tone, 20 ΔE00 and 0.5 cm² as the bounds are common practice, no source.",
  example: {
    fails: yaml`
      # a picture with red and green in it
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
        ember: { ink: ember, extract: { hue: [350, 50] } }
    `,
    passes: yaml`
      # a picture with red and green in it
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
        ember: { ink: ember, extract: { hue: [350, 50] } }
        leaf: { ink: leaf, extract: { hue: [110, 180] } }
    `,
  },
  *check(print) {
    const { width, height, data, areas } = print.picture;
    // Flat art's own words for what is left to the garment, which are no slip.
    const clear = areas ? areas.colours.length / 4 - 1 : -1;
    for (const [name, setup] of print.recipe.setups) {
      const [garment] = setup.garments;
      if (garment === undefined) continue;
      // Where squares mix to a colour, some of them are bare.
      if (mixesSquares(print.recipe, setup)) continue;
      const colours = print
        .printed(setup)
        .filter((plate) => print.recipe.plates.get(plate.name)!.purpose !== "underbase");
      const proof = print.proof(garment, name);
      const missing = new Uint8Array(width * height);
      for (let i = 0; i < width * height; i++) {
        if (data[i * 4 + 3]! < 128 || areas?.first[i] === clear) continue;
        let tone = 0;
        for (const { tones } of colours) tone += tones[i]!;
        if (tone >= PRINTS) continue;
        const art = labAt(data, i * 4);
        const out = labAt(proof, i * 3);
        if (deltaE00(art.L, art.a, art.b, out.L, out.a, out.b) < LOST) continue;
        missing[i] = 1;
      }
      openMask(missing, width, height, Math.max(2, Math.round(EDGE_MM / print.pixelMm)));
      const groups = new ColourGroups(width, height);
      for (let i = 0; i < missing.length; i++)
        if (missing[i] !== 0) groups.add(i, data[i * 4]!, data[i * 4 + 1]!, data[i * 4 + 2]!);
      const lost = groups.result().filter(({ pixels }) => print.areaCm2(pixels) >= LEAST_CM2);
      for (const { pixels, rgb, where } of lost.slice(0, MOST_GROUPS)) {
        const hex = hexOf(rgb);
        yield {
          path: ["setups", name],
          part: "key",
          message: `no plate prints ${cm2(print.areaCm2(pixels))} of ${hex}, ${placeWords(where)}; on ${garment} that colour will be missing: widen a range, or add a plate with near: "${hex}"`,
          data: { colour: hex },
        };
      }
    }
  },
};
