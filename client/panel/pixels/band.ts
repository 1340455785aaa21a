import type { Tones } from "../../../server/engine/raster.ts";
import { type Combinations, combinationsOf } from "./combinations.ts";
import {
  type Developed,
  develop,
  type Printed,
  printAt,
  printRows,
  printSome,
  type Rows,
  type SetName,
  type Shot,
} from "./shot.ts";

/** Combinations are listed up to this share of the pixels. */
const MOST_COMBINATIONS = 0.5;

/** Pixels that are found to be as they were, or printed again, together. */
const BLOCK = 256;

interface Set extends Rows {
  readonly plates: Map<string, Tones>;
  /** For each plate, which blocks have any ink. */
  readonly inked: Map<string, Uint8Array>;
  /** For each plate, the edition in which each block changed last. */
  readonly changed: Map<string, Uint32Array>;
  /** Plates that have changed, as they were in the latest composite; undefined where they were not. */
  readonly printed: Map<string, Tones | undefined>;
  /** Of the plates as they are; null where they are too many, undefined where they were not listed yet. */
  combinations: Combinations | null | undefined;
}

interface Remembered {
  readonly printed: Printed;
  readonly edition: number;
  readonly loan: number;
  /** Undefined while it is lent. */
  rgba: Uint8ClampedArray<ArrayBuffer> | undefined;
}

/**
 * Some rows of every picture that the page holds. Remembers the latest composite, and prints again only the blocks in
 * which something that prints has changed: a pixel depends on nothing but the tones at its own place, and a plate
 * without ink there changes nothing. Where that is most of them, each combination of tones is printed once instead.
 */
export class Band {
  readonly #sets = new Map<SetName, Set>();
  #latest: Remembered | undefined;
  #edition = 0;
  #loans = 0;

