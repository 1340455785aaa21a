/** Steps of each channel that are told apart: 5 bits. */
const BITS = 5;
const KEYS = 1 << (3 * BITS);

/**
 * An order in which like colours stand together, along a curve through red, green and blue (Morton's): the number of the
 * colour that comes to each place. Colours are RGBA as one word in memory order.
 */
export function mortonOrder(colours: Uint32Array): Uint32Array {
  const keys = new Uint16Array(colours.length);
  const starts = new Uint32Array(KEYS + 1);
  const bytes = new Uint8Array(colours.buffer, colours.byteOffset, colours.byteLength);
  for (let i = 0, at = 0; i < keys.length; i++, at += 4) {
    const key = SPREAD[bytes[at]!]! | (SPREAD[bytes[at + 1]!]! << 1) | (SPREAD[bytes[at + 2]!]! << 2);
    keys[i] = key;
    starts[key + 1]!++;
  }
  for (let key = 1; key < KEYS; key++) starts[key]! += starts[key - 1]!;
  const order = new Uint32Array(keys.length);
  for (let i = 0; i < keys.length; i++) order[starts[keys[i]!]!++] = i;
  return order;
}

/** The highest bits of a byte, two places apart. */
const SPREAD = Uint16Array.from({ length: 256 }, (_, byte) => {
  let out = 0;
  for (let bit = 0; bit < BITS; bit++) out |= ((byte >> (8 - BITS + bit)) & 1) << (3 * bit);
  return out;
});
