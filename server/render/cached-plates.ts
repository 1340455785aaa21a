import { setImmediate } from "node:timers/promises";
import type { Artwork } from "../artwork/artwork.ts";
import type { Lab } from "../engine/colour/cielab.ts";
import { coloursOf, writeAreas } from "../engine/extract/areas.ts";
import { coveredEdges, mixTones } from "../engine/extract/covered-edges.ts";
import { isGiven, writeGiven } from "../engine/extract/given.ts";
import {
  extractFromPalette,
  type Palette,
  paletteBytes,
  paletteOf,
  solvedOfPalette,
} from "../engine/extract/palette.ts";
import type { SolvedTones } from "../engine/extract/solved-tones.ts";
import { writeValues } from "../engine/extract/write-values.ts";
import type { SeparationPlan } from "../engine/plan.ts";
import type { Tones } from "../engine/raster.ts";
import { Scratch } from "../engine/scratch.ts";
import { isSolved, solveKey, solveTones } from "../engine/solve/solved-tones.ts";
import { writeSquares } from "../engine/squares/squares.ts";
import { type Grid, isSource, type StageNode } from "../engine/stages/stage.ts";
import { type StageName, stagesOf } from "../engine/stages/stages.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import type { KeyedArtwork } from "./artworks.ts";
import { keyOf, type StageCache } from "./stage-cache.ts";

/** A finished plate and the key of all that it was made of: equal keys mean equal tones. Nobody may write to it. */
export interface KeyedPlate {
  readonly name: string;
  readonly key: string;
  readonly tones: Tones;
  /** As it stood after a stage: in the cache already, since the plate was made from it. */
  after(stage: StageName): Promise<Tones>;
}

/** Work longer than this lets messages in before it goes on. */
const LONGEST_TURN_MS = 12;

/**
 * The plates of `separate`, byte for byte, in the plan's order, with every stage taken from the cache where nothing
 * that it depends on has changed. Lets other work run in between, and stops there when the signal says so; what was
 * made until then stays in the cache.
 */
export async function* cachedPlates(
  cache: StageCache,
  keyed: KeyedArtwork,
  plan: SeparationPlan,
  signal?: AbortSignal,
): AsyncGenerator<KeyedPlate, void> {
  const walk = new CachedWalk(cache, keyed, plan, signal);
  const stages = stagesOf(plan);
  for (const [name, node] of stages.limits) {
    signal?.throwIfAborted();
    const after = (stage: StageName) => walk.tones(stages[stage].get(name)!);
    yield { name, key: walk.key(node), tones: await walk.tones(node), after };
  }
}

/** The key of each plate that `cachedPlates` gives, without making any. */
export function plateKeys(cache: StageCache, keyed: KeyedArtwork, plan: SeparationPlan): Map<string, string> {
  const walk = new CachedWalk(cache, keyed, plan);
  return new Map([...stagesOf(plan).limits].map(([name, node]) => [name, walk.key(node)]));
}

/** Whether every plate is in the cache, so that `cachedPlates` makes none. */
export function areCached(cache: StageCache, keyed: KeyedArtwork, plan: SeparationPlan): boolean {
  return [...plateKeys(cache, keyed, plan).values()].every((key) => cache.get(key) !== undefined);
}

/** The plan's solved tones; undefined where it has none. */
export async function solvedTones(
  cache: StageCache,
  plan: SeparationPlan,
  turn: () => Promise<void>,
): Promise<SolvedTones | undefined> {
  const key = solveKey(plan);
  if (key === undefined) return undefined;
  const solve = async () => {
    const solving = solveTones(plan);
    for (;;) {
      const step = solving.next();
      if (step.done) return step.value;
      await turn();
    }
  };
  return cache.of(keyOf("solve", key), solve, ({ bytes }) => bytes);
}

/** Lets messages in once it has been asked for `LONGEST_TURN_MS`, and throws where the signal says so. */
export function turns(signal?: AbortSignal): () => Promise<void> {
  let began = performance.now();
  return async () => {
    if (performance.now() - began > LONGEST_TURN_MS) {
      await setImmediate();
      began = performance.now();
    }
    signal?.throwIfAborted();
  };
}

/** Makes nodes of the graph, those that are not in the cache. */
class CachedWalk {
  readonly #cache: StageCache;
  readonly #artworkKey: string;
  readonly #artwork: Artwork;
  readonly #given: KeyedArtwork["given"];
  readonly #plan: SeparationPlan;
  readonly #solveKey: string | undefined;
  readonly #grid: Grid;
  readonly #keys = new Map<StageNode, string>();
  readonly #turn: () => Promise<void>;

