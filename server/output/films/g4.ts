import { bytesPerRow } from "../../engine/screen/bits.ts";

/**
 * Group 4 fax coding of rows of bits (ITU-T T.6, tables of T.4, from memory; checked against libtiff's decoder).
 * Bits: 1 = black, as `engine/screen/bits.ts` lays them out. A picture may come in pieces, from its top.
 */
export class G4Encoder {
  readonly #width: number;
  readonly #out: BitWriter;
  /** Where the row above and the row here change colour. */
  #above: Int32Array;
  #here: Int32Array;

  constructor(width: number) {
    this.#width = width;
    this.#out = new BitWriter(1 << 16);
    this.#above = new Int32Array(width + 3).fill(width);
    this.#here = new Int32Array(width + 3);
  }

  /** Codes rows that follow those before. */
  rows(bits: Uint8Array, count: number): void {
    const stride = bytesPerRow(this.#width);
    for (let y = 0; y < count; y++) {
      changesOf(bits, y * stride, this.#width, this.#here);
      encodeRow(this.#above, this.#here, this.#width, this.#out);
      [this.#above, this.#here] = [this.#here, this.#above];
    }
  }

  /** All that was coded, and its end. */
  finish(): Uint8Array {
    this.#out.write(1, 12);
    this.#out.write(1, 12);
    return this.#out.finish();
  }
}

/** A whole picture, or a strip that stands by itself. */
export function encodeG4(bits: Uint8Array, width: number, rows: number): Uint8Array {
  const encoder = new G4Encoder(width);
  encoder.rows(bits, rows);
  return encoder.finish();
}

/** Writes the places where a row changes colour, white first, then `width` for ever. */
function changesOf(bits: Uint8Array, row: number, width: number, changes: Int32Array): void {
  const end = row + bytesPerRow(width);
  let n = 0;
  let last = 0;
  for (let at = row, x = 0; at < end; at += 4, x += 32) {
    const word =
      (bits[at]! << 24) |
      (at + 1 < end ? bits[at + 1]! << 16 : 0) |
      (at + 2 < end ? bits[at + 2]! << 8 : 0) |
      (at + 3 < end ? bits[at + 3]! : 0);
    // A bit for each pixel of another colour than the one before.
    let changed = word ^ ((word >>> 1) | (last << 31));
    last = word & 1;
    while (changed !== 0) {
      const bit = Math.clz32(changed);
      changes[n++] = x + bit;
      changed ^= 0x80000000 >>> bit;
    }
  }
  // What is filled up to a whole byte is white: at its beginning the row is over.
  if (n > 0 && changes[n - 1]! >= width) n--;
  changes.fill(width, n, n + 3);
}

function encodeRow(above: Int32Array, here: Int32Array, width: number, out: BitWriter): void {
  let a0 = -1;
  let colour = 0;
  // Next change of this row and of the row above, as indexes; even ones turn to black.
  let h = 0;
  let r = 0;
  for (;;) {
    const from = Math.max(a0, 0);
    while (here[h]! <= a0 && here[h]! < width) h++;
    if ((h & 1) !== colour && here[h]! < width) h++;
    const a1 = here[h]!;
    // b1: the first change above that lies right of a0 and turns to the colour that does not run.
    while (r > 0 && above[r - 1]! > a0) r--;
    while (above[r]! <= a0 && above[r]! < width) r++;
    if ((r & 1) !== colour && above[r]! < width) r++;
    const b1 = above[r]!;
    const b2 = b1 < width ? above[r + 1]! : width;
    if (b2 < a1) {
      out.write(0b0001, 4);
      a0 = b2;
      continue;
    }
    const step = a1 - b1;
    if (step >= -3 && step <= 3) {
      const [code, length] = VERTICAL[step + 3]!;
      out.write(code, length);
      a0 = a1;
      colour ^= 1;
      if (a0 >= width) return;
      continue;
    }
    const a2 = a1 < width ? here[h + 1]! : width;
    out.write(0b001, 3);
    writeRun(a1 - from, colour, out);
    writeRun(a2 - a1, colour ^ 1, out);
    a0 = a2;
    if (a0 >= width) return;
  }
}

/** Modes for a1 − b1 from −3 to 3. */
const VERTICAL: readonly (readonly [code: number, length: number])[] = [
  [0b0000010, 7],
  [0b000010, 6],
  [0b010, 3],
  [0b1, 1],
  [0b011, 3],
  [0b000011, 6],
  [0b0000011, 7],
];

function writeRun(length: number, colour: number, out: BitWriter): void {
  const { terminating, makeUp } = colour === 0 ? WHITE : BLACK;
  let left = length;
  while (left >= 2560 + 64) {
    out.write(LONGEST.code, LONGEST.length);
    left -= 2560;
  }
  if (left >= 64) {
    const { code, length: bits } = makeUp[(left >> 6) - 1]!;
    out.write(code, bits);
    left &= 63;
  }
  const { code, length: bits } = terminating[left]!;
  out.write(code, bits);
}

class BitWriter {
  #bytes: Uint8Array;
  #size = 0;
  #pending = 0;
  #count = 0;

  constructor(capacity: number) {
    this.#bytes = new Uint8Array(capacity);
  }

  /** At most 13 bits. */
  write(code: number, length: number): void {
    this.#pending = (this.#pending << length) | code;
    this.#count += length;
    while (this.#count >= 8) {
      this.#count -= 8;
      this.#push((this.#pending >> this.#count) & 0xff);
    }
    this.#pending &= (1 << this.#count) - 1;
  }

  finish(): Uint8Array {
    if (this.#count > 0) this.#push((this.#pending << (8 - this.#count)) & 0xff);
    return this.#bytes.subarray(0, this.#size);
  }

  #push(byte: number): void {
    if (this.#size === this.#bytes.length) {
      const larger = new Uint8Array(this.#bytes.length * 2);
      larger.set(this.#bytes);
      this.#bytes = larger;
    }
    this.#bytes[this.#size++] = byte;
  }
}

interface Code {
  readonly code: number;
  readonly length: number;
}

function codes(text: string): Code[] {
  return text
    .trim()
    .split(/\s+/)
    .map((bits) => ({ code: Number.parseInt(bits, 2), length: bits.length }));
}

/** Runs of 1792, 1856 … 2560 have one code in both colours. */
const EXTENDED = codes(`
  00000001000 00000001100 00000001101 000000010010 000000010011 000000010100 000000010101 000000010110 000000010111
  000000011100 000000011101 000000011110 000000011111`);
const LONGEST = EXTENDED.at(-1)!;

const WHITE = {
  terminating: codes(`
    00110101 000111 0111 1000 1011 1100 1110 1111 10011 10100 00111 01000 001000 000011 110100 110101
    101010 101011 0100111 0001100 0001000 0010111 0000011 0000100 0101000 0101011 0010011 0100100 0011000 00000010 00000011 00011010
    00011011 00010010 00010011 00010100 00010101 00010110 00010111 00101000 00101001 00101010 00101011 00101100 00101101 00000100 00000101 00001010
    00001011 01010010 01010011 01010100 01010101 00100100 00100101 01011000 01011001 01011010 01011011 01001010 01001011 00110010 00110011 00110100`),
  makeUp: [
    ...codes(`
      11011 10010 010111 0110111 00110110 00110111 01100100 01100101 01101000 01100111 011001100 011001101 011010010 011010011 011010100 011010101
      011010110 011010111 011011000 011011001 011011010 011011011 010011000 010011001 010011010 011000 010011011`),
    ...EXTENDED,
  ],
};
const BLACK = {
  terminating: codes(`
    0000110111 010 11 10 011 0011 0010 00011 000101 000100 0000100 0000101 0000111 00000100 00000111 000011000
    0000010111 0000011000 0000001000 00001100111 00001101000 00001101100 00000110111 00000101000 00000010111 00000011000 000011001010 000011001011 000011001100 000011001101 000001101000 000001101001
    000001101010 000001101011 000011010010 000011010011 000011010100 000011010101 000011010110 000011010111 000001101100 000001101101 000011011010 000011011011 000001010100 000001010101 000001010110 000001010111
    000001100100 000001100101 000001010010 000001010011 000000100100 000000110111 000000111000 000000100111 000000101000 000001011000 000001011001 000000101011 000000101100 000001011010 000001100110 000001100111`),
  makeUp: [
    ...codes(`
      0000001111 000011001000 000011001001 000001011011 000000110011 000000110100 000000110101 0000001101100 0000001101101 0000001001010 0000001001011 0000001001100 0000001001101 0000001110010 0000001110011 0000001110100
      0000001110101 0000001110110 0000001110111 0000001010010 0000001010011 0000001010100 0000001010101 0000001011010 0000001011011 0000001100100 0000001100101`),
    ...EXTENDED,
  ],
};
