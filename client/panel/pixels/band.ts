import type { Tones } from "../../../server/engine/raster.ts";
import { runsOf } from "../../../server/wire/tone-difference.ts";
import { type Combinations, combinationsOf } from "./combinations.ts";
import {
  type PictureName,
  type PrintingStation,
  type ProofSpec,
  printAt,
  printRows,
  printSome,
  type Rendered,
  type RenderRequest,
  type Rows,
  render,
  warm,
} from "./render.ts";

/** Combinations are listed up to this share of the pixels. */
const MOST_COMBINATIONS = 0.5;

/** Pixels that are found to be as they were, or printed again, together. */
const BLOCK = 256;

interface BandPicture extends Rows {
  readonly plates: Map<string, Tones>;
  readonly states: Map<string, PlateState>;
  /** Of the plates as they are; null where they are too many, undefined where they were not listed yet. */
  combinations: Combinations | null | undefined;
}

/** What is known of a plate besides its tones. */
interface PlateState {
  /** Which blocks have any ink. */
  readonly inked: Uint8Array;
  /** The edition in which each block changed last. */
  readonly changed: Uint32Array;
  /** Pixels that have changed since the latest composite; undefined for any number of them. */
  moved: number[] | undefined;
}

interface Composite {
  readonly proof: ProofSpec;
  readonly edition: number;
  readonly returnAs: number;
  /** Undefined while its buffer is transferred. */
  rgba: Uint8ClampedArray<ArrayBuffer> | undefined;
}

/**
 * Some rows of every picture that the page holds. Remembers the latest composite, and prints again only the blocks in
 * which something that prints has changed: a pixel depends on nothing but the tones at its own place, and a plate
 * without ink there changes nothing. Where that is most of them, each combination of tones is printed once instead.
 */
export class Band {
  readonly #pictures = new Map<PictureName, BandPicture>();
  #latest: Composite | undefined;
  #edition = 0;
  #returned = 0;

