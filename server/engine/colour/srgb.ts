/** sRGB encoding, IEC 61966-2-1:1999. */

/** Linear light (0–1) of an encoded sRGB component (0–1). */
export function linearFromSrgb(encoded: number): number {
  return encoded <= 0.04045 ? encoded / 12.92 : ((encoded + 0.055) / 1.055) ** 2.4;
}

/** Encoded sRGB component (0–1) of linear light (0–1). */
export function srgbFromLinear(linear: number): number {
  return linear <= 0.0031308 ? linear * 12.92 : 1.055 * linear ** (1 / 2.4) - 0.055;
}

/** Linear light of each 8-bit sRGB value. */
export const LINEAR_OF_BYTE: Float64Array = Float64Array.from({ length: 256 }, (_, byte) =>
  linearFromSrgb(byte / 255),
);

/** 8-bit sRGB value nearest to linear light; light outside 0–1 is clipped. */
export function byteFromLinear(linear: number): number {
  return Math.round(srgbFromLinear(Math.min(1, Math.max(0, linear))) * 255);
}

const STEPS = 1 << 14;

/**
 * Table form of `byteFromLinear` for pixel loops: index with `linear * ENCODE_STEPS + 0.5 | 0`.
 * The steps are finer than the steepest part of the curve, so no 8-bit value is skipped.
 */
export const ENCODE_STEPS = STEPS;
/** sRGB byte of linear light in steps of 1 / ENCODE_STEPS. */
export const BYTE_OF_STEP: Uint8Array = Uint8Array.from({ length: STEPS + 1 }, (_, step) =>
  byteFromLinear(step / STEPS),
);
