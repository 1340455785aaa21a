import { FillRule, PDFDocument, type PDFImage, type PDFPage, rgb } from "@cantoo/pdf-lib";
import { MM_PER_INCH } from "../../engine/units.ts";
import { lettering } from "../films/lettering.ts";
import type { Mark, SheetPage } from "./drawing.ts";

const POINTS_PER_MM = 72 / MM_PER_INCH;
const INK = rgb(0.106, 0.114, 0.129);
const GREY = rgb(0.365, 0.388, 0.431);
const LINE_MM = 0.25;

/** Pages of a sheet as PDF; letters are outlines, as on films, so that no font is needed. */
export async function sheetPdf(
  title: string,
  producer: string,
  pages: readonly SheetPage[],
): Promise<Uint8Array> {
  const doc = await PDFDocument.create({ updateMetadata: false });
  doc.setTitle(title);
  doc.setProducer(producer);
  const pictures = new Map<Uint8Array, PDFImage>();
  for (const page of pages) {
    const sheet = doc.addPage([page.width * POINTS_PER_MM, page.height * POINTS_PER_MM]);
    for (const mark of page.marks) {
      if (mark.kind === "picture" && !pictures.has(mark.png))
        pictures.set(mark.png, await doc.embedPng(mark.png));
      draw(sheet, mark, page.height, pictures);
    }
  }
  return doc.save({ useObjectStreams: false });
}

function draw(
  sheet: PDFPage,
  mark: Mark,
  heightMm: number,
  pictures: ReadonlyMap<Uint8Array, PDFImage>,
): void {
  const up = (y: number) => (heightMm - y) * POINTS_PER_MM;
  // Paths are drawn in mm from the upper left corner, y down.
  const placed = { x: 0, y: heightMm * POINTS_PER_MM, scale: POINTS_PER_MM };
  switch (mark.kind) {
    case "text": {
      const path = pathOf(lettering(mark.text, mark.x, mark.y, mark.size).outlines);
      if (path !== "")
        sheet.drawSvgPath(path, {
          ...placed,
          color: mark.grey ? GREY : INK,
          fillRule: FillRule.EvenOdd,
        });
      return;
    }
    case "line":
      sheet.drawLine({
        start: { x: mark.from[0] * POINTS_PER_MM, y: up(mark.from[1]) },
        end: { x: mark.to[0] * POINTS_PER_MM, y: up(mark.to[1]) },
        thickness: LINE_MM * POINTS_PER_MM,
        color: GREY,
      });
      return;
    case "shape":
      sheet.drawSvgPath(pathOf([mark.points.flat()]), {
        ...placed,
        color: colourOf(mark.fill),
        ...(mark.edge ? { borderColor: GREY, borderWidth: LINE_MM } : {}),
      });
      return;
    case "picture":
      sheet.drawImage(pictures.get(mark.png)!, {
        x: mark.x * POINTS_PER_MM,
        y: up(mark.y + mark.height),
        width: mark.width * POINTS_PER_MM,
        height: mark.height * POINTS_PER_MM,
      });
  }
}

function pathOf(outlines: readonly (readonly number[])[]): string {
  return outlines
    .map((outline) => {
      const points: string[] = [];
      for (let i = 0; i < outline.length; i += 2)
        points.push(`${i === 0 ? "M" : "L"}${number(outline[i]!)} ${number(outline[i + 1]!)}`);
      return `${points.join(" ")} Z`;
    })
    .join(" ");
}

function number(value: number): string {
  return String(Number(value.toFixed(3)));
}

function colourOf(hex: string) {
  const [r, g, b] = [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16) / 255);
  return rgb(r!, g!, b!);
}
