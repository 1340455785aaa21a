/** A film as TIFF 6.0: one bit a pixel, Group 4, 0 = clear film, with its resolution. */
export interface TiffFilm {
  readonly width: number;
  readonly height: number;
  readonly dpi: number;
  readonly rowsPerStrip: number;
  /** Group 4 strips from the top. */
  readonly strips: readonly Uint8Array[];
  readonly description: string;
  readonly software: string;
}

const SHORT = 3;
const LONG = 4;
const ASCII = 2;
const RATIONAL = 5;

export function tiffOf(film: TiffFilm): Uint8Array {
  const { strips } = film;
  const fields: Field[] = [
    field(254, LONG, [0]),
    field(256, LONG, [film.width]),
    field(257, LONG, [film.height]),
    field(258, SHORT, [1]),
    // Group 4; white is zero; bits from the highest; upright.
    field(259, SHORT, [4]),
    field(262, SHORT, [0]),
    field(266, SHORT, [1]),
    text(270, film.description),
    field(273, LONG, new Array<number>(strips.length).fill(0)),
    field(274, SHORT, [1]),
    field(277, SHORT, [1]),
    field(278, LONG, [film.rowsPerStrip]),
    field(
      279,
      LONG,
      strips.map(({ length }) => length),
    ),
    field(282, RATIONAL, rational(film.dpi)),
    field(283, RATIONAL, rational(film.dpi)),
    field(293, LONG, [0]),
    field(296, SHORT, [2]),
    text(305, film.software),
  ];
  const directory = 8;
  let at = directory + 2 + fields.length * 12 + 4;
  const places = fields.map(({ bytes }) => {
    if (bytes.length <= 4) return 0;
    const place = at;
    at += bytes.length + (bytes.length & 1);
    return place;
  });
  const offsets = strips.map(({ length }) => {
    const place = at;
    at += length + (length & 1);
    return place;
  });
  fields[8]!.bytes.set(field(273, LONG, offsets).bytes);

  const out = new Uint8Array(at);
  const view = new DataView(out.buffer);
  out.set([0x49, 0x49, 42, 0]);
  view.setUint32(4, directory, true);
  view.setUint16(directory, fields.length, true);
  for (const [i, { tag, type, count, bytes }] of fields.entries()) {
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

interface Field {
  readonly tag: number;
  readonly type: number;
  readonly count: number;
  readonly bytes: Uint8Array;
}

function field(tag: number, type: number, values: readonly number[]): Field {
  const size = type === SHORT ? 2 : 4;
  const bytes = new Uint8Array(values.length * size);
  const view = new DataView(bytes.buffer);
  for (const [i, value] of values.entries()) {
    if (type === SHORT) view.setUint16(i * 2, value, true);
    else view.setUint32(i * 4, value, true);
  }
  return { tag, type, count: type === RATIONAL ? values.length / 2 : values.length, bytes };
}

/** ASCII only, as the format wants; other signs become question marks. */
function text(tag: number, value: string): Field {
  const bytes = Uint8Array.from([...value, "\0"], (sign) => (sign > "~" ? 0x3f : sign.charCodeAt(0)));
  return { tag, type: ASCII, count: bytes.length, bytes };
}

function rational(value: number): [number, number] {
  return Number.isInteger(value) ? [value, 1] : [Math.round(value * 1000), 1000];
}
