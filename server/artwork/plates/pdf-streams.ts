import { inflateSync } from "node:zlib";
import { PDFArray, PDFDict, PDFName, type PDFRawStream } from "@cantoo/pdf-lib";

/** Most bytes of a page's drawing instructions once inflated. */
const MOST_CONTENT = 64 * 1024 * 1024;
/** Most bytes of all objects that stand in streams. */
const MOST_OBJECTS = 128 * 1024 * 1024;

/** A stream's filters by name, and what each is told. */
export function filtersOf({
  dict,
}: PDFRawStream): { readonly name: string; readonly params: PDFDict | undefined }[] {
  const list = (object: unknown) =>
    object instanceof PDFArray ? object.asArray().map((_, i) => object.lookup(i)) : object ? [object] : [];
  const filters = list(dict.lookup(PDFName.of("Filter")));
  const params = list(dict.lookup(PDFName.of("DecodeParms")));
  return filters.map((filter, i) => ({
    name: filter instanceof PDFName ? filter.decodeText() : "",
    params: params[i] instanceof PDFDict ? params[i] : undefined,
  }));
}

/** A stream's bytes where they are deflated or plain; undefined for other filters, and beyond `most` bytes. */
export function inflated(stream: PDFRawStream, most = MOST_CONTENT): Uint8Array | undefined {
  const filters = filtersOf(stream);
  if (filters.length === 0) return stream.contents.length <= most ? stream.contents : undefined;
  const [{ name, params }] = filters as [(typeof filters)[number]];
  if (filters.length > 1 || name !== "FlateDecode" || params?.has(PDFName.of("Predictor"))) return undefined;
  try {
    return inflateSync(stream.contents, { maxOutputLength: most });
  } catch {
    return undefined;
  }
}

/**
 * Whether the streams of objects of a PDF grow beyond what is held, which the parser would find out only with all of
 * them in memory. Damaged ones are left for it.
 */
export function growsTooFar(bytes: Uint8Array): boolean {
  const text = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length).toString("latin1");
  let left = MOST_OBJECTS;
  for (const { index } of text.matchAll(/\/(?:ObjStm|XRef)\b/g)) {
    const start = text.indexOf("stream", index + 7);
    const end = text.indexOf("endstream", start);
    if (start < 0 || end < 0) break;
    const from = start + (text[start + 6] === "\r" ? 8 : 7);
    try {
      left -= inflateSync(bytes.subarray(from, end), { maxOutputLength: left }).length;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === "ERR_BUFFER_TOO_LARGE") return true;
    }
    if (left <= 0) return true;
  }
  return false;
}
