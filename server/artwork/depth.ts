/**
 * 16-bit samples to 8 bits, rounded to the nearest: 255 × v ÷ 65535 = v ÷ 257.
 * (A shift by 8, which decoders use, darkens by half a step.) Writes into `to`, of the same length.
 */
export function roundTo8Bit(from: Uint16Array, to: Uint8Array): void {
  for (let i = 0; i < from.length; i++) to[i] = ((from[i] + 128) * 65281) >>> 24;
}