  /** Takes a picture's artwork (RGBA); its plates so far are forgotten. */
  setArtwork(name: PictureName, width: number, artwork: Uint8Array): void {
    this.#pictures.set(name, {
      width,
      artwork,
      plates: new Map(),
      states: new Map(),
      combinations: undefined,
    });
    if (this.#latest?.proof.source === name) this.#latest = undefined;
  }

  /** Takes a whole plate, which the band may write to from now on. */
  setPlate(name: PictureName, plate: string, tones: Tones): void {
    const picture = this.#pictures.get(name);
    if (!picture) return;
    const blocks = Math.ceil(tones.length / BLOCK);
    const inked = Uint8Array.from({ length: blocks }, (_, block) => inkIn(tones, block));
    const changed = new Uint32Array(blocks).fill(++this.#edition);
    picture.plates.set(plate, tones);
    picture.states.set(plate, { inked, changed, moved: undefined });
    picture.combinations = undefined;
  }

  /** Changes a plate by a difference between whole plates of `length` tones, of which the band's begin at `from`. */
  changePlate(name: PictureName, plate: string, difference: Uint8Array, from: number, length: number): void {
    const picture = this.#pictures.get(name);
    const tones = picture?.plates.get(plate);
    const state = picture?.states.get(plate);
    if (!picture || !tones || !state) return;
    const edition = ++this.#edition;
    const { inked, changed } = state;
    for (const run of runsOf(difference, length)) {
      const end = Math.min(tones.length, run.at + run.tones.length - from);
      for (let i = Math.max(0, run.at - from); i < end; i++) {
        const tone = run.tones[i + from - run.at]!;
        if (tones[i] === tone) continue;
        tones[i] = tone;
        changed[(i / BLOCK) | 0] = edition;
        state.moved?.push(i);
      }
    }
    for (let block = 0; block < changed.length; block++)
      if (changed[block] === edition) inked[block] = inkIn(tones, block);
    if (state.moved && state.moved.length > tones.length) state.moved = undefined;
    picture.combinations = undefined;
  }

  /** Forgets a plate, or a whole picture. */
  drop(name: PictureName, plate?: string): void {
    if (plate === undefined) this.#pictures.delete(name);
    const picture = this.#pictures.get(name);
    picture?.plates.delete(plate!);
    // A plate of that name that comes later is another one.
    picture?.states.delete(plate!);
    if (picture) picture.combinations = undefined;
    if (this.#latest?.proof.source === name) this.#latest = undefined;
  }

  /** Lists combinations of tones, so that other inks and garments come sooner. For when there is nothing else to do. */
  prepare(name: PictureName): void {
    const picture = this.#pictures.get(name);
    if (!picture || picture.combinations !== undefined) return;
    const pixels = picture.artwork.length / 4;
    const most = Math.floor(pixels * MOST_COMBINATIONS);
    picture.combinations = combinationsOf(picture.plates, pixels, most) ?? null;
  }

  /** Gets ready to print: the first picture would otherwise wait for the model, and for its code to be compiled. */
  warm(proof: ProofSpec): void {
    warm(proof);
  }

  /** Renders a request; the composite of `slot` "main" is remembered once its buffer is returned. */
  render(slot: string, request: RenderRequest): Rendered | undefined {
    const picture = this.#pictures.get(request.source);
    if (request.kind !== "proof" || !picture) return render(request, (name) => this.#pictures.get(name));
    const { kind: _, ...proof } = request;
    if (slot === "main" && request.source === "now") return this.#main(picture, proof);
    if (!picture.combinations) return render(request, () => picture);
    const rgba = new Uint8ClampedArray(picture.artwork.length);
    printCombinations(picture.combinations, proof, rgba, staleBlocks(rgba.length / 4));
    return { rgba };
  }

  /** Takes back a buffer that was transferred, its pixels as they were. */
  returned(returnAs: number, rgba: Uint8ClampedArray<ArrayBuffer>): void {
    if (this.#latest?.returnAs === returnAs) this.#latest.rgba = rgba;
  }

  #main(picture: BandPicture, proof: ProofSpec): Rendered {
    const before = this.#latest?.rgba && this.#latest;
    const rgba = before?.rgba ?? new Uint8ClampedArray(picture.artwork.length);
    const blocks = staleBlocks(rgba.length / 4, before && freshness(picture, before, proof));
    const stale = blocks.reduce((sum, { from, to }) => sum + to - from, 0);
    const moved = before && movedPixels(picture, before.proof, proof, stale);
    if (picture.combinations && picture.combinations.count < stale)
      printCombinations(picture.combinations, proof, rgba, blocks);
    else if (moved?.length) printAt(picture, proof, moved, rgba);
    else if (stale < rgba.length / 4) printBlocks(picture, proof, rgba, blocks, stale);
    else printRows(picture, proof, rgba);
    this.#latest = { proof, edition: this.#edition, returnAs: ++this.#returned, rgba: undefined };
    for (const state of picture.states.values()) state.moved = [];
    return { rgba, returnAs: this.#returned };
  }
}

/** Not 0 where some tone of the block prints. */
function inkIn(tones: Tones, block: number): number {
  const end = Math.min(tones.length, (block + 1) * BLOCK);
  let ink = 0;
  for (let i = block * BLOCK; i < end; i++) ink |= tones[i]!;
  return ink;
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
  proof: ProofSpec,
  rgba: Uint8ClampedArray<ArrayBuffer>,
  blocks: readonly Block[],
): void {
  const colours = combinations.print(proof);
  const { ofPixel } = combinations;
  const pixels = new Uint32Array(rgba.buffer);
  for (const { from, to } of blocks) for (let i = from; i < to; i++) pixels[i] = colours[ofPixel[i]!]!;
}

/** Prints some blocks of a picture: side by side, as a small picture of their own, and then each into its place. */
function printBlocks(
  { plates }: BandPicture,
  proof: ProofSpec,
  rgba: Uint8ClampedArray,
  blocks: readonly Block[],
  pixels: number,
): void {
  if (pixels === 0) return;
  const small = printSome({ plates }, proof, pixels, (tones, some) => {
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

/** The pixels in which a plate of the proof moved, where nothing else is new; undefined where they are more than `most`. */
function movedPixels(
  { states }: BandPicture,
  before: ProofSpec,
  now: ProofSpec,
  most: number,
): Uint32Array | undefined {
  if (JSON.stringify(before) !== JSON.stringify(now)) return undefined;
  const pixels = new Uint32Array(most);
  let count = 0;
  for (const plate of new Set(now.stations.map(({ plate }) => plate))) {
    const state = states.get(plate);
    if (!state) continue;
    if (!state.moved || count + state.moved.length > most) return undefined;
    pixels.set(state.moved, count);
    count += state.moved.length;
  }
  return pixels.subarray(0, count);
}

/** Whether a block has to be printed again; undefined where all have. */
function freshness(
  { states }: BandPicture,
  { proof: before, edition }: Composite,
  proof: ProofSpec,
): ((block: number) => boolean) | undefined {
  if (JSON.stringify(before.conditions) !== JSON.stringify(proof.conditions)) return undefined;
  const station = ({ plate, ink, gain, screen }: PrintingStation) => ({
    key: `${plate} ${JSON.stringify([ink, gain, screen])}`,
    inked: states.get(plate)?.inked,
    changed: states.get(plate)?.changed,
  });
  const old = before.stations.map(station);
  const now = proof.stations.map(station);
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
