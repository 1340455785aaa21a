import { share, type Tones } from "./raster.ts";
import { eachPlate, type StageNode } from "./stages/stage.ts";
import { solidPart, touchesSolid } from "./trap/solid-part.ts";
import { moved } from "./trap/trap.ts";

/** Stage 4, knockout: ink taken out of a plate where others print, every plate as it stood after stage 3. */
export const knockout = eachPlate((name, node, before, { knockouts }) => {
  const holes = knockouts
    .filter(({ from }) => from === name)
    .map(({ where, above, choke }) => holeFor(node, deepPart(before.get(where)!, above ?? 0), choke));
  return holes.length === 0 ? node : knockedOut(node, holes);
});

function knockedOut(node: StageNode, holes: readonly StageNode[]): StageNode {
  return {
    stage: "knockout",
    takes: [node, ...holes],
    part: [],
    reachMm: 0,
    reachPixels: 1,
    inPlace: false,
    run([from, ...where], out, { width, height }) {
      knockOut(from!, where, out);
      shareEdges(from!, where, width, height, out);
    },
  };
}

/** What of a plate knocks others out: its tones above one, 0–1, evenly up to full tone. */
function deepPart(where: StageNode, above: number): StageNode {
  if (above <= 0) return where;
  return {
    stage: "deep",
    takes: [where],
    part: [above],
    reachMm: 0,
    inPlace: false,
    run([tones], out) {
      const table = deepTable(above);
      for (let i = 0; i < out.length; i++) out[i] = table[tones![i]!]!;
    },
  };
}

/** How much each tone 0–255 knocks out, of 255. */
export function deepTable(above: number): Uint8Array {
  return Uint8Array.from({ length: 256 }, (_, tone) => Math.round(255 * deepened(tone / 255, above)));
}

/** How much a tone, 0–1, knocks out where it does so above another one only. */
export function deepened(tone: number, above: number): number {
  return above >= 1 ? Number(tone >= 1) : Math.max(0, (tone - above) / (1 - above));
}

/**
 * The hole that a plate prints in: its edge is drawn in towards the knocked out plate where that stands beside it, so that
 * the two overlap, and nowhere else: beside bare garment the hole is as wide as the plate.
 */
function holeFor(from: StageNode, where: StageNode, choke: number): StageNode {
  if (choke <= 0) return where;
  const beside = solidPart(knockedOut(from, [where]));
  return {
    stage: "hole",
    takes: [where, moved(where, "choke", choke), moved(beside, "spread", choke)],
    part: [],
    reachMm: 0,
    inPlace: false,
    run: ([whole, choked, near], out) => widenHole(whole!, choked!, near!, out),
  };
}

/** A choked hole, whole again where nothing is near that needs the overlap. */
export function widenHole(whole: Tones, choked: Tones, near: Tones, out: Tones): void {
  for (let i = 0; i < out.length; i++) out[i] = Math.max(choked[i]!, Math.min(whole[i]!, 255 - near[i]!));
}

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

/**
 * Of an edge that a plate and its hole have in common both cover the same part of a pixel, so what is left of the plate is
 * their difference; the product would leave a row of stray dots. Writes to `out`, what `knockOut` made of the same plates.
 */
export function shareEdges(
  from: Tones,
  where: readonly Tones[],
  width: number,
  height: number,
  out: Tones,
): void {
  for (let at = 0; at < from.length; at++) {
    const plate = from[at]!;
    if (plate === 0 || plate === 255 || out[at] === 0 || where.every((hole) => hole[at] === 0)) continue;
    const x = at % width;
    const y = (at - x) / width;
    if (!touchesSolid(from, width, height, x, y)) continue;
    let tone: number = plate;
    for (const hole of where) {
      const shared = touchesSolid(hole, width, height, x, y);
      tone *= Math.max(0, 1 - hole[at]! / (shared ? plate : 255));
    }
    out[at] = Math.round(tone);
  }
}
