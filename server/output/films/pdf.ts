import { deflateSync } from "node:zlib";
import {
  type PDFContext,
  type PDFDict,
  PDFDocument,
  PDFName,
  PDFRawStream,
  type PDFRef,
} from "@cantoo/pdf-lib";
import type { LinearRgb } from "../../engine/colour/cielab.ts";
import type { FilmPage } from "../../engine/screen/film-page.ts";
import { MM_PER_INCH } from "../../engine/units.ts";
import { type FilmLabel, labelShapes, pageMarks } from "./marks.ts";
import { mirrored, type Shape } from "./shapes.ts";

/** One film of a PDF. */
export interface PdfFilm {
  /** Name of the plate, and of its colorant. */
  readonly name: string;
  /** What it looks like on a screen, 0–1; films themselves have no colour. */
  readonly rgb: LinearRgb;
  readonly label: FilmLabel;
  readonly image: PdfImage;
  readonly wedge: PdfImage | undefined;
}

/** Samples, most ink highest: bits in Group 4 (ISO 32000-1, §7.4.6), or a byte a pixel, deflated. */
export interface PdfImage {
  readonly width: number;
  readonly height: number;
  readonly bits: 1 | 8;
  readonly data: Uint8Array;
}

export interface PdfOptions {
  readonly title: string;
  readonly producer: string;
  readonly mirror: boolean;
  /** One page with all plates instead of a page each. */
  readonly together: boolean;
}

const POINTS = 72;
const POINTS_PER_MM = POINTS / MM_PER_INCH;

/**
 * Films as PDF 1.7 (ISO 32000-1): each plate in a Separation colour space of its own (§8.6.6.4), marks in the colorant
 * All, which stands on every plate, and overprint set (§8.6.7), so that no plate knocks another out.
 */
export async function pdfOf(
  page: FilmPage,
  films: readonly PdfFilm[],
  options: PdfOptions,
): Promise<Uint8Array> {
  const doc = await PDFDocument.create({ updateMetadata: false });
  doc.setTitle(options.title);
  doc.setProducer(options.producer);
  const { context } = doc;
  const overprint = context.register(context.obj({ Type: "ExtGState", OP: true, op: true, OPM: 1 }));
  const all = separation(context, "All", { r: 0, g: 0, b: 0 });
  const points = (pixels: number) => (pixels * POINTS) / page.dpi;
  for (const group of options.together ? [films] : films.map((film) => [film])) {
    const spaces: [string, PDFRef][] = [["All", all]];
    const images: [string, PDFRef][] = [];
    const content = [
      "/Overprint gs",
      "/All cs 1 scn",
      ...pageMarks(page).map((shape) => fill(shape, page, options.mirror)),
    ];
    for (const [i, film] of group.entries()) {
      const space = separation(context, colorantName(film.name), film.rgb);
      spaces.push([`Plate${i}`, space]);
      content.push(
        `/Plate${i} cs 1 scn`,
        ...labelShapes(page, film.label).map((shape) => fill(shape, page, options.mirror)),
      );
      for (const [part, image, box] of [
        ["Print", film.image, page.art],
        ["Wedge", film.wedge, page.wedge],
      ] as const) {
        if (!image || !box) continue;
        images.push([`${part}${i}`, imageObject(context, image, space)]);
        const left = options.mirror ? page.width - box.x - box.width : box.x;
        const matrix = [
          points(box.width),
          0,
          0,
          points(box.height),
          points(left),
          points(page.height - box.y - box.height),
        ];
        content.push(`q ${matrix.map(number).join(" ")} cm /${part}${i} Do Q`);
      }
    }
    const sheet = doc.addPage([points(page.width), points(page.height)]);
    const left = options.mirror ? page.width - page.art.x - page.art.width : page.art.x;
    sheet.setTrimBox(
      points(left),
      points(page.height - page.art.y - page.art.height),
      points(page.art.width),
      points(page.art.height),
    );
    sheet.node.set(
      PDFName.of("Resources"),
      context.obj({
        ExtGState: { Overprint: overprint },
        ColorSpace: Object.fromEntries(spaces),
        XObject: Object.fromEntries(images),
      }),
    );
    sheet.node.set(PDFName.of("Contents"), stream(context, {}, new TextEncoder().encode(content.join("\n"))));
  }
  return doc.save({ useObjectStreams: false });
}

/** A named colorant; on a screen its tint runs from white to the ink's colour. */
function separation(context: PDFContext, name: string, { r, g, b }: LinearRgb): PDFRef {
  const tint = context.register(
    context.obj({
      FunctionType: 2,
      Domain: [0, 1],
      C0: [1, 1, 1],
      C1: [r, g, b].map((v) => Number(v.toFixed(4))),
      N: 1,
    }),
  );
  return context.register(context.obj(["Separation", PDFName.of(nameText(name)), "DeviceRGB", tint]));
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

function imageObject(context: PDFContext, image: PdfImage, space: PDFRef): PDFRef {
  const { width, height, bits, data } = image;
  const dict = context.obj({
    Type: "XObject",
    Subtype: "Image",
    Width: width,
    Height: height,
    BitsPerComponent: bits,
    ColorSpace: space,
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

function stream(context: PDFContext, entries: Record<string, string>, bytes: Uint8Array): PDFRef {
  const data = deflateSync(bytes);
  const dict = context.obj({ ...entries, Filter: "FlateDecode", Length: data.length });
  return context.register(PDFRawStream.of(dict as PDFDict, data));
}

/** Path and even-odd fill of a shape given in mm from the page's upper left corner. */
function fill(shape: Shape, page: FilmPage, mirror: boolean): string {
  const height = (page.height * POINTS) / page.dpi;
  const { outlines } = mirror ? mirrored(shape, (page.width * MM_PER_INCH) / page.dpi) : shape;
  const paths = outlines.map((outline) => {
    const points: string[] = [];
    for (let i = 0; i < outline.length; i += 2) {
      const x = outline[i]! * POINTS_PER_MM;
      const y = height - outline[i + 1]! * POINTS_PER_MM;
      points.push(`${number(x)} ${number(y)} ${i === 0 ? "m" : "l"}`);
    }
    return `${points.join(" ")} h`;
  });
  return paths.length === 0 ? "" : `${paths.join(" ")} f*`;
}

function number(value: number): string {
  return String(Number(value.toFixed(5)));
}
