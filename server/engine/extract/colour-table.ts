/** Entries that are kept of a picture that is worked through in blocks, before the table starts afresh. */
const DEFAULT_CAPACITY = 1 << 17;

/**
 * The distinct colours met so far, each with one value a plate. An open-addressing hash table that is emptied
 * when full, between blocks, so that entries found for a block stay valid while the block is written.
 */
export class ColourTable {
  /** Colours in the order of their entries. */
  readonly colours: Uint32Array;
  /** `values[plate][entry]`. */
  readonly values: readonly Uint8Array[];
  size = 0;
  /** Entry + 1 of each slot; 0 is free. */
  readonly #slots: Uint32Array;
  readonly #shift: number;
  readonly #capacity: number;

  /** With `capacity` at least the pixels that are looked up at a time. */
  constructor(plates: number, capacity = DEFAULT_CAPACITY) {
    this.#capacity = capacity;
    const bits = Math.ceil(Math.log2(Math.max(8, this.#capacity))) + 1;
    this.#slots = new Uint32Array(1 << bits);
    this.#shift = 32 - bits;
    this.colours = new Uint32Array(this.#capacity);
    this.values = Array.from({ length: plates }, () => new Uint8Array(this.#capacity));
  }

  clear(): void {
    this.#slots.fill(0);
    this.size = 0;
  }

  /**
   * Writes the entry of each of `length` pixels from `start` to `entries`, adding the colours that are new.
   * Returns true where the table was emptied first, so that all its entries are new.
   */
  lookUp(pixels: Uint32Array, start: number, length: number, entries: Uint32Array): boolean {
    const emptied = this.size + length > this.#capacity;
    if (emptied) this.clear();
    const slots = this.#slots;
    const colours = this.colours;
    const mask = slots.length - 1;
    const shift = this.#shift;
    let size = this.size;
    let last = ~pixels[start]!;
    let entry = 0;
    for (let i = 0; i < length; i++) {
      const colour = pixels[start + i]!;
      // Neighbours are often alike.
      if (colour !== last >>> 0) {
        last = colour;
        let slot = Math.imul(colour, 0x9e3779b1) >>> shift;
        let found = slots[slot]!;
        while (found !== 0 && colours[found - 1] !== colour) {
          slot = (slot + 1) & mask;
          found = slots[slot]!;
        }
        if (found === 0) {
          colours[size] = colour;
          found = ++size;
          slots[slot] = found;
        }
        entry = found - 1;
      }
      entries[i] = entry;
    }
    this.size = size;
    return emptied;
  }
}
