import { fastLab } from "../colour/fast-lab.ts";
import { COLOUR_FIELDS, completeColour } from "./membership.ts";

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

/** Colours as extractions look at them. */
export class DescribedColours {
  /** `COLOUR_FIELDS` numbers a colour. */
  readonly fields: Float64Array;
  /** Alpha 0–255 of each. */
  readonly alphas: Uint8Array;
  // Kept from call to call: a picture is described in thousands of them.
  readonly #rgba = new RgbaOfWord();
  readonly #colour = new Float64Array(COLOUR_FIELDS);

  constructor(most: number) {
    this.fields = new Float64Array(most * COLOUR_FIELDS);
    this.alphas = new Uint8Array(most);
  }

  /** Takes `count` colours from number `from`, RGBA as one word in memory order. */
  set(colours: Uint32Array, from: number, count: number): void {
    const colour = this.#colour;
    for (let i = 0; i < count; i++) {
      const rgba = this.#rgba.of(colours[from + i]!);
      this.alphas[i] = rgba[3]!;
      describeColour(rgba[0]!, rgba[1]!, rgba[2]!, rgba[3]!, colour);
      const at = i * COLOUR_FIELDS;
      for (let f = 0; f < COLOUR_FIELDS; f++) this.fields[at + f] = colour[f]!;
    }
  }
}

/** Fills `colour` (`COLOUR_FIELDS` numbers) with what extractions look at in an 8-bit sRGB colour; alpha 0–255. */
export function describeColour(r: number, g: number, b: number, alpha: number, colour: Float64Array): void {
  fastLab(r, g, b, colour);
  // Divided last, so that whole percents are exact and stand on a range's end.
  completeColour(colour, (alpha * 100) / 255);
}
