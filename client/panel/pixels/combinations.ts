import type { Tones } from "../../../server/engine/raster.ts";
import { type ProofSpec, printRows, putAt } from "./render.ts";

/** Some of the combinations: which, and their tones. */
interface Subset {
  readonly names: readonly string[];
  readonly places: Uint32Array;
  readonly plates: ReadonlyMap<string, Tones>;
}

/** Every combination of tones that a picture's pixels have, listed once. */
export class Combinations {
  readonly count: number;
  /** Each plate's tones, a byte a combination. */
  readonly plates: ReadonlyMap<string, Tones>;
  /** The combination of each pixel. */
  readonly ofPixel: Uint32Array;
  /** Kept, since an ink is tried in one colour after the other. */
  #subset: Subset | undefined;
  #latest: { readonly proof: ProofSpec; readonly colours: Uint8ClampedArray<ArrayBuffer> } | undefined;

  constructor(count: number, plates: ReadonlyMap<string, Tones>, ofPixel: Uint32Array) {
    this.count = count;
    this.plates = plates;
    this.ofPixel = ofPixel;
  }

  /** RGBA of each combination in print, four bytes together. What an edited ink is not in keeps its colour. */
  print(proof: ProofSpec): Uint32Array {
    const before = this.#latest;
    const other = before && otherInks(before.proof, proof);
    const colours = other ? before.colours : new Uint8ClampedArray(this.count * 4);
    if (!other) printRows(this, proof, colours);
    else if (other.length > 0) {
      const { places, plates } = this.#with(other);
      const small = new Uint8ClampedArray(places.length * 4);
      printRows({ plates }, proof, small);
      putAt(places, small, colours);
    }
    this.#latest = { proof, colours };
    return new Uint32Array(colours.buffer);
  }

  /** Combinations in which one of these plates prints. */
  #with(names: readonly string[]): Subset {
    if (this.#subset && names.join("\n") === this.#subset.names.join("\n")) return this.#subset;
    const some = names.flatMap((name) => this.plates.get(name) ?? []);
    const found = new Uint32Array(this.count);
    let length = 0;
    for (let c = 0; c < this.count; c++) {
      let ink = 0;
      for (let p = 0; p < some.length; p++) ink |= some[p]![c]!;
      if (ink !== 0) found[length++] = c;
    }
    const places = found.slice(0, length);
    const plates = [...this.plates].map(
      ([name, tones]) => [name, Uint8Array.from(places, (c) => tones[c]!)] as const,
    );
    this.#subset = { names, places, plates: new Map(plates) };
    return this.#subset;
  }
}

/** The plates whose ink is another one than before; undefined where more than inks differ. */
function otherInks(before: ProofSpec, now: ProofSpec): string[] | undefined {
  const differ = (a: unknown, b: unknown) => JSON.stringify(a) !== JSON.stringify(b);
  const order = ({ stations }: ProofSpec) => stations.map(({ plate }) => plate);
  if (differ(before.conditions, now.conditions) || differ(order(before), order(now))) return undefined;
  return now.stations.flatMap((printing, i) =>
    differ(printing, before.stations[i]) ? [printing.plate] : [],
  );
}

/** Pixels whose hashes are worked out together, plate by plate. */
const BLOCK = 4096;

/**
 * Lists them. A drawing has a tenth as many as pixels, so that another ink or garment is mixed that much sooner; where
 * there are more than `most` (grain on every pixel), little would be gained: undefined.
 */
export function combinationsOf(
  plates: ReadonlyMap<string, Tones>,
  pixels: number,
  most: number,
): Combinations | undefined {
  const tones = [...plates.values()];
  const width = tones.length;
  const ofPixel = new Uint32Array(pixels);
  /** Combination after combination: beside one another, since they are looked at out of order. */
  const listed = new Uint8Array(most * width);
  let count = 0;
  // Open addressing, never more than half full; 0 is free, else one more than the combination's number.
  const slots = new Uint32Array(2 ** Math.ceil(Math.log2(2 * most + 2)));
  const mask = slots.length - 1;
  const hashes = new Uint32Array(BLOCK);
  const isAt = (i: number, combination: number) => {
    const at = combination * width;
    for (let p = 0; p < width; p++) if (tones[p]![i] !== listed[at + p]) return false;
    return true;
  };
  for (let start = 0; start < pixels; start += BLOCK) {
    const size = Math.min(BLOCK, pixels - start);
    hashes.fill(0x811c9dc5);
    for (const plate of tones)
      for (let j = 0; j < size; j++) hashes[j] = Math.imul(hashes[j]! ^ plate[start + j]!, 0x01000193);
    for (let j = 0; j < size; j++) {
      const i = start + j;
      const hash = hashes[j]!;
      if (j > 0 && hash === hashes[j - 1] && isAt(i, ofPixel[i - 1]!)) {
        ofPixel[i] = ofPixel[i - 1]!;
        continue;
      }
      let at = (hash ^ (hash >>> 15)) & mask;
      while (slots[at] !== 0 && !isAt(i, slots[at]! - 1)) at = (at + 1) & mask;
      if (slots[at] === 0) {
        if (count === most) return undefined;
        for (let p = 0; p < width; p++) listed[count * width + p] = tones[p]![i]!;
        slots[at] = ++count;
      }
      ofPixel[i] = slots[at]! - 1;
    }
  }
  const columns = [...plates.keys()].map((name, p) => {
    const column = new Uint8Array(count);
    for (let c = 0; c < count; c++) column[c] = listed[c * width + p]!;
    return [name, column] as const;
  });
  return new Combinations(count, new Map(columns), ofPixel);
}
