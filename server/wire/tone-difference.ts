import { type Tones, wholeWords } from "../engine/raster.ts";

/** Memory to pack in, kept from one plate to the next. */
let room = new Uint8Array(0);

/**
 * Where two plates of one size differ, packed: again and again how many words of four tones stay, how many follow that
 * do not (both as varints, seven bits a byte, the lowest first), and their tones; at the end the tones after the last
 * whole word. An edit of a range touches a small part of a plate, and this costs one look at every word.
 */
export function differenceOf(before: Tones, now: Tones, mostBytes: number): Uint8Array | undefined {
  const count = now.length >> 2;
  const [old, fresh] = [wholeWords(before), wholeWords(now)];
  const left = now.length - 4 * count;
  if (room.length < mostBytes) room = new Uint8Array(mostBytes);
  const packed = room;
  let size = 0;
  const varint = (value: number) => {
    for (; value > 127; value >>>= 7) packed[size++] = (value & 127) | 128;
    packed[size++] = value;
  };
  for (let w = 0; w < count; ) {
    const start = w;
    while (w < count && old[w] === fresh[w]) w++;
    if (w === count) break;
    const from = w;
    // A single word that stays costs as much as to say so.
    while (w < count && (old[w] !== fresh[w] || (w + 1 < count && old[w + 1] !== fresh[w + 1]))) w++;
    const bytes = 4 * (w - from);
    if (size + LONGEST + bytes + left > mostBytes) return undefined;
    varint(from - start);
    varint(w - from);
    packed.set(now.subarray(4 * from, 4 * w), size);
    size += bytes;
  }
  if (size + left > mostBytes) return undefined;
  packed.set(now.subarray(4 * count), size);
  return packed.slice(0, size + left);
}

/** Two varints of 32 bits. */
const LONGEST = 10;

/** Neighbouring tones of a plate, and the place of the first. */
export interface ToneRun {
  readonly at: number;
  readonly tones: Tones;
}

/**
 * What `differenceOf` packed, for a plate of `length` tones: runs in their order, views of the difference. Throws
 * RangeError where it is the difference of another plate.
 */
export function runsOf(difference: Uint8Array, length: number): ToneRun[] {
  const runs: ToneRun[] = [];
  const whole = length & ~3;
  const end = difference.length - (length - whole);
  let read = 0;
  const varint = () => {
    let value = 0;
    for (let shift = 0; ; shift += 7) {
      const byte = difference[read++] ?? 0;
      value |= (byte & 127) << shift;
      if (byte < 128) return value;
    }
  };
  let at = 0;
  while (read < end) {
    at += 4 * varint();
    const bytes = 4 * varint();
    if (!(at + bytes <= whole && read + bytes <= end)) throw new RangeError(OF_ANOTHER);
    runs.push({ at, tones: difference.subarray(read, read + bytes) });
    at += bytes;
    read += bytes;
  }
  if (read !== end) throw new RangeError(OF_ANOTHER);
  if (end < difference.length) runs.push({ at: whole, tones: difference.subarray(end) });
  return runs;
}

const OF_ANOTHER = "the difference is of another plate";
