import { PDFDocument, PDFName, type PDFRef } from "@cantoo/pdf-lib";
import type { Lab } from "../../engine/colour/cielab.ts";
import type { FilmPage } from "../../engine/screen/film-page.ts";
import { MM_PER_INCH } from "../../engine/units.ts";
import { type FilmLabel, labelShapes, pageMarks } from "./marks.ts";
import {
  BLACK,
  colorantName,
  contentStream,
  imageObject,
  type PdfImage,
  pdfNumber,
  separation,
} from "./pdf-inks.ts";
import { mirrored, type Shape } from "./shapes.ts";

/** One film of a PDF. */
export interface PdfFilm {
  /** Name of the plate, and of its colorant. */
  readonly name: string;
  /** What stands for its ink where there is none; films themselves have no colour. */
  readonly ink: Lab;
  readonly label: FilmLabel;
  readonly image: PdfImage;
  readonly wedge: PdfImage | undefined;
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
  const all = separation(context, "All", BLACK);
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
      const space = separation(context, colorantName(film.name), film.ink);
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
        content.push(`q ${matrix.map(pdfNumber).join(" ")} cm /${part}${i} Do Q`);
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
    sheet.node.set(PDFName.of("Contents"), contentStream(context, content));
  }
  return doc.save({ useObjectStreams: false });
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
      points.push(`${pdfNumber(x)} ${pdfNumber(y)} ${i === 0 ? "m" : "l"}`);
    }
    return `${points.join(" ")} h`;
  });
  return paths.length === 0 ? "" : `${paths.join(" ")} f*`;
}
