import type { FilmPage } from "../../engine/screen/film-page.ts";
import type { Sheet } from "../../engine/target/sheet.ts";
import { type Coding, codeFilm, drawn, STRIP_ROWS } from "../films/film.ts";
import type { FilmLabel } from "../films/marks.ts";
import { type PdfFilm, pdfOf } from "../films/pdf.ts";
import { BLACK } from "../films/pdf-inks.ts";
import { filmPng } from "../films/png.ts";
import type { FilmFormat } from "../films/setup-films.ts";
import { tiffOf } from "../films/tiff.ts";
import type { Staging } from "../staging.ts";
import { TargetPlate } from "./plate-bits.ts";

export interface TargetFilms {
  readonly sheet: Sheet;
  readonly page: FilmPage;
  readonly format: FilmFormat;
  readonly mirror: boolean;
  readonly title: string;
  /** As it stands on the labels. */
  readonly date: string;
  readonly producer: string;
}

/** The files that the films become, in the order of the inks; of a PDF the same one for all. */
export function targetFiles(inks: readonly string[], format: FilmFormat): string[] {
  return inks.map((ink) =>
    format === "pdf" ? "target.pdf" : `target-${ink}.${format === "tiff" ? "tif" : "png"}`,
  );
}

const CODINGS: Readonly<Record<FilmFormat, Coding>> = { pdf: "image", tiff: "strips", png: "rows" };

/** Makes and stages the films of a target sheet, not compensated and with every dot asked for: they are to be measured. */
export async function writeTargetFilms(
  staging: Staging,
  request: TargetFilms,
  progress: (done: number) => void | Promise<void>,
): Promise<void> {
  const { sheet, page, format, mirror, producer, title } = request;
  const { width, height, dpi } = page;
  const files = targetFiles(sheet.inks, format);
  const pdfFilms: PdfFilm[] = [];
  for (const [plate, ink] of sheet.inks.entries()) {
    const label: FilmLabel = {
      title: `${ink}   ${plate + 1}/${sheet.inks.length}`,
      side: mirror ? "right-reading, emulsion down" : "right-reading, emulsion up",
      details: ["target sheet", title, `ink ${ink}`, "not compensated", request.date].join(" · "),
    };
    const description = `${label.title} | ${label.details} | ${label.side}`;
    const order = { page, label, mirror, coding: CODINGS[format] };
    const film = await codeFilm(
      order,
      drawn(new TargetPlate(sheet, plate, page), () => {}),
      undefined,
      () => {},
    );
    if (film.coding === "strips") {
      const { strips } = film;
      const bytes = tiffOf({
        width,
        height,
        dpi,
        rowsPerStrip: STRIP_ROWS,
        strips,
        description,
        software: producer,
      });
      await staging.write(files[plate]!, bytes);
    } else if (film.coding === "rows") {
      await staging.write(files[plate]!, filmPng(width, height, dpi, film.rows, description));
    } else {
      const image = { width: page.art.width, height: page.art.height, bits: 1 as const, data: film.image };
      pdfFilms.push({ name: ink, ink: BLACK, label, image, wedge: undefined });
    }
    await progress((plate + 1) / sheet.inks.length);
  }
  if (format === "pdf")
    await staging.write(files[0]!, await pdfOf(page, pdfFilms, { title, producer, mirror, together: false }));
}
