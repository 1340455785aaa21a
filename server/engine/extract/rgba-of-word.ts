/** Takes RGBA out of words in memory order. */
export class RgbaOfWord {
  readonly #word = new Uint32Array(1);
  readonly #rgba = new Uint8Array(this.#word.buffer);

  /** Written over by the next call. */
  of(word: number): Uint8Array {
    this.#word[0] = word;
    return this.#rgba;
  }
}
