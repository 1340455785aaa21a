import type { Within } from "../../files/boundary.ts";
import { ArtworkError } from "../artwork-error.ts";
import { formatOf } from "../format.ts";
import { openPdfPlatesApart } from "../pdf-apart.ts";
import { readSource } from "../source.ts";
import { openPixelPlates } from "./pixel-plates.ts";
import type { OpenPlates } from "./plates.ts";

/** What is opened of a file: bytes of another state of it than the one on disk, how far it may lie. */
export interface PlateOptions {
  readonly bytes?: Uint8Array | undefined;
  readonly within?: Within | undefined;
}

/**
 * Opens a page, from 1, of a file that holds plates, or the whole file: a picture, a TIFF, a PDF. Numbers are tones as they stand in the
 * file: no colour management. Throws ArtworkError.
 */
export async function openPlates(
  file: string,
  page: number | undefined,
  { bytes: given, within }: PlateOptions = {},
): Promise<OpenPlates> {
  const bytes = given ?? (await readSource(file, within));
  const { format, name } = formatOf(bytes);
  if (format === "pdf") return openPdfPlatesApart(file, bytes, page);
  if (format && format !== "svg") return openPixelPlates(file, format, bytes, page ?? 1);
  const what = name ? `this is a ${name} file` : "this is not a picture";
  throw new ArtworkError(
    file,
    "format",
    `${what}; a plate is a grey PNG, JPEG, WebP or TIFF, or a separation of a PDF: export it as one of these`,
  );
}
