/** Rows of single bits: 1 = ink, the leftmost pixel in the highest bit, each row filled up to a whole byte. */

/** A rectangle of the film, in its pixels. */
export interface Window {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Bytes of a row of `width` bits. */
export function bytesPerRow(width: number): number {
  return (width + 7) >> 3;
}

/** Sets the bits of pixels `from` up to `to` of the row that begins at `row`. */
export function setBits(bits: Uint8Array, row: number, from: number, to: number): void {
  if (from >= to) return;
  const first = row + (from >> 3);
  const last = row + ((to - 1) >> 3);
  const head = 0xff >> (from & 7);
  const tail = (0xff00 >> (((to - 1) & 7) + 1)) & 0xff;
  if (first === last) {
    bits[first]! |= head & tail;
    return;
  }
  bits[first]! |= head;
  bits.fill(0xff, first + 1, last);
  bits[last]! |= tail;
}

/** Turns rows of bits left for right. */
export function mirrorRows(bits: Uint8Array, width: number, rows: number): void {
  const stride = bytesPerRow(width);
  const slack = stride * 8 - width;
  const turned = new Uint8Array(stride);
  for (let y = 0; y < rows; y++) {
    const row = bits.subarray(y * stride, (y + 1) * stride);
    for (let i = 0; i < stride; i++) turned[i] = REVERSED[row[stride - 1 - i]!]!;
    for (let i = 0; i < stride; i++) {
      const next = i + 1 < stride ? turned[i + 1]! : 0;
      row[i] = slack === 0 ? turned[i]! : ((turned[i]! << slack) | (next >> (8 - slack))) & 0xff;
    }
  }
}

const REVERSED = Uint8Array.from({ length: 256 }, (_, byte) => {
  let out = 0;
  for (let bit = 0; bit < 8; bit++) if (byte & (1 << bit)) out |= 0x80 >> bit;
  return out;
});
