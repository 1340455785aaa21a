import { bytesPerRow } from "../../../server/engine/screen/bits.ts";
import type { Halftone } from "../../../server/engine/screen/halftone.ts";

/** The bits of a whole film as rows of 0 and 1. */
export function drawn(halftone: Halftone): Uint8Array[] {
  const { filmWidth: width, filmHeight: height } = halftone;
  const bits = new Uint8Array(bytesPerRow(width) * height);
  halftone.draw({ x: 0, y: 0, width, height }, bits);
  return unpacked(bits, width, height);
}

export function unpacked(bits: Uint8Array, width: number, height: number): Uint8Array[] {
  const stride = bytesPerRow(width);
  return Array.from({ length: height }, (_, y) =>
    Uint8Array.from({ length: width }, (_, x) => (bits[y * stride + (x >> 3)]! >> (7 - (x & 7))) & 1),
  );
}
