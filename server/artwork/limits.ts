/** Most bytes of a pixel file: 357 Mpx of 8-bit RGB without compression. */
export const MAX_FILE_BYTES = 1024 * 1024 * 1024;

/** Most bytes of an SVG file, which is handled as one string. */
export const MAX_SVG_BYTES = 64 * 1024 * 1024;

/** Most bytes of a PDF, which its renderer holds in memory of its own. */
export const MAX_PDF_BYTES = 256 * 1024 * 1024;

/** Most memory of the process that reads a PDF: its file, a page's picture and copies of both. */
export const MAX_PDF_MEMORY = 4 * 1024 * 1024 * 1024;

/** Most pixels that a file may hold; checked before anything is decoded. */
export const MAX_FILE_PIXELS = 400_000_000;

/** Most samples of a file of several plates, a byte each in memory. */
export const MAX_PLATE_SAMPLES = 1_600_000_000;

/** Most pixels of the picture handed out, at 4 bytes each: 16 × 20 in at 600 ppi is 115 million. */
export const MAX_PICTURE_PIXELS = 200_000_000;

/**
 * Levels of elements in an SVG, and elements that references among them have drawn again: drawing programs stay far
 * below; beyond, a renderer takes all of its stack, or minutes.
 */
export const MAX_SVG_DEPTH = 500;
export const MAX_SVG_COPIES = 100_000;

/** Most pixels that the filters of a drawing may go over: a renderer does some fifty million a second. */
export const MAX_FILTERED_PIXELS = 2_000_000_000;

/** Most pixels of all pictures that an SVG holds: its renderer takes 9 bytes for each. */
export const MAX_EMBEDDED_PIXELS = 100_000_000;

/** Longest side of a drawn SVG, in pixels: the renderers' own limit (libvips, librsvg). */
export const MAX_SVG_SIDE = 32_767;

/** Resolution at which vector artwork is drawn where none is asked for. */
export const VECTOR_PPI = 300;

/** "24.3 Mpx", as messages state a number of pixels. */
export function megapixels(pixels: number): string {
  return `${(pixels / 1e6).toFixed(1)} Mpx`;
}
