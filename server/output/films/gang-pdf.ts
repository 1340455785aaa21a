import { degrees, PDFDocument } from "@cantoo/pdf-lib";
import { MM_PER_INCH } from "../../engine/units.ts";
import type { Ganged } from "./gang.ts";

const POINTS_PER_MM = 72 / MM_PER_INCH;

/** A page of a PDF of films. */
export interface FilmOfPdf {
  readonly pdf: Uint8Array;
  readonly page: number;
  readonly widthMm: number;
  readonly heightMm: number;
}

/** Films laid on lengths of a roll, a page each, as `gangFilms` has them: `lying.index` counts in `films`. */
export async function gangedPdf(
  films: readonly FilmOfPdf[],
  lengths: readonly Ganged[],
  { title, producer }: { readonly title: string; readonly producer: string },
): Promise<Uint8Array> {
  const doc = await PDFDocument.create({ updateMetadata: false });
  doc.setTitle(title);
  doc.setProducer(producer);
  const sources = new Map<Uint8Array, PDFDocument>();
  for (const { pdf } of films)
    if (!sources.has(pdf)) sources.set(pdf, await PDFDocument.load(pdf, { updateMetadata: false }));
  for (const { widthMm, lengthMm, lying } of lengths) {
    const sheet = doc.addPage([widthMm * POINTS_PER_MM, lengthMm * POINTS_PER_MM]);
    for (const { index, xMm, yMm, turned } of lying) {
      const film = films[index]!;
      const [form] = await doc.embedPages([sources.get(film.pdf)!.getPage(film.page)]);
      const along = turned ? film.widthMm : film.heightMm;
      // A form is placed by its lower left corner; turned a quarter to the left, that is its lower right on the sheet.
      sheet.drawPage(form!, {
        x: (turned ? xMm + film.heightMm : xMm) * POINTS_PER_MM,
        y: (lengthMm - yMm - along) * POINTS_PER_MM,
        rotate: degrees(turned ? 90 : 0),
      });
    }
  }
  return doc.save({ useObjectStreams: false });
}
