/** How large a raster is, in pixels, and where it lies. */
export interface Extent {
  readonly width: number;
  readonly height: number;
  /** Pixels of the whole print left of and above the first one, where this is a part that was cut out of it. */
  readonly origin?: { readonly x: number; readonly y: number };
}

/** A picture as the engine sees it: 8-bit sRGB, rows from the top, RGBA interleaved, alpha not premultiplied. */
export interface Picture extends Extent {
  /** width × height × 4 bytes. */
  readonly data: Uint8Array;
  /** Shapes with antialiased edges: a pixel between two colours is a share of each (extract/covered-edges.ts). */
  readonly drawn?: boolean;
  /** What plates are extracted from where that is not `data`, which is then there to be looked at. */
  readonly areas?: Areas;
  /** Tones of plates that were made elsewhere, by name, width × height bytes each. */
  readonly given?: ReadonlyMap<string, Tones>;
  /** Of an index separation the number of the ink that each pixel's square carries, 0 for none; width × height. */
  readonly squares?: Uint8Array;
}

/** Flat art: a pixel is one of few colours, or at an edge a mixture of two, of which each plate takes its share. */
export interface Areas {
  /** RGBA of each colour, of which the last is clear. */
  readonly colours: Uint8Array;
  /** Numbers of colours, width × height. */
  readonly first: Uint8Array;
  readonly second: Uint8Array;
  /** Share of the first, 128–255 of 255. */
  readonly share: Uint8Array;
}

/** A tone map: one byte a pixel, 0 = no ink, 255 = solid ink. */
export type Tones = Uint8Array;

/**
 * Bytes as 32-bit words in memory order, for reading: a copy where they do not lie on whole words. What is left over at
 * the end is left out.
 */
export function wholeWords(bytes: Uint8Array): Uint32Array {
  // Not bytes.slice(): a Node Buffer's does not copy.
  const aligned = bytes.byteOffset % 4 === 0 ? bytes : new Uint8Array(bytes);
  return new Uint32Array(aligned.buffer, aligned.byteOffset, aligned.length >> 2);
}

/** a · b / 255 of two bytes, rounded to the nearest; never half way, since 255 is odd. */
export function share(a: number, b: number): number {
  const product = a * b + 128;
  return (product + (product >> 8)) >> 8;
}
