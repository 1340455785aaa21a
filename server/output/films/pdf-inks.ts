import { deflateSync } from "node:zlib";
import { type PDFContext, type PDFDict, PDFName, PDFRawStream, type PDFRef } from "@cantoo/pdf-lib";
import type { Lab } from "../../engine/colour/cielab.ts";

/** Bare paper, and full black, in CIELAB. */
export const PAPER: Lab = { L: 100, a: 0, b: 0 };
export const BLACK: Lab = { L: 0, a: 0, b: 0 };

/** D50, under which inks are measured (ICC.1:2022, 7.2.16). */
const WHITE_POINT = [0.9642, 1, 0.8249];
const RANGE = [-128, 127, -128, 127];

/**
 * A named colorant in a Separation space (ISO 32000-1, 8.6.6.4); where there is no such ink its tint runs through CIELAB
 * from what is bare to the ink's colour.
 */
export function separation(context: PDFContext, name: string, ink: Lab, bare: Lab = PAPER): PDFRef {
  const lab = ({ L, a, b }: Lab) => {
    const within = (v: number) => Math.min(127, Math.max(-128, v));
    return [Math.min(100, Math.max(0, L)), within(a), within(b)].map((v) => Number(v.toFixed(3)));
  };
  const tint = context.register(
    context.obj({ FunctionType: 2, Domain: [0, 1], C0: lab(bare), C1: lab(ink), N: 1 }),
  );
  const alternate = ["Lab", { WhitePoint: WHITE_POINT, Range: RANGE }];
  return context.register(context.obj(["Separation", PDFName.of(nameText(name)), alternate, tint]));
}

/** Names with a meaning of their own for a separation (ISO 32000-1, 8.6.6.4): nothing, everything, or a device's own colorants. */
const RESERVED = new Set(["All", "None", "Cyan", "Magenta", "Yellow", "Black"]);

/** A plate's name as a spot colorant's, which no device takes for one of its own. */
export function colorantName(plate: string): string {
  return RESERVED.has(plate) ? `${plate} plate` : plate;
}

/** Names are UTF-8 by recommendation of the standard (§7.3.5); the library writes its argument's characters as bytes. */
function nameText(name: string): string {
  return String.fromCharCode(...new TextEncoder().encode(name));
}

/** Samples, most ink highest: bits in Group 4 (ISO 32000-1, §7.4.6), or a byte a pixel, deflated. */
export interface PdfImage {
  readonly width: number;
  readonly height: number;
  readonly bits: 1 | 8;
  readonly data: Uint8Array;
}

/** A picture in a colour space, showing as far as a soft mask says. */
export function imageObject(
  context: PDFContext,
  image: PdfImage,
  space: PDFRef | PDFName,
  mask?: PDFRef,
): PDFRef {
  const { width, height, bits, data } = image;
  const dict = context.obj({
    Type: "XObject",
    Subtype: "Image",
    Width: width,
    Height: height,
    BitsPerComponent: bits,
    ColorSpace: space,
    ...(mask ? { SMask: mask } : {}),
    ...(bits === 1
      ? {
          Filter: "CCITTFaxDecode",
          DecodeParms: { K: -1, Columns: width, Rows: height, BlackIs1: true },
        }
      : { Filter: "FlateDecode" }),
    Length: data.length,
  });
  return context.register(PDFRawStream.of(dict as PDFDict, data));
}

export function contentStream(context: PDFContext, content: readonly string[]): PDFRef {
  const data = deflateSync(new TextEncoder().encode(content.join("\n")));
  const dict = context.obj({ Filter: "FlateDecode", Length: data.length });
  return context.register(PDFRawStream.of(dict as PDFDict, data));
}

/** A number as content has it. */
export function pdfNumber(value: number): string {
  return String(Number(value.toFixed(5)));
}
