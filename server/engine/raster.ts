/** A picture as the engine sees it: 8-bit sRGB, rows from the top, RGBA interleaved, alpha not premultiplied. */
export interface Picture {
  readonly width: number;
  readonly height: number;
  /** width × height × 4 bytes. */
  readonly data: Uint8Array;
}

/** A tone map: one byte a pixel, 0 = no ink, 255 = solid ink. */
export type Tones = Uint8Array;
