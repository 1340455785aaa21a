import { inflateSync } from "node:zlib";
import { PDFBool, PDFName, PDFNumber, type PDFRawStream } from "@cantoo/pdf-lib";
import type { Size } from "../decoder.ts";
import { sharpDecoder as decoder } from "../sharp-decoder.ts";
import { LONG, SHORT, tiffField, tiffFile } from "../tiff/write.ts";
import { numbersOf } from "./pdf-objects.ts";
import { filtersOf } from "./pdf-streams.ts";

/** A picture of a PDF: its size, and one of its components, 0–255 as the file says (ISO 32000-1, 8.9.5). */
export interface PdfSamples extends Size {
  readonly component: Uint8Array;
}

/** What a picture says of itself. */
export interface ImageHead extends Size {
  readonly bits: number;
}

export function headOf({ dict }: PDFRawStream): ImageHead | undefined {
  const whole = (...keys: string[]) => {
    const found = keys.map((key) => dict.lookup(PDFName.of(key))).find((v) => v instanceof PDFNumber);
    return found instanceof PDFNumber && found.asNumber() > 0 ? Math.floor(found.asNumber()) : undefined;
  };
  const [width, height] = [whole("Width", "W"), whole("Height", "H")];
  const stencil = dict.lookup(PDFName.of("ImageMask")) === PDFBool.True;
  const bits = stencil ? 1 : (whole("BitsPerComponent", "BPC") ?? 8);
  return width && height && [1, 2, 4, 8, 16].includes(bits) ? { width, height, bits } : undefined;
}

/** Component `index` of `count`; undefined where its coding is not read here. Throws where it is damaged. */
export async function samplesOf(
  stream: PDFRawStream,
  count: number,
  index: number,
): Promise<PdfSamples | undefined> {
  const head = headOf(stream);
  if (!head) return undefined;
  const component = await codedComponent(stream, head, count, index);
  if (!component) return undefined;
  const range = numbersOf(stream.dict.lookup(PDFName.of("Decode")));
  const [low, high] = range ? [range[2 * index] ?? 0, range[2 * index + 1] ?? 1] : [0, 1];
  if (low !== 0 || high !== 1) {
    const table = Uint8Array.from({ length: 256 }, (_, v) =>
      Math.round(255 * Math.min(1, Math.max(0, low + ((high - low) * v) / 255))),
    );
    for (let i = 0; i < component.length; i++) component[i] = table[component[i]!]!;
  }
  return { width: head.width, height: head.height, component };
}

async function codedComponent(
  stream: PDFRawStream,
  head: ImageHead,
  count: number,
  index: number,
): Promise<Uint8Array | undefined> {
  const filters = filtersOf(stream);
  if (filters.length > 1) return undefined;
  const { name, params } = filters[0] ?? { name: "", params: undefined };
  const number = (key: string, otherwise: number) => {
    const found = params?.lookup(PDFName.of(key));
    return found instanceof PDFNumber ? found.asNumber() : otherwise;
  };
  const flag = (key: string) => params?.lookup(PDFName.of(key)) === PDFBool.True;
  switch (name) {
    case "":
      return unpacked(stream.contents, head, count, index);
    case "FlateDecode": {
      const predictor = number("Predictor", 1);
      const row = Math.ceil((head.width * count * head.bits) / 8);
      const length = (row + (predictor >= 10 ? 1 : 0)) * head.height;
      // A little more than there should be: some encoders end with a line feed.
      const bytes = inflateSync(stream.contents, { maxOutputLength: length + 64 });
      if (predictor === 1) return unpacked(bytes, head, count, index);
      if (predictor < 10) return undefined;
      const columns = number("Columns", 1) * number("Colors", 1) * number("BitsPerComponent", 8);
      if (Math.ceil(columns / 8) !== row) return undefined;
      const step = Math.max(1, (number("Colors", 1) * number("BitsPerComponent", 8)) >> 3);
      return unpacked(unfiltered(bytes, row, head.height, step), head, count, index);
    }
    case "DCTDecode": {
      if (count !== 1) return undefined;
      const { width, height, channels } = await decoder.channels(stream.contents, {
        page: 0,
        deep: false,
        single: { size: undefined, kernel: "smooth" },
      });
      return width === head.width && height === head.height ? channels[0] : undefined;
    }
    case "CCITTFaxDecode": {
      const columns = number("Columns", 1728);
      if (count !== 1 || columns !== head.width || flag("EncodedByteAlign")) return undefined;
      const k = number("K", 0);
      if (k > 0) return undefined;
      const { channels } = await decoder.channels(faxTiff(stream.contents, head, k < 0 ? 4 : 3), {
        page: 0,
        deep: false,
        single: { size: undefined, kernel: "smooth" },
      });
      const [white] = channels;
      return flag("BlackIs1") ? white!.map((v) => 255 - v) : white;
    }
    default:
      return undefined;
  }
}

