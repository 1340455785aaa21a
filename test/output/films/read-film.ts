import { inflateSync } from "node:zlib";
import { PDFArray, PDFDict, PDFDocument, PDFName, PDFNumber, PDFRawStream, PDFStream } from "@cantoo/pdf-lib";
import sharp from "sharp";
import { tiffOf } from "../../../server/output/films/tiff.ts";

/** Ink of a film or of a part of it, 0–1 a pixel, as whoever holds it against the light sees it. */
export interface Seen {
  readonly width: number;
  readonly height: number;
  at(x: number, y: number): number;
}

export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Share of the box that is ink. */
export function inkIn(film: Seen, box: Box): number {
  let sum = 0;
  for (let y = box.y; y < box.y + box.height; y++)
    for (let x = box.x; x < box.x + box.width; x++) sum += film.at(x, y);
  return sum / (box.width * box.height);
}

/** A TIFF or PNG whose black is ink. */
export async function pictureOf(file: Uint8Array): Promise<Seen> {
  const { data, info } = await sharp(file, { limitInputPixels: false })
    .toColourspace("b-w")
    .raw()
    .toBuffer({ resolveWithObject: true });
  const { width, height, channels } = info;
  return { width, height, at: (x, y) => 1 - data[(y * width + x) * channels]! / 255 };
}

/** A page of a PDF: its boxes in points, and each image with its place, also in points from the lower left. */
export interface PdfPage {
  readonly width: number;
  readonly height: number;
  readonly trim: Box;
  readonly images: ReadonlyMap<string, { readonly seen: Seen; readonly place: Box }>;
}

export async function pdfPages(file: Uint8Array): Promise<PdfPage[]> {
  const doc = await PDFDocument.load(file);
  return Promise.all(
    doc.getPages().map(async (page) => {
      const content = rawStream(page.node.lookup(PDFName.of("Contents"), PDFStream));
      const drawn = inflateSync(content.contents).toString("latin1");
      const objects = page.node.Resources()!.lookup(PDFName.of("XObject"), PDFDict);
      const images = new Map<string, { seen: Seen; place: Box }>();
      for (const [, numbers, name] of drawn.matchAll(/q ([-\d. ]+) cm \/(\w+) Do Q/g)) {
        const [width, b, c, height, x, y] = numbers!.split(" ").map(Number) as number[];
        if (b !== 0 || c !== 0) throw new Error(`${name} is turned`);
        const seen = await imageOf(rawStream(objects.lookup(PDFName.of(name!), PDFStream)));
        images.set(name!, { seen, place: { x: x!, y: y!, width: width!, height: height! } });
      }
      return { ...page.getSize(), trim: page.getTrimBox(), images };
    }),
  );
}

function rawStream(stream: PDFStream): PDFRawStream {
  if (!(stream instanceof PDFRawStream)) throw new Error("a stream that was not read from the file");
  return stream;
}

async function imageOf({ dict, contents }: PDFRawStream): Promise<Seen> {
  const figure = (key: string) => dict.lookup(PDFName.of(key), PDFNumber).asNumber();
  const [width, height] = [figure("Width"), figure("Height")];
  if (dict.lookup(PDFName.of("ColorSpace"), PDFArray).get(0) !== PDFName.of("Separation"))
    throw new Error("no plate's colour space");
  if (figure("BitsPerComponent") === 8) {
    // In a Separation space the highest sample is the most ink.
    const tones = inflateSync(contents);
    return { width, height, at: (x, y) => tones[y * width + x]! / 255 };
  }
  // BlackIs1: the coder's black pixels are samples of 1, ink. As TIFF with white as zero they are ink too.
  const parms = dict.lookup(PDFName.of("DecodeParms"), PDFDict);
  if (String(parms.get(PDFName.of("BlackIs1"))) !== "true") throw new Error("the film is turned inside out");
  const [description, software] = ["", ""];
  return pictureOf(
    tiffOf({ width, height, dpi: 600, rowsPerStrip: height, strips: [contents], description, software }),
  );
}
