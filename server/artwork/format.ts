/** The kinds of artwork that are read. */
export type ArtworkFormat = "png" | "jpeg" | "tiff" | "webp" | "gif" | "avif" | "svg" | "pdf";

const SIGNATURES: readonly { name: string; format?: ArtworkFormat; at?: number; bytes: string }[] = [
  { name: "PNG", format: "png", bytes: "\x89PNG\r\n\x1a\n" },
  { name: "JPEG", format: "jpeg", bytes: "\xff\xd8\xff" },
  { name: "TIFF", format: "tiff", bytes: "II*\0" },
  { name: "TIFF", format: "tiff", bytes: "MM\0*" },
  { name: "TIFF", format: "tiff", bytes: "II+\0" },
  { name: "TIFF", format: "tiff", bytes: "MM\0+" },
  { name: "WebP", format: "webp", at: 8, bytes: "WEBP" },
  { name: "GIF", format: "gif", bytes: "GIF8" },
  { name: "AVIF", format: "avif", at: 4, bytes: "ftypavif" },
  { name: "AVIF", format: "avif", at: 4, bytes: "ftypavis" },
  { name: "layered PSD", bytes: "8BPS" },
  { name: "PDF", format: "pdf", bytes: "%PDF" },
  { name: "EPS or PostScript", bytes: "%!PS" },
  { name: "EPS with a preview", bytes: "\xc5\xd0\xd3\xc6" },
  { name: "compressed (gzip)", bytes: "\x1f\x8b" },
  { name: "BMP", bytes: "BM" },
  { name: "HEIF", at: 4, bytes: "ftyp" },
  { name: "JPEG XL", bytes: "\xff\x0a" },
];

/**
 * What a file is by its first bytes, never by its name: a format that is read here, or the name of one that
 * is known but not read, or neither. Text with an `svg` tag counts as SVG.
 */
export function formatOf(bytes: Uint8Array): { format?: ArtworkFormat; name?: string } {
  const head = Buffer.from(bytes.subarray(0, 16)).toString("latin1");
  const found = SIGNATURES.find((s) => head.startsWith(s.bytes, s.at ?? 0));
  // Drawing programs' own files may hold a PDF behind a few bytes of theirs (ISO 32000-1, annex H).
  const inside = Buffer.from(bytes.subarray(0, 1024)).toString("latin1").includes("%PDF-");
  if (inside) return { format: "pdf", name: "PDF" };
  if (found) return found.format ? { format: found.format, name: found.name } : { name: found.name };
  return looksLikeSvg(bytes) ? { format: "svg", name: "SVG" } : {};
}

/** The tag may stand far down, behind comments and an entity list; UTF-16 text has a NUL beside each letter. */
function looksLikeSvg(bytes: Uint8Array): boolean {
  const head = Buffer.from(bytes.subarray(0, 1 << 20))
    .toString("latin1")
    .replaceAll("\0", "");
  return /^(?:\xef\xbb\xbf|\xff\xfe|\xfe\xff)?\s*</.test(head) && /<(?:[\w-]+:)?svg[\s>/]/.test(head);
}
