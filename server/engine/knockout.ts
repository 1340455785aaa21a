import { share, type Tones } from "./raster.ts";
import { eachPlate } from "./stages/stage.ts";
import { moved } from "./trap/trap.ts";

/** Stage 4, knockout: ink taken out of a plate where others print, every plate as it stood after stage 3. */
export const knockout = eachPlate((name, node, before, { knockouts }) => {
  const holes = knockouts
    .filter(({ from }) => from === name)
    .map(({ where, choke }) => moved(before.get(where)!, "choke", choke));
  if (holes.length === 0) return node;
  return {
    stage: "knockout",
    takes: [node, ...holes],
    part: [],
    reachMm: 0,
    inPlace: true,
    run: ([from, ...where], out) => knockOut(from!, where, out),
  };
});

/**
 * `from` × Π(1 − where), one factor for every plate that knocks it out, in the plan's order, rounded once. Writes to
 * `out`, which may be `from`.
 */
export function knockOut(from: Tones, where: readonly Tones[], out: Tones): void {
  const [only, second] = where;
  if (only && !second) {
    for (let i = 0; i < out.length; i++) out[i] = share(from[i]!, 255 - only[i]!);
    return;
  }
  for (let i = 0; i < out.length; i++) {
    let tone: number = from[i]!;
    if (tone !== 0) for (const holes of where) tone = (tone * (255 - holes[i]!)) / 255;
    out[i] = Math.round(tone);
  }
}