  setArtwork(set: SetName, width: number, artwork: Uint8Array): void {
    this.#sets.set(set, {
      width,
      artwork,
      plates: new Map(),
      inked: new Map(),
      changed: new Map(),
      printed: new Map(),
      combinations: undefined,
    });
    if (this.#latest?.printed.set === set) this.#latest = undefined;
  }

  setPlate(name: SetName, plate: string, tones: Tones): void {
    const set = this.#sets.get(name);
    if (!set) return;
    const edition = ++this.#edition;
    const before = set.plates.get(plate);
    const changed = set.changed.get(plate) ?? new Uint32Array(Math.ceil(tones.length / BLOCK));
    const inked = new Uint8Array(changed.length);
    for (let block = 0; block < changed.length; block++) {
      const end = Math.min(tones.length, (block + 1) * BLOCK);
      let same = before !== undefined;
      let ink = 0;
      for (let i = block * BLOCK; i < end; i++) {
        const tone = tones[i]!;
        ink |= tone;
        if (same && before![i] !== tone) same = false;
      }
      inked[block] = ink;
      if (!same) changed[block] = edition;
    }
    if (!set.printed.has(plate)) set.printed.set(plate, before);
    set.plates.set(plate, tones);
    set.inked.set(plate, inked);
    set.changed.set(plate, changed);
    set.combinations = undefined;
  }

  drop(name: SetName, plate: string | undefined): void {
    if (plate === undefined) this.#sets.delete(name);
    const set = this.#sets.get(name);
    set?.plates.delete(plate!);
    set?.inked.delete(plate!);
    // A plate of that name that comes later is another one.
    set?.changed.delete(plate!);

    if (set) set.combinations = undefined;
    if (this.#latest?.printed.set === name) this.#latest = undefined;
  }

  /** Lists combinations of tones, so that other inks and garments come sooner. For when there is nothing else to do. */
  prepare(name: SetName): void {
    const set = this.#sets.get(name);
    if (set?.combinations !== undefined) return;
    const pixels = (set?.artwork.length ?? 0) / 4;
    if (set)
      set.combinations = combinationsOf(set.plates, pixels, Math.floor(pixels * MOST_COMBINATIONS)) ?? null;
  }

  /** Develops a shot; the composite of `slot` "main" is lent, and remembered once it is given back. */
  shoot(slot: string, shot: Shot): Developed | undefined {
    const set = this.#sets.get(shot.set);
    if (shot.kind !== "proof" || !set) return develop(shot, (name) => this.#sets.get(name));
    const { kind: _, ...printed } = shot;
    if (slot === "main" && shot.set === "now") return this.#main(set, printed);
    if (!set.combinations) return develop(shot, () => set);
    const rgba = new Uint8ClampedArray(set.artwork.length);
    printCombinations(set.combinations, printed, rgba, staleBlocks(rgba.length / 4));
    return { rgba };
  }

  /** Takes what was lent back, as it was. */
  giveBack(loan: number, rgba: Uint8ClampedArray<ArrayBuffer>): void {
    if (this.#latest?.loan === loan) this.#latest.rgba = rgba;
  }

  #main(set: Set, printed: Printed): Developed {
    const before = this.#latest?.rgba && this.#latest;
    const rgba = before?.rgba ?? new Uint8ClampedArray(set.artwork.length);
    const blocks = staleBlocks(rgba.length / 4, before && freshness(set, before, printed));
    const stale = blocks.reduce((sum, { from, to }) => sum + to - from, 0);
    const moved = before && movedPlates(set, before.printed, printed);
    if (set.combinations && set.combinations.count < stale)
      printCombinations(set.combinations, printed, rgba, blocks);
    else if (moved && stale > 0) printAt(set, printed, movedPixels(moved, blocks, stale), rgba);
    else if (stale < rgba.length / 4) printBlocks(set, printed, rgba, blocks, stale);
    else printRows(set, printed, rgba);
    this.#latest = { printed, edition: this.#edition, loan: ++this.#loans, rgba: undefined };
    set.printed.clear();
    return { rgba, loan: this.#loans };
  }
}

interface Block {
  readonly from: number;
  readonly to: number;
}

/** Blocks to be printed again: all of them where nothing is known of any. */
function staleBlocks(pixels: number, isStale?: (block: number) => boolean): readonly Block[] {
  if (!isStale) return [{ from: 0, to: pixels }];
  const blocks: Block[] = [];
  for (let from = 0, block = 0; from < pixels; from += BLOCK, block++)
    if (isStale(block)) blocks.push({ from, to: Math.min(pixels, from + BLOCK) });
  return blocks;
}

/** Prints each combination once, and then the pixels of these blocks, each from its own. */
function printCombinations(
  combinations: Combinations,
  printed: Printed,
  rgba: Uint8ClampedArray<ArrayBuffer>,
  blocks: readonly Block[],
): void {
  const colours = combinations.print(printed);
  const { ofPixel } = combinations;
  const pixels = new Uint32Array(rgba.buffer);
  for (const { from, to } of blocks) for (let i = from; i < to; i++) pixels[i] = colours[ofPixel[i]!]!;
}

/** Prints some blocks of a picture: side by side, as a small picture of their own, and then each into its place. */
function printBlocks(
  { plates }: Set,
  printed: Printed,
  rgba: Uint8ClampedArray,
  blocks: readonly Block[],
  pixels: number,
): void {
  if (pixels === 0) return;
  const small = printSome({ plates }, printed, pixels, (tones, some) => {
    let at = 0;
    for (const { from, to } of blocks) {
      some.set(tones.subarray(from, to), at);
      at += to - from;
    }
  });
  let at = 0;
  for (const { from, to } of blocks) {
    rgba.set(small.subarray(at * 4, (at + to - from) * 4), from * 4);
    at += to - from;
  }
}

/** A plate before and after. */
type Moved = readonly [Tones, Tones];

/** The plates that changed, where nothing else did; undefined where it is not known what they were. */
function movedPlates(set: Set, before: Printed, now: Printed): readonly Moved[] | undefined {
  if (JSON.stringify(before) !== JSON.stringify(now)) return undefined;
  const moved: Moved[] = [];
  for (const { plate } of now.printings) {
    if (!set.printed.has(plate)) continue;
    const then = set.printed.get(plate);
    if (!then) return undefined;
    moved.push([then, set.plates.get(plate)!]);
  }
  return moved;
}

/** Pixels of these blocks, at most `most`, in which a plate changed. */
function movedPixels(moved: readonly Moved[], blocks: readonly Block[], most: number): Uint32Array {
  const pixels = new Uint32Array(most);
  let count = 0;
  for (const { from, to } of blocks)
    for (let i = from; i < to; i++)
      for (const [then, now] of moved)
        if (then[i] !== now[i]) {
          pixels[count++] = i;
          break;
        }
  return pixels.subarray(0, count);
}

/** Whether a block has to be printed again; undefined where all have. */
function freshness(
  set: Set,
  { printed: before, edition }: Remembered,
  printed: Printed,
): ((block: number) => boolean) | undefined {
  if (JSON.stringify(before.conditions) !== JSON.stringify(printed.conditions)) return undefined;
  const station = ({ plate, ink, gain, screen }: Printed["printings"][number]) => ({
    key: `${plate} ${JSON.stringify([ink, gain, screen])}`,
    inked: set.inked.get(plate),
    changed: set.changed.get(plate),
  });
  const old = before.printings.map(station);
  const now = printed.printings.map(station);
  return (block) => {
    for (const { changed } of old) if ((changed?.[block] ?? 0) > edition) return true;
    // What prints here now must be what printed here then.
    let at = 0;
    for (const { key, inked } of now) {
      if (!inked?.[block]) continue;
      while (at < old.length && !old[at]!.inked?.[block]) at++;
      if (old[at]?.key !== key) return true;
      at++;
    }
    while (at < old.length && !old[at]!.inked?.[block]) at++;
    return at < old.length;
  };
}