  constructor(
    cache: StageCache,
    { key, artwork, given }: KeyedArtwork,
    plan: SeparationPlan,
    signal?: AbortSignal,
  ) {
    this.#cache = cache;
    this.#given = given;
    this.#artworkKey = key;
    this.#artwork = artwork;
    this.#plan = plan;
    this.#solveKey = solveKey(plan);
    this.#grid = { ...artwork.picture, pixelsPerMm: artwork.ppi / MM_PER_INCH, scratch: new Scratch() };
    this.#turn = turns(signal);
  }

  /** Of all that a node's tones depend on. */
  key(node: StageNode): string {
    const known = this.#keys.get(node);
    if (known !== undefined) return known;
    const key = isSource(node)
      ? this.#sourceKey(node.plate)
      : keyOf(node.stage, ...node.takes.map((taken) => this.key(taken)), ...node.part);
    this.#keys.set(node, key);
    return key;
  }

  tones(node: StageNode): Promise<Tones> {
    return this.#cache.of(
      this.key(node),
      async () => {
        await this.#turn();
        const out = new Uint8Array(this.#grid.width * this.#grid.height);
        if (isSource(node)) {
          await this.#source(node.plate, out);
        } else {
          // One after the other: together they would hold more than one stage's buffers at a time.
          const taken: Tones[] = [];
          for (const from of node.takes) taken.push(await this.tones(from));
          node.run(taken, out, this.#grid);
        }
        return out;
      },
      ({ byteLength }) => byteLength,
    );
  }

  async #source(plate: number, out: Tones): Promise<void> {
    const own = this.#plan.plates[plate]!;
    const { strength } = own;
    if (isGiven(own)) return writeGiven(this.#artwork.picture, own, out);
    if (strength.by === "index") {
      const { squares } = this.#artwork.picture;
      if (squares) writeSquares(squares, strength.colour, out);
      return;
    }
    await this.#extract(plate, out);
    await this.#mixEdges(out);
  }

  async #mixEdges(out: Tones): Promise<void> {
    const { picture } = this.#artwork;
    if (!picture.drawn) return;
    const edges = await this.#cache.of(
      keyOf("edges", this.#artworkKey),
      () => coveredEdges(picture),
      ({ at, one, other, share }) => at.byteLength + one.byteLength + other.byteLength + share.byteLength,
    );
    mixTones(edges, out);
  }

  #sourceKey(plate: number): string {
    const { name, extract, strength } = this.#plan.plates[plate]!;
    if (extract.by === "given") return keyOf("given", this.#given?.get(name), extract.tones);
    return isSolved(strength)
      ? keyOf("solved", this.#solvedKey, plate)
      : keyOf("extract", this.#artworkKey, extract, strength);
  }

  /** Of the values of all solved plates at once. */
  get #solvedKey(): string {
    return keyOf("values", this.#artworkKey, this.#solveKey);
  }

  async #extract(at: number, out: Tones): Promise<void> {
    const { picture } = this.#artwork;
    const { areas } = picture;
    const palette = await this.#cache.of(
      keyOf("palette", this.#artworkKey),
      () => paletteOf(areas ? coloursOf(areas) : picture),
      paletteBytes,
    );
    const tones = areas ? new Uint8Array(palette.entries.length) : out;
    await this.#fromPalette(palette, at, tones);
    if (areas) writeAreas(areas, tones, out);
  }

  /** Tones of the picture, or of flat art's colours, that the palette is of. */
  async #fromPalette(palette: Palette, at: number, out: Tones): Promise<void> {
    const plate = this.#plan.plates[at]!;
    if (!isSolved(plate.strength)) {
      extractFromPalette(palette, plate, out, (from) => this.#differences(palette, from));
      return;
    }
    const values = await this.#cache.of(
      this.#solvedKey,
      async () => {
        const solved = await solvedTones(this.#cache, this.#plan, this.#turn);
        return solvedOfPalette(palette, solved!, this.#plan.plates.length);
      },
      ({ byteLength }) => byteLength,
    );
    const count = palette.colours.length;
    writeValues(values.subarray(at * count, (at + 1) * count), palette.entries, out);
  }

  /** ΔE00 of a palette's colours from one, as far as it was asked for. */
  #differences({ colours }: Palette, from: Lab): Float64Array {
    const key = keyOf("differences", this.#artworkKey, from);
    const known = this.#cache.get<Float64Array>(key);
    if (known) return known;
    const fresh = new Float64Array(colours.length).fill(Number.NaN);
    return this.#cache.put(key, fresh, fresh.byteLength);
  }
}
