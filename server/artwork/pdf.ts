import { inflateSync } from "node:zlib";
import type { Picture } from "../engine/raster.ts";
import { ArtworkError } from "./artwork-error.ts";
import type { Size } from "./decoder.ts";
import { MAX_PDF_BYTES } from "./limits.ts";
import { loadPdf, type PdfLibrary } from "./load-pdf.ts";

/** One page of a PDF, ready to be drawn. */
export interface PdfPage {
  /** Points of 1/72 in. */
  readonly width: number;
  readonly height: number;
  readonly pages: number;
  /** Names of spot colours that the file defines; they are drawn as it says they look. */
  readonly spots: readonly string[];
  /** Straight alpha, sRGB; clear where nothing is drawn. */
  draw(size: Size): Promise<Picture>;
}

/** Errors of FPDF_GetLastError (fpdfview.h). */
const PASSWORD = 4;
const SECURITY = 5;
/** FPDFBitmap_BGRA, and the flag that turns its bytes to RGBA. No text for LCDs, no comments. */
const BGRA = 4;
const REVERSE_BYTE_ORDER = 0x10;
/** Longest side of a page in points: 200 in, the format's own limit (ISO 32000-1, annex C). */
const LONGEST = 14_400;

/** Reads a PDF, or the PDF in an AI file; `page` counts from 1. Throws ArtworkError. */
export async function openPdf(file: string, bytes: Uint8Array, page: number): Promise<PdfPage> {
  if (bytes.length > MAX_PDF_BYTES) {
    const limit = MAX_PDF_BYTES / 1024 / 1024;
    throw new ArtworkError(
      file,
      "too-large",
      `the PDF has over ${limit} MiB; save its page alone, or with smaller pictures`,
    );
  }
  return withPage(file, bytes, page, (pdf, { at, pages }) => {
    const [width, height] = [pdf._FPDF_GetPageWidth(at), pdf._FPDF_GetPageHeight(at)];
    if (!(width > 0 && height > 0) || Math.max(width, height) > LONGEST)
      throw new ArtworkError(file, "format", "the PDF's page has no size that prints; export it again");
    return {
      width,
      height,
      pages,
      spots: spotsOf(bytes),
      draw: (size) => withPage(file, bytes, page, (library, drawn) => drawPage(library, drawn.at, size)),
    };
  });
}

async function withPage<T>(
  file: string,
  bytes: Uint8Array,
  page: number,
  work: (pdf: PdfLibrary, page: { readonly at: number; readonly pages: number }) => T,
): Promise<T> {
  try {
    const pdf = await loadPdf();
    const memory = pdf.wasmExports.malloc(bytes.length);
    if (memory === 0) throw new ArtworkError(file, "too-large", "the PDF takes more memory than there is");
    pdf.HEAPU8.set(bytes, memory);
    const document = pdf._FPDF_LoadMemDocument(memory, bytes.length, 0);
    if (document === 0) throw refused(file, pdf._FPDF_GetLastError());
    const pages = pdf._FPDF_GetPageCount(document);
    if (page > pages)
      throw new ArtworkError(
        file,
        "format",
        `the PDF has ${pages} page${pages === 1 ? "" : "s"} and no page ${page}; name one that it has`,
      );
    const at = pdf._FPDF_LoadPage(document, page - 1);
    if (at === 0)
      throw new ArtworkError(file, "corrupt", `page ${page} of the PDF is damaged; export it again`);
    return work(pdf, { at, pages });
  } catch (error) {
    if (error instanceof ArtworkError) throw error;
    // It has come to the end of its memory, 2 GB, or of what it understands; it does not say which.
    const problem =
      "the PDF is damaged, or takes more memory than a page may; ask for its page as PNG or TIFF";
    throw new ArtworkError(file, "corrupt", problem, { cause: error });
  }
}

function refused(file: string, code: number): ArtworkError {
  if (code === PASSWORD || code === SECURITY)
    return new ArtworkError(file, "unreadable", "the PDF is locked by a password; ask for one without");
  return new ArtworkError(file, "corrupt", "the PDF is damaged or cut short; export or copy it again");
}

function drawPage(pdf: PdfLibrary, page: number, { width, height }: Size): Picture {
  const bytes = width * height * 4;
  const memory = pdf.wasmExports.malloc(bytes);
  if (memory === 0) throw new Error("more memory than there is");
  const bitmap = pdf._FPDFBitmap_CreateEx(width, height, BGRA, memory, width * 4);
  if (bitmap === 0) throw new Error("no picture of that size");
  pdf._FPDFBitmap_FillRect(bitmap, 0, 0, width, height, 0);
  pdf._FPDF_RenderPageBitmap(bitmap, page, 0, 0, width, height, 0, REVERSE_BYTE_ORDER);
  const data = new Uint8Array(bytes);
  data.set(pdf.HEAPU8.subarray(memory, memory + bytes));
  pdf._FPDFBitmap_Destroy(bitmap);
  return { width, height, data };
}

/** Most names, and most bytes of streams that are looked through. */
const MOST_SPOTS = 20;
const MOST_STREAM_BYTES = 32 * 1024 * 1024;

/** Names of Separation and DeviceN colour spaces (ISO 32000-1, 8.6.6), in objects and in streams of objects. */
function spotsOf(bytes: Uint8Array): string[] {
  const text = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length).toString("latin1");
  const found = new Set<string>();
  const look = (part: string) => {
    for (const [, name] of part.matchAll(/\/Separation\s*\/([^\s/[\]()<>{}%]{1,100})/g))
      found.add(nameOf(name!));
    for (const [, names] of part.matchAll(/\/DeviceN\s*\[([^\]]{1,2000})\]/g))
      for (const [, name] of names!.matchAll(/\/([^\s/[\]()<>{}%]{1,100})/g)) found.add(nameOf(name!));
  };
  look(text);
  let left = MOST_STREAM_BYTES;
  for (const { index } of text.matchAll(/\/Type\s*\/ObjStm/g)) {
    const start = text.indexOf("stream", index);
    const end = text.indexOf("endstream", start);
    if (start < 0 || end < 0 || left <= 0) break;
    const from = start + (text[start + 6] === "\r" ? 8 : 7);
    try {
      const inflated = inflateSync(bytes.subarray(from, end), { maxOutputLength: left });
      left -= inflated.length;
      look(inflated.toString("latin1"));
    } catch {
      // Not deflated, or damaged: then its names are not told.
    }
  }
  for (const process of ["All", "None", "Cyan", "Magenta", "Yellow", "Black"]) found.delete(process);
  return [...found].sort().slice(0, MOST_SPOTS);
}

function nameOf(written: string): string {
  return written.replaceAll(/#([0-9a-f]{2})/gi, (_, hex: string) =>
    String.fromCharCode(Number.parseInt(hex, 16)),
  );
}
