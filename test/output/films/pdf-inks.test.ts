import { inflateSync } from "node:zlib";
import { PDFArray, PDFDict, PDFDocument, PDFName, type PDFRawStream } from "@cantoo/pdf-lib";
import { describe, expect, it } from "vitest";
import type { Lab } from "../../../server/engine/colour/cielab.ts";
import {
  colorantName,
  contentStream,
  imageObject,
  pdfNumber,
  separation,
} from "../../../server/output/films/pdf-inks.ts";

const { context } = await PDFDocument.create({ updateMetadata: false });

/** The ends of a colorant's tint, in CIELAB. */
function tint(ink: Lab, bare?: Lab): number[][] {
  const space = context.lookup(separation(context, "a", ink, bare), PDFArray);
  const dict = space.lookup(3, PDFDict);
  return ["C0", "C1"].map((end) => dict.lookup(PDFName.of(end), PDFArray).asArray().map(String).map(Number));
}

describe("a colorant", () => {
  it("runs from bare paper, or what is told, to its ink", () => {
    expect(tint({ L: 45.25, a: 56.1234, b: -41.5 })).toEqual([
      [100, 0, 0],
      [45.25, 56.123, -41.5],
    ]);
    expect(tint({ L: 45, a: 5, b: 4 }, { L: 10, a: 1, b: 2 })[0]).toEqual([10, 1, 2]);
  });

  it("stays within what its space can say", () => {
    expect(tint({ L: 105, a: 140, b: -140 })[1]).toEqual([100, 127, -128]);
    expect(tint({ L: -5, a: -128.5, b: 127.5 })[1]).toEqual([0, -128, 127]);
  });

  it("has a name that no device takes for its own", () => {
    expect(["All", "None", "Cyan", "Magenta", "Yellow", "Black"].map(colorantName)).toEqual([
      "All plate",
      "None plate",
      "Cyan plate",
      "Magenta plate",
      "Yellow plate",
      "Black plate",
    ]);
    expect(["all", "ember"].map(colorantName)).toEqual(["all", "ember"]);
  });
});

describe("a picture of a PDF", () => {
  const dictOf = (bits: 1 | 8, mask = false) => {
    const image = { width: 20, height: 3, bits, data: Uint8Array.of(1, 2, 3) };
    const soft = imageObject(context, { ...image, bits: 8 }, PDFName.of("DeviceGray"));
    const ref = imageObject(context, image, PDFName.of("DeviceGray"), mask ? soft : undefined);
    const stream = context.lookup(ref) as PDFRawStream;
    expect([...stream.contents]).toEqual([1, 2, 3]);
    const { dict } = stream;
    return Object.fromEntries(dict.keys().map((key) => [key.decodeText(), String(dict.lookup(key))]));
  };
  const COMMON = {
    Type: "/XObject",
    Subtype: "/Image",
    Width: "20",
    Height: "3",
    ColorSpace: "/DeviceGray",
    Length: "3",
  };

  it("of a byte a pixel is deflated, with its soft mask if there is one", () => {
    expect(dictOf(8)).toEqual({ ...COMMON, BitsPerComponent: "8", Filter: "/FlateDecode" });
    expect(Object.keys(dictOf(8, true))).toContain("SMask");
  });

  it("of a bit a pixel is in Group 4, black as ink (ISO 32000-1, table 11: K below 0)", () => {
    const { DecodeParms, ...rest } = dictOf(1);
    expect(rest).toEqual({ ...COMMON, BitsPerComponent: "1", Filter: "/CCITTFaxDecode" });
    for (const part of ["/K -1", "/Columns 20", "/Rows 3", "/BlackIs1 true"])
      expect(DecodeParms!.replace(/\s+/g, " ")).toContain(part);
  });
});

it("content is deflated, a line each", () => {
  const stream = context.lookup(contentStream(context, ["q", "1 w", "Q"])) as PDFRawStream;
  expect(inflateSync(stream.contents).toString("utf8")).toBe("q\n1 w\nQ");
  const lookup = (key: string) => String(stream.dict.lookup(PDFName.of(key)));
  expect([lookup("Filter"), lookup("Length")]).toEqual(["/FlateDecode", String(stream.contents.length)]);
});

it("a number is written to a hundred-thousandth of a point, and never as a power", () => {
  expect([1, 0.1 + 0.2, 1.23456789, -0.000001].map(pdfNumber)).toEqual(["1", "0.3", "1.23457", "0"]);
});
