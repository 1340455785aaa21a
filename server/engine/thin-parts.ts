import type { Tones } from "./raster.ts";
import type { Grid, StageNode } from "./stages/stage.ts";
import { choke, spread } from "./trap/choke.ts";

/** Tones that count as clear and as solid beside an edge; the same as on film (screen/film-rows.ts). */
const CLEAR = 25;
const SOLID = 230;
/** A difference in tone that counts; less comes of rounding where edges were moved to and fro. */
const TOLD = 2;
/** What edges that do not quite meet leave of a line. */
const REST = 10;
/**
 * How far what is left grows back, as a share of how far it was drawn in: the corner of a square lies √2 away, so that
 * corners stay as sharp as they were and thin tails keep a stump.
 */
const REGROWTH = 1.5;

/**
 * A plate without lines of solid ink thinner than `line` and gaps between solids thinner than `gap`, in millimetres, which
 * a mesh does not hold. Halftones and soft edges stay as they are. At resolutions whose pixels are larger nothing is done.
 */
export function withoutThinParts(node: StageNode, { line, gap }: { line: number; gap: number }): StageNode {
  if (line <= 0 && gap <= 0) return node;
  return {
    stage: "hold",
    takes: [node],
    part: [line, gap],
    reachMm: ((1 + REGROWTH) * (line + gap)) / 2,
    // Of four brushes a pixel each beyond their radius, and what the edges' rims add.
    reachPixels: 4 + 2 * RIM,
    inPlace: true,
    run([tones], out, grid) {
      if (out !== tones) out.set(tones!);
      dropThinLines(out, grid, line * grid.pixelsPerMm);
      closeThinGaps(out, grid, gap * grid.pixelsPerMm);
    },
  };
}

/** Of one thread, for one plate at a time: strips would leave as many to the collector. */
let drawnIn: Tones = new Uint8Array(0);
let regrown: Tones = new Uint8Array(0);

/** Takes lines of solid under `across` pixels away, in place: they go to the tone beside them. */
function dropThinLines(tones: Tones, { width, height }: Grid, across: number): void {
  if (across < 1) return;
  const [core, wide] = scratch(tones.length);
  choke(tones, width, height, across / 2, core);
  spread(core, width, height, (REGROWTH * across) / 2, wide);
  const isSolid = (tone: number) => tone >= SOLID;
  for (let at = 0; at < tones.length; at++)
    core[at] = Number(
      tones[at]! - wide[at]! > TOLD && core[at]! <= CLEAR && anyAround(tones, width, height, at, isSolid),
    );
  take(tones, wide, core);
}

/** Fills gaps between solids under `across` pixels likewise. */
function closeThinGaps(tones: Tones, { width, height }: Grid, across: number): void {
  if (across < 1) return;
  const [core, narrow] = scratch(tones.length);
  spread(tones, width, height, across / 2, core);
  choke(core, width, height, (REGROWTH * across) / 2, narrow);
  const isClear = (tone: number) => tone <= CLEAR;
  for (let at = 0; at < tones.length; at++)
    core[at] = Number(
      narrow[at]! - tones[at]! > TOLD && core[at]! >= SOLID && anyAround(tones, width, height, at, isClear),
    );
  take(tones, narrow, core);
}

/** Once all are decided: each asks its neighbours as they were. What next to nothing is left of goes as a whole. */
function take(tones: Tones, others: Tones, where: Tones): void {
  for (let at = 0; at < tones.length; at++) {
    if (where[at] !== 1) continue;
    const tone = others[at]!;
    tones[at] = tone <= REST ? 0 : tone >= 255 - REST ? 255 : tone;
  }
}

function scratch(length: number): [Tones, Tones] {
  if (drawnIn.length < length) [drawnIn, regrown] = [new Uint8Array(length), new Uint8Array(length)];
  return [drawnIn.subarray(0, length), regrown.subarray(0, length)];
}

/** Pixels that the rim of an edge is wide on either side, slanted and soft as it may be. */
const RIM = 2;

/** Whether a pixel or one of those around it is such. */
function anyAround(
  tones: Tones,
  width: number,
  height: number,
  at: number,
  is: (tone: number) => boolean,
): boolean {
  if (is(tones[at]!)) return true;
  const x = at % width;
  const y = (at - x) / width;
  for (let v = Math.max(0, y - RIM); v <= Math.min(height - 1, y + RIM); v++)
    for (let u = Math.max(0, x - RIM); u <= Math.min(width - 1, x + RIM); u++)
      if (is(tones[v * width + u]!)) return true;
  return false;
}
