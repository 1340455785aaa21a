import type { Tones } from "./raster.ts";

/**
 * Two buffers of any content for a stage to work in, the same ones for each: strips would leave as many to the collector.
 * Of one thread, for one run of a stage at a time.
 */
export class Scratch {
  #pair: readonly [Tones, Tones] = [new Uint8Array(0), new Uint8Array(0)];

  pair(length: number): readonly [Tones, Tones] {
    if (this.#pair[0].length < length) this.#pair = [new Uint8Array(length), new Uint8Array(length)];
    return [this.#pair[0].subarray(0, length), this.#pair[1].subarray(0, length)];
  }
}
