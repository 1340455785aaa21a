/** A field of a TIFF's directory (TIFF 6.0, §2). */
export interface TiffField {
  readonly tag: number;
  readonly type: number;
  readonly count: number;
  readonly bytes: Uint8Array;
}

export const BYTES = 1;
export const ASCII = 2;
export const SHORT = 3;
export const LONG = 4;
export const RATIONAL = 5;

const STRIP_OFFSETS = 273;

/**
 * A TIFF of one page, little-endian: its directory, what does not fit in it, its strips. `fields` are in rising order of
 * their tags, without the places and lengths of the strips, which are added.
 */
export function tiffFile(fields: readonly TiffField[], strips: readonly Uint8Array[]): Uint8Array {
  const lengths = strips.map(({ length }) => length);
  const all = [
    ...fields,
    tiffField(STRIP_OFFSETS, LONG, new Array<number>(strips.length).fill(0)),
    tiffField(279, LONG, lengths),
  ].sort((a, b) => a.tag - b.tag);
  const directory = 8;
  let at = directory + 2 + all.length * 12 + 4;
  const reserve = (length: number) => {
    const place = at;
    at += length + (length & 1);
    return place;
  };
  const places = all.map(({ bytes }) => (bytes.length <= 4 ? 0 : reserve(bytes.length)));
  const offsets = strips.map(({ length }) => reserve(length));
  all.find(({ tag }) => tag === STRIP_OFFSETS)!.bytes.set(tiffField(STRIP_OFFSETS, LONG, offsets).bytes);

  const out = new Uint8Array(at);
  const view = new DataView(out.buffer);
  out.set([0x49, 0x49, 42, 0]);
  view.setUint32(4, directory, true);
  view.setUint16(directory, all.length, true);
  for (const [i, { tag, type, count, bytes }] of all.entries()) {
    const entry = directory + 2 + i * 12;
    view.setUint16(entry, tag, true);
    view.setUint16(entry + 2, type, true);
    view.setUint32(entry + 4, count, true);
    if (bytes.length <= 4) out.set(bytes, entry + 8);
    else {
      view.setUint32(entry + 8, places[i]!, true);
      out.set(bytes, places[i]!);
    }
  }
  for (const [i, strip] of strips.entries()) out.set(strip, offsets[i]!);
  return out;
}

export function tiffField(tag: number, type: number, values: readonly number[]): TiffField {
  const size = type === SHORT ? 2 : type === BYTES ? 1 : 4;
  const bytes = new Uint8Array(values.length * size);
  const view = new DataView(bytes.buffer);
  for (const [i, value] of values.entries()) {
    if (type === SHORT) view.setUint16(i * 2, value, true);
    else if (type === BYTES) view.setUint8(i, value);
    else view.setUint32(i * 4, value, true);
  }
  return { tag, type, count: type === RATIONAL ? values.length / 2 : values.length, bytes };
}

/** ASCII only, as the format wants; other signs become question marks. */
export function tiffText(tag: number, value: string): TiffField {
  const bytes = Uint8Array.from([...value, "\0"], (sign) => (sign > "~" ? 0x3f : sign.charCodeAt(0)));
  return { tag, type: ASCII, count: bytes.length, bytes };
}

export function tiffRational(value: number): [number, number] {
  return Number.isInteger(value) ? [value, 1] : [Math.round(value * 1000), 1000];
}
