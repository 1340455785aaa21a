import type { PlatePlan } from "../plan.ts";
import type { Picture, Tones } from "../raster.ts";

/** Whether a plate's tones come with the picture instead of out of it. */
export function isGiven({ extract }: PlatePlan): boolean {
  return extract.by === "given";
}

/** Stage 1 of a plate that was made elsewhere: writes its tones to `out`; none where the picture carries none. */
export function writeGiven({ given }: Picture, { name, extract }: PlatePlan, out: Tones): void {
  const tones = given?.get(name);
  const table = extract.by === "given" ? extract.tones : undefined;
  if (!tones) out.fill(0);
  else if (!table) out.set(tones);
  else for (let i = 0; i < out.length; i++) out[i] = table[tones[i]!]!;
}
