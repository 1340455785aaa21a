import { setImmediate } from "node:timers/promises";
import type { Artwork } from "../artwork/artwork.ts";
import { adjustPlate } from "../engine/adjust/adjust.ts";
import type { Lab } from "../engine/colour/cielab.ts";
import type { FoundTones } from "../engine/extract/extract.ts";
import {
  extractFromPalette,
  foundOfPalette,
  type Palette,
  paletteBytes,
  paletteOf,
} from "../engine/extract/palette.ts";
import { writeValues } from "../engine/extract/write-values.ts";
import { knockOut } from "../engine/knockout.ts";
import { limitTones } from "../engine/limits.ts";
import { guestsOf, mergePlates, screened } from "../engine/merge.ts";
import type { SeparationPlan } from "../engine/plan.ts";
import type { Tones } from "../engine/raster.ts";
import { findTones, solveKey } from "../engine/solve/found-tones.ts";
import { choke, spread } from "../engine/trap/choke.ts";
import { MM_PER_INCH } from "../language/values/length.ts";
import type { KeyedArtwork } from "./artworks.ts";
import { keyOf, type StageCache } from "./stage-cache.ts";

/** A finished plate and the key of all that it was made of: equal keys mean equal tones. Nobody may write to it. */
export interface KeyedPlate {
  readonly name: string;
  readonly key: string;
  readonly tones: Tones;
  /** Before the limits, and before trap and limits: stages that are in the cache anyway. */
  trapped(): Promise<Tones>;
  bare(): Promise<Tones>;
}

/** The tones after some stage, under the key of what they were made of; made when first asked for. */
interface Stage {
  readonly key: string;
  tones(): Promise<Tones>;
}

/** Work longer than this lets messages in before it goes on. */
const BREATH_MS = 12;

/**
 * The plates of `separate`, byte for byte, in the plan's order, with every stage taken from the cache where nothing
 * that it depends on has changed. Lets other work run in between, and stops there when the signal says so; what was
 * made until then stays in the cache.
 */
export async function* cachedPlates(
  cache: StageCache,
  { key: artworkKey, artwork }: KeyedArtwork,
  plan: SeparationPlan,
  signal?: AbortSignal,
): AsyncGenerator<KeyedPlate, void> {
  const stages = new Stages(cache, artworkKey, artwork, plan, signal);
  for (const name of stages.names) {
    signal?.throwIfAborted();
    const { key, tones } = stages.finished(name);
    const [trapped, bare] = [() => stages.trapped(name).tones(), () => stages.knockedOut(name).tones()];
    yield { name, key, tones: await tones(), trapped, bare };
  }
}

/** Whether every plate is in the cache, so that `cachedPlates` makes none. */
export function areCached(cache: StageCache, { key, artwork }: KeyedArtwork, plan: SeparationPlan): boolean {
  const stages = new Stages(cache, key, artwork, plan);
  return stages.names.every((name) => cache.get(stages.finished(name).key) !== undefined);
}

class Stages {
  readonly names: readonly string[];
  readonly #cache: StageCache;
  readonly #artworkKey: string;
  readonly #artwork: Artwork;
  readonly #plan: SeparationPlan;
  readonly #signal: AbortSignal | undefined;
  readonly #guests: ReadonlyMap<string, readonly string[]>;
  readonly #pixelsPerMm: number;
  readonly #solveKey: string | undefined;
  #breath = performance.now();

  constructor(
    cache: StageCache,
    artworkKey: string,
    artwork: Artwork,
    plan: SeparationPlan,
    signal?: AbortSignal,
  ) {
    this.#cache = cache;
    this.#artworkKey = artworkKey;
    this.#artwork = artwork;
    this.#plan = plan;
    this.#signal = signal;
    this.#solveKey = solveKey(plan);
    this.#guests = guestsOf(plan.merges);
    this.#pixelsPerMm = artwork.ppi / MM_PER_INCH;
    this.names = screened(
      plan.plates.map(({ name }) => name),
      plan.merges,
    );
  }