/** Fax coding as a file of its own, white paper zero. */
function faxTiff(contents: Uint8Array, { width, height }: Size, compression: number): Uint8Array {
  return tiffFile(
    [
      tiffField(256, LONG, [width]),
      tiffField(257, LONG, [height]),
      tiffField(258, SHORT, [1]),
      tiffField(259, SHORT, [compression]),
      tiffField(262, SHORT, [0]),
      tiffField(277, SHORT, [1]),
      tiffField(278, LONG, [height]),
    ],
    [contents],
  );
}

/** One component out of packed rows, whatever its depth, as bytes. */
function unpacked(
  bytes: Uint8Array,
  { width, height, bits }: ImageHead,
  count: number,
  index: number,
): Uint8Array {
  const row = Math.ceil((width * count * bits) / 8);
  if (bytes.length < row * height) throw new Error("a picture in the PDF is cut short");
  const out = new Uint8Array(width * height);
  const perSample = 255 / (2 ** Math.min(8, bits) - 1);
  for (let y = 0, at = 0; y < height; y++) {
    for (let x = 0; x < width; x++, at++) {
      const sample = x * count + index;
      if (bits === 8) out[at] = bytes[y * row + sample]!;
      else if (bits === 16) {
        const from = y * row + 2 * sample;
        out[at] = Math.round((bytes[from]! * 256 + bytes[from + 1]!) / 257);
      } else {
        const place = sample * bits;
        const shift = 8 - bits - (place & 7);
        out[at] = ((bytes[y * row + (place >> 3)]! >> shift) & (2 ** bits - 1)) * perSample;
      }
    }
  }
  return out;
}

/** PNG's filters undone (ISO/IEC 15948, clause 9); `step` bytes a pixel. */
function unfiltered(bytes: Uint8Array, row: number, height: number, step: number): Uint8Array {
  if (bytes.length < (row + 1) * height) throw new Error("a picture in the PDF is cut short");
  const out = new Uint8Array(row * height);
  for (let y = 0; y < height; y++) {
    const kind = bytes[y * (row + 1)]!;
    for (let i = 0; i < row; i++) {
      const at = y * row + i;
      const left = i >= step ? out[at - step]! : 0;
      const above = y > 0 ? out[at - row]! : 0;
      const corner = i >= step && y > 0 ? out[at - row - step]! : 0;
      out[at] = bytes[y * (row + 1) + 1 + i]! + predicted(kind, left, above, corner);
    }
  }
  return out;
}

function predicted(kind: number, left: number, above: number, corner: number): number {
  switch (kind) {
    case 1:
      return left;
    case 2:
      return above;
    case 3:
      return (left + above) >> 1;
    case 4: {
      const p = left + above - corner;
      const [a, b, c] = [Math.abs(p - left), Math.abs(p - above), Math.abs(p - corner)];
      return a <= b && a <= c ? left : b <= c ? above : corner;
    }
    default:
      return 0;
  }
}
