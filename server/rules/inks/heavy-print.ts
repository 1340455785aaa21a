import { volumeOf } from "../../render/ink-needs.ts";
import type { Print } from "../../render/print.ts";
import { platesIn } from "../job.ts";
import type { PixelRule } from "../rule.ts";
import { cm2, figure } from "../words.ts";
import { yaml } from "../yaml.ts";

/** Wet ink on one place, and the area of it, from which a print is a plate of armour. */
const HEAVY_CM3_M2 = 90;
const LARGE_CM2 = 300;

/** Much ink on a large area of garment neither bends nor breathes. */
export const heavyPrint: PixelRule = {
  id: "heavy-print",
  looksAt: "pixels",
  level: "note",
  why: "A large, thick film of ink is stiff, holds sweat, cracks when the garment stretches, and takes long to cure through.",
  source:
    "Theoretical ink volume as in mesh makers' tables, times tones and strokes; the bounds of 90 cm³/m² on 300 cm² are common practice, no source.",
  example: {
    fails: yaml`
      # Two solid plates through open mesh, over the whole of a large print.
      meshes: { base: { count: 122/in, thread: 70 um, opening: 138 um, thickness: 113 um } }
      usual-mesh: { colour: base, underbase: base }
    `,
    passes: yaml`
      # The colours through a fine mesh.
      meshes:
        base: { count: 122/in, thread: 70 um, opening: 138 um, thickness: 113 um }
        fine: { count: 225/in, thread: 40 um, opening: 73 um, thickness: 59 um }
      usual-mesh: { colour: fine, underbase: base }
    `,
  },
  *check(print) {
    for (const name of print.recipe.setups.keys()) {
      const { area, most } = heavyArea(print, name);
      if (area < LARGE_CM2) continue;
      yield {
        path: ["setups", name, "order"],
        part: "key",
        message: `on ${cm2(area)} this setup lays ${HEAVY_CM3_M2} cm³/m² of wet ink or more, up to ${figure(most)}; the print will be stiff and slow to cure: break up solids, lighten the base, or take finer meshes`,
      };
    }
  },
};

function heavyArea(print: Print, name: string): { readonly area: number; readonly most: number } {
  const { recipe } = print;
  const inked = platesIn(recipe, recipe.setups.get(name)!).flatMap(([, plate]) => {
    const mesh = plate.mesh === undefined ? undefined : recipe.meshes.get(plate.mesh);
    const volume = volumeOf(mesh);
    const tones = print.plates.get(plate.name)?.tones;
    return volume !== undefined && tones ? [{ tones, share: (volume * plate.hits) / 255 }] : [];
  });
  let pixels = 0;
  let most = 0;
  for (let i = 0; i < print.pixels; i++) {
    let sum = 0;
    for (const { tones, share } of inked) sum += tones[i]! * share;
    if (sum >= HEAVY_CM3_M2) pixels++;
    if (sum > most) most = sum;
  }
  return { area: print.areaCm2(pixels), most };
}
