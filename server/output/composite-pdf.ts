import { deflateSync } from "node:zlib";
import { PDFDocument, PDFName, type PDFRef } from "@cantoo/pdf-lib";
import type { Lab } from "../engine/colour/cielab.ts";
import type { Tones } from "../engine/raster.ts";
import { colorantName, contentStream, imageObject, pdfNumber, separation } from "./films/pdf-inks.ts";

/** A garment with its plates, as somebody else's program takes it. */
export interface CompositePdf {
  readonly title: string;
  readonly producer: string;
  readonly widthMm: number;
  readonly heightMm: number;
  /** Pixels of the plates. */
  readonly width: number;
  readonly height: number;
  readonly garment: { readonly name: string; readonly colour: Lab };
  /** In print order; a byte a pixel, 255 = solid. */
  readonly plates: readonly {
    readonly name: string;
    readonly ink: Lab;
    readonly tones: Tones;
  }[];
}

const POINTS_PER_MM = 72 / 25.4;
/**
 * The plates as spot colours on the garment's colour, which is a colorant too, so that it can be left out: PDF 1.7, a
 * Separation each, overprinting. Each is solid ink that shows as far as its tone says (a soft mask, ISO 32000-1, 11.6.5.3):
 * so a viewer lays opaque inks over one another, and who separates finds each plate's tones in its own colorant.
 */
export async function compositePdf(job: CompositePdf): Promise<Uint8Array> {
  const doc = await PDFDocument.create({ updateMetadata: false });
  doc.setTitle(job.title);
  doc.setProducer(job.producer);
  const { context } = doc;
  const [width, height] = [job.widthMm * POINTS_PER_MM, job.heightMm * POINTS_PER_MM];
  const garment = separation(context, colorantName(`Garment ${job.garment.name}`), job.garment.colour);
  const spaces: [string, PDFRef][] = [["Garment", garment]];
  const images: [string, PDFRef][] = [];
  const size = [width, height].map(pdfNumber);
  const content = ["/Overprint gs", "/Garment cs 1 scn", `0 0 ${size.join(" ")} re f`];
  const solid = deflateSync(Uint8Array.of(255));
  for (const [i, { name, ink, tones }] of job.plates.entries()) {
    const space = separation(context, colorantName(name), ink);
    spaces.push([`Plate${i}`, space]);
    const mask = { width: job.width, height: job.height, bits: 8, data: deflateSync(tones) } as const;
    const shown = imageObject(context, mask, PDFName.of("DeviceGray"));
    const image = { width: 1, height: 1, bits: 8, data: solid } as const;
    images.push([`Print${i}`, imageObject(context, image, space, shown)]);
    content.push(`q ${size[0]} 0 0 ${size[1]} 0 0 cm /Print${i} Do Q`);
  }
  const page = doc.addPage([width, height]);
  page.setTrimBox(0, 0, width, height);
  const overprint = context.register(context.obj({ Type: "ExtGState", OP: true, op: true, OPM: 1 }));
  page.node.set(
    PDFName.of("Resources"),
    context.obj({
      ExtGState: { Overprint: overprint },
      ColorSpace: Object.fromEntries(spaces),
      XObject: Object.fromEntries(images),
    }),
  );
  page.node.set(PDFName.of("Contents"), contentStream(context, content));
  return doc.save({ useObjectStreams: false });
}
