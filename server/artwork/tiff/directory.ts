/** What a TIFF says of one of its pages (TIFF 6.0, §2, §12, §16, §18). */
export interface TiffPage {
  readonly width: number;
  readonly height: number;
  /** Bits a sample. */
  readonly bits: number;
  /** Samples a pixel. */
  readonly samples: number;
  /** PhotometricInterpretation: 0 and 1 grey, 2 RGB, 5 separated, 8 CIELAB. */
  readonly photometric: number;
  /** Names of the inks of a separated page, in order of its samples; none where it does not say. */
  readonly inkNames: readonly string[];
  /** Samples plane by plane instead of pixel by pixel. */
  readonly planar: boolean;
  /** Whether 0 is solid: the first of DotRange's numbers is the greater. */
  readonly turned: boolean;
  /** Pixels an inch; undefined where the file does not say. */
  readonly ppi: readonly [x: number, y: number] | undefined;
  /** Where the value of PhotometricInterpretation stands in the file. */
  readonly photometricAt: number;
  readonly little: boolean;
}

export const PHOTOMETRIC = 262;
export const SEPARATED = 5;
const IN_CMYK = ["Cyan", "Magenta", "Yellow", "Black"];

/** Most pages that are looked for, and most bytes of ink names. */
const MOST_PAGES = 10_000;
const MOST_NAME_BYTES = 64_000;

/** Bytes of a value, by field type (TIFF 6.0, §2). */
const SIZES: Readonly<Record<number, number>> = { 1: 1, 2: 1, 3: 2, 4: 4, 5: 8 };

/**
 * The pages of a TIFF of 32-bit offsets, in their order, as far as its directories can be read; none of any other file.
 * A chain that comes back to itself ends there.
 */
export function tiffPages(bytes: Uint8Array): TiffPage[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const pages: TiffPage[] = [];
  try {
    const little = bytes[0] === 0x49 && bytes[1] === 0x49;
    if ((!little && !(bytes[0] === 0x4d && bytes[1] === 0x4d)) || view.getUint16(2, little) !== 42) return [];
    const seen = new Set<number>();
    for (let at = view.getUint32(4, little); at !== 0 && !seen.has(at) && pages.length < MOST_PAGES; ) {
      seen.add(at);
      const count = view.getUint16(at, little);
      pages.push(pageOf(new Directory(view, at, count, little)));
      at = view.getUint32(at + 2 + 12 * count, little);
    }
  } catch (error) {
    // A directory beyond the end: the decoder refuses what is missing.
    if (!(error instanceof RangeError)) throw error;
  }
  return pages;
}

function pageOf(directory: Directory): TiffPage {
  const one = (tag: number, otherwise: number) => directory.numbers(tag)[0] ?? otherwise;
  const samples = one(277, 1);
  const photometric = one(PHOTOMETRIC, 1);
  const range = directory.numbers(336);
  const perUnit = { 2: 1, 3: 2.54 }[one(296, 2)];
  const [x, y] = [one(282, 0), one(283, 0)];
  const named = directory
    .text(333)
    .split("\0")
    .filter((name) => name !== "")
    .slice(0, samples);
  const isCmyk = photometric === SEPARATED && one(332, 1) === 1 && samples >= 4;
  return {
    width: one(256, 0),
    height: one(257, 0),
    bits: one(258, 1),
    samples,
    photometric,
    inkNames: named.length > 0 ? named : isCmyk ? IN_CMYK : [],
    planar: one(284, 1) === 2,
    turned: range.length >= 2 && range[0]! > range[1]!,
    ppi: perUnit !== undefined && x > 0 && y > 0 ? [x * perUnit, y * perUnit] : undefined,
    photometricAt: directory.place(PHOTOMETRIC) ?? 0,
    little: directory.little,
  };
}

class Directory {
  readonly little: boolean;
  readonly #view: DataView;
  readonly #entries = new Map<number, number>();

  constructor(view: DataView, at: number, count: number, little: boolean) {
    this.#view = view;
    this.little = little;
    for (let i = 0; i < count; i++) {
      const entry = at + 2 + 12 * i;
      this.#entries.set(view.getUint16(entry, little), entry);
    }
  }

  /** Where a field's value stands; undefined without such a field, or where it is of no known type. */
  place(tag: number): number | undefined {
    const entry = this.#entries.get(tag);
    const size = entry === undefined ? undefined : SIZES[this.#view.getUint16(entry + 2, this.little)];
    if (entry === undefined || size === undefined) return undefined;
    const length = size * this.#view.getUint32(entry + 4, this.little);
    return length <= 4 ? entry + 8 : this.#view.getUint32(entry + 8, this.little);
  }

  /** The first numbers of a field, at most 64. */
  numbers(tag: number): number[] {
    const at = this.place(tag);
    if (at === undefined) return [];
    const { little } = this;
    const view = this.#view;
    const entry = this.#entries.get(tag)!;
    const type = view.getUint16(entry + 2, little);
    const count = Math.min(64, view.getUint32(entry + 4, little));
    return Array.from({ length: count }, (_, i) => {
      if (type === 3) return view.getUint16(at + 2 * i, little);
      if (type === 4) return view.getUint32(at + 4 * i, little);
      if (type === 5) return view.getUint32(at + 8 * i, little) / view.getUint32(at + 8 * i + 4, little);
      return view.getUint8(at + i);
    });
  }

  /** A field's text, with the zeros that it is parted by. */
  text(tag: number): string {
    const at = this.place(tag);
    if (at === undefined) return "";
    const length = Math.min(MOST_NAME_BYTES, this.#view.getUint32(this.#entries.get(tag)! + 4, this.little));
    const { buffer, byteOffset, byteLength } = this.#view;
    if (at + length > byteLength) return "";
    return new TextDecoder().decode(new Uint8Array(buffer, byteOffset + at, length));
  }
}