  /** Stages 4 to 6. */
  finished(name: string): Stage {
    const dot = this.#plan.smallestDot;
    const trapped = this.trapped(name);
    if (dot <= 0) return trapped;
    return this.#stage(keyOf("limits", trapped.key, dot), async (out) => {
      out.set(await trapped.tones());
      limitTones(out, dot);
    });
  }

  /** Stages 4 and 5. */
  trapped(name: string): Stage {
    const trap = this.#plan.traps.find(({ plate }) => plate === name);
    const knocked = this.knockedOut(name);
    if (!trap || trap.distance <= 0) return knocked;
    return this.#moved(trap.way, knocked, trap.distance);
  }

  /** Stage 4. */
  knockedOut(name: string): Stage {
    const merged = this.#merged(name);
    const holes = this.#plan.knockouts
      .filter(({ from }) => from === name)
      .map(({ where, choke: distance }) =>
        distance > 0 ? this.#moved("choke", this.#merged(where), distance) : this.#merged(where),
      );
    if (holes.length === 0) return merged;
    return this.#stage(keyOf("knockout", merged.key, ...holes.map(({ key }) => key)), async (out) => {
      knockOut(await merged.tones(), await all(holes), out);
    });
  }

  #moved(way: "choke" | "spread", from: Stage, distance: number): Stage {
    const { width, height } = this.#artwork.picture;
    return this.#stage(keyOf(way, from.key, distance), async (out) => {
      const tones = await from.tones();
      (way === "choke" ? choke : spread)(tones, width, height, distance * this.#pixelsPerMm, out);
    });
  }

  #merged(name: string): Stage {
    const host = this.#adjusted(name);
    const guests = (this.#guests.get(name) ?? []).map((guest) => this.#adjusted(guest));
    if (guests.length === 0) return host;
    return this.#stage(keyOf("merge", host.key, ...guests.map(({ key }) => key)), async (out) => {
      mergePlates(await host.tones(), await all(guests), out);
    });
  }

  #adjusted(name: string): Stage {
    return this.#plan.adjustments
      .filter(({ plate }) => plate === name)
      .reduce(
        (before, adjustment) =>
          this.#stage(keyOf("adjust", before.key, adjustment.curve, adjustment.region), async (out) => {
            out.set(await before.tones());
            adjustPlate(out, this.#artwork.picture, this.#pixelsPerMm, adjustment);
          }),
        this.#extracted(name),
      );
  }

  #extracted(name: string): Stage {
    const at = this.#plan.plates.findIndex((other) => other.name === name);
    const plate = this.#plan.plates[at]!;
    if (this.#solveKey !== undefined && (plate.strength.by === "solve" || plate.strength.by === "match"))
      return this.#found(at);
    return this.#stage(keyOf("extract", this.#artworkKey, plate.extract, plate.strength), async (out) => {
      const palette = await this.#palette();
      extractFromPalette(palette, plate, out, (from) => this.#differences(palette, from));
    });
  }

  /** A plate whose tones follow from the whole print: found for all such plates at once. */
  #found(at: number): Stage {
    const all = keyOf("found", this.#artworkKey, this.#solveKey);
    return this.#stage(keyOf("solved", all, at), async (out) => {
      const palette = await this.#palette();
      const count = palette.colours.length;
      const values = await this.#cache.of(
        all,
        async () => foundOfPalette(palette, await this.#solve(), this.#plan.plates.length),
        ({ byteLength }) => byteLength,
      );
      writeValues(values.subarray(at * count, (at + 1) * count), palette.entries, out);
    });
  }

  async #solve(): Promise<FoundTones> {
    const solving = findTones(this.#plan);
    for (;;) {
      const step = solving.next();
      if (step.done) return step.value!;
      await this.#breathe();
    }
  }

  #palette(): Promise<Palette> {
    const key = keyOf("palette", this.#artworkKey);
    return this.#cache.of(key, () => paletteOf(this.#artwork.picture), paletteBytes);
  }

  /** ΔE00 of a palette's colours from one, as far as it was asked for. */
  #differences({ colours }: Palette, from: Lab): Float64Array {
    const key = keyOf("differences", this.#artworkKey, from);
    const known = this.#cache.get<Float64Array>(key);
    if (known) return known;
    const fresh = new Float64Array(colours.length).fill(Number.NaN);
    return this.#cache.put(key, fresh, fresh.byteLength);
  }

  #stage(key: string, make: (out: Tones) => Promise<void>): Stage {
    const tones = () =>
      this.#cache.of(
        key,
        async () => {
          await this.#breathe();
          const out = new Uint8Array(this.#artwork.picture.width * this.#artwork.picture.height);
          await make(out);
          return out;
        },
        ({ byteLength }) => byteLength,
      );
    return { key, tones };
  }

  async #breathe(): Promise<void> {
    if (performance.now() - this.#breath > BREATH_MS) {
      await setImmediate();
      this.#breath = performance.now();
    }
    this.#signal?.throwIfAborted();
  }
}

/** One after the other: together they would hold more than one stage's buffers at a time. */
async function all(stages: readonly Stage[]): Promise<Tones[]> {
  const tones: Tones[] = [];
  for (const stage of stages) tones.push(await stage.tones());
  return tones;
}
