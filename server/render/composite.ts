import { linearFromLab } from "../engine/colour/cielab.ts";
import { BYTE_OF_STEP, ENCODE_STEPS, LINEAR_OF_BYTE } from "../engine/colour/srgb.ts";
import { writeGiven } from "../engine/extract/given.ts";
import type { CompositePlan, SeparationPlan } from "../engine/plan.ts";
import { preparePrint } from "../engine/print/model.ts";
import type { Picture, Tones } from "../engine/raster.ts";

/**
 * What plates from files print, as a picture: as opaque at each pixel as ink covers it, and of the colour that gives the
 * print's there with the garment behind it. So it stands for the artwork on any garment.
 */
export function compositePicture(
  picture: Picture,
  { conditions, stations }: CompositePlan,
  { plates }: SeparationPlan,
): Picture {
  const count = picture.width * picture.height;
  const tones = stations.map(({ plate }): Tones => {
    const out = new Uint8Array(count);
    const plan = plates.find(({ name }) => name === plate);
    if (plan) writeGiven(picture, plan, out);
    return out;
  });
  const printed = new Uint8Array(count * 3);
  preparePrint(conditions, stations).print(tones, 0, count, printed);
  const garment = linearFromLab(conditions.garment);
  const behind = [garment.r, garment.g, garment.b];
  const data = new Uint8Array(count * 4);
  for (let i = 0; i < count; i++) {
    let bare = 1;
    for (const plate of tones) bare *= 1 - plate[i]! / 255;
    const alpha = Math.round(255 * (1 - bare));
    if (alpha === 0) continue;
    const share = alpha / 255;
    for (const band of [0, 1, 2]) {
      const seen = LINEAR_OF_BYTE[printed[i * 3 + band]!]!;
      const light = Math.min(1, Math.max(0, (seen - (1 - share) * behind[band]!) / share));
      data[i * 4 + band] = BYTE_OF_STEP[Math.round(light * ENCODE_STEPS)]!;
    }
    data[i * 4 + 3] = alpha;
  }
  return { ...picture, data };
}
