import { type LostRuns, runsOf } from "./lost-parts.ts";
import type { ThinnestPlan } from "./plan.ts";
import { type Tones, wholeWords } from "./raster.ts";
import { Scratch } from "./scratch.ts";
import type { Grid, StageNode } from "./stages/stage.ts";
import { choke, spread } from "./trap/choke.ts";
import { CLEAR, SOLID } from "./trap/solid-part.ts";

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
export function withoutThinParts(node: StageNode, { plate, line, gap }: ThinnestPlan): StageNode {
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
      const lines = dropThinLines(out, grid, line * grid.pixelsPerMm);
      const gaps = closeThinGaps(out, grid, gap * grid.pixelsPerMm);
      grid.onLost?.(plate, lostIn(lines, gaps, grid.width));
    },
  };
}

/** A line that was left out between two solids and then closed as a gap is as it was. */
function lostIn(lines: readonly number[], gaps: readonly number[], width: number): LostRuns {
  return { lines: runsOf(without(lines, gaps), width), gaps: runsOf(without(gaps, lines), width) };
}

/** Those of some rising numbers that are not among others. */
function without(some: readonly number[], others: readonly number[]): number[] {
  let next = 0;
  return some.filter((at) => {
    while (next < others.length && others[next]! < at) next++;
    return others[next] !== at;
  });
}

/**
 * Takes lines of solid under `across` pixels away, in place: they go to the tone beside them. Gives the pixels that
 * lost half of a tone or more.
 */
function dropThinLines(tones: Tones, grid: Grid, across: number): number[] {
  return withinSolid(tones, grid, across, (part, height, [core, wide]) => {
    choke(part, grid.width, height, across / 2, core);
    spread(core, grid.width, height, (REGROWTH * across) / 2, wide);
    const isSolid = (tone: number) => tone >= SOLID;
    return take(
      part,
      wide,
      (at) =>
        part[at]! - wide[at]! > TOLD &&
        core[at]! <= CLEAR &&
        anyAround(part, grid.width, height, at, isSolid),
    );
  });
}

/** Fills gaps between solids under `across` pixels likewise. Gives the pixels that gained as much. */
function closeThinGaps(tones: Tones, grid: Grid, across: number): number[] {
  return withinSolid(tones, grid, across, (part, height, [core, narrow]) => {
    spread(part, grid.width, height, across / 2, core);
    choke(core, grid.width, height, (REGROWTH * across) / 2, narrow);
    const isClear = (tone: number) => tone <= CLEAR;
    return take(
      part,
      narrow,
      (at) =>
        narrow[at]! - part[at]! > TOLD &&
        core[at]! >= SOLID &&
        anyAround(part, grid.width, height, at, isClear),
    );
  });
}

/** Does its work on those rows alone that hold solid ink, and as many more as it looks around. */
function withinSolid(
  tones: Tones,
  { width, height, scratch = new Scratch() }: Grid,
  across: number,
  work: (part: Tones, height: number, spare: readonly [Tones, Tones]) => number[],
): number[] {
  if (across < 1) return [];
  let first = 0;
  while (first < tones.length && tones[first]! < SOLID) first++;
  if (first === tones.length) return [];
  let last = tones.length - 1;
  while (tones[last]! < SOLID) last--;
  const reach = Math.ceil(((1 + REGROWTH) * across) / 2) + 2 + RIM;
  const from = Math.max(0, Math.floor(first / width) - reach);
  const to = Math.min(height, Math.floor(last / width) + 1 + reach);
  const part = tones.subarray(from * width, to * width);
  return work(part, to - from, scratch.pair(part.length)).map((at) => from * width + at);
}

/**
 * Gives those tones that `is` says the others', once all are decided: each asks its neighbours as they were. Returns those
 * pixels whose tone changed by half of the scale or more: of an edge, those that lie on its inner side.
 */
function take(tones: Tones, others: Tones, is: (at: number) => boolean): number[] {
  const taken: number[] = [];
  const [words, otherWords] = [wholeWords(tones), wholeWords(others)];
  for (let word = 0; word < words.length; word++) {
    if (words[word] === otherWords[word]) continue;
    for (let at = 4 * word; at < 4 * word + 4; at++) if (is(at)) taken.push(at);
  }
  for (let at = 4 * words.length; at < tones.length; at++) if (is(at)) taken.push(at);
  return taken.filter((at) => {
    const [before, tone] = [tones[at]!, others[at]!];
    // What next to nothing is left of goes as a whole.
    tones[at] = tone <= REST ? 0 : tone >= 255 - REST ? 255 : tone;
    return Math.abs(tone - before) >= 128;
  });
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
