import { createDeflate } from "node:zlib";
import { bytesPerRow, mirrorRows } from "../../engine/screen/bits.ts";
import { type FilmPage, WEDGE_TONES } from "../../engine/screen/film-page.ts";
import { Halftone, type ScreenedPlate, type Screening } from "../../engine/screen/halftone.ts";
import { MM_PER_INCH } from "../../engine/units.ts";
import { encodeG4, G4Encoder } from "./g4.ts";
import { type FilmLabel, labelShapes, pageMarks } from "./marks.ts";
import { Painter } from "./paint.ts";

/** Everything that one film is made of: plain data, so that another thread can make it. */
export interface FilmRequest {
  readonly plate: ScreenedPlate;
  readonly screening: Screening;
  readonly page: FilmPage;
  readonly label: FilmLabel;
  /** Turned left for right, for films that lie on the emulsion with their own. */
  readonly mirror: boolean;
  readonly coding: Coding;
}

/**
 * What becomes of the bits. `image` and `wedge` are the print and the step wedge alone, each in Group 4, for a file that
 * draws marks and labels itself; `strips` is the whole page in Group 4 strips; `rows` the whole page as PNG's deflated rows.
 */
export type Coding = "image" | "strips" | "rows";

export type FilmData =
  | { readonly coding: "image"; readonly image: Uint8Array; readonly wedge: Uint8Array | undefined }
  | { readonly coding: "strips"; readonly strips: readonly Uint8Array[] }
  | { readonly coding: "rows"; readonly rows: Uint8Array };

/** Rows worked on at once. */
export const STRIP_ROWS = 512;
/** Halftones hardly shrink further with more effort. */
const DEFLATE_LEVEL = 4;

/** Makes one film, a strip at a time; `onProgress` hears the share done between two strips and may throw. */
export async function makeFilm(order: FilmRequest, onProgress: (done: number) => void): Promise<FilmData> {
  return order.coding === "image" ? imageOf(order, onProgress) : pageOf(order, onProgress);
}

function imageOf(order: FilmRequest, onProgress: (done: number) => void): FilmData {
  const image = coded(artOf(order), order.mirror, onProgress);
  const wedge = wedgeOf(order);
  return { coding: "image", image, wedge: wedge && coded(wedge, order.mirror, () => {}) };
}

/** A halftone in Group 4. */
function coded(halftone: Halftone, mirror: boolean, onProgress: (done: number) => void): Uint8Array {
  const { filmWidth: width, filmHeight: height } = halftone;
  const encoder = new G4Encoder(width);
  for (let y = 0; y < height; y += STRIP_ROWS) {
    const rows = Math.min(STRIP_ROWS, height - y);
    const bits = new Uint8Array(bytesPerRow(width) * rows);
    halftone.draw({ x: 0, y, width, height: rows }, bits);
    if (mirror) mirrorRows(bits, width, rows);
    encoder.rows(bits, rows);
    onProgress((y + rows) / height);
  }
  return encoder.finish();
}

async function pageOf(order: FilmRequest, onProgress: (done: number) => void): Promise<FilmData> {
  if (order.coding === "strips") {
    const strips: Uint8Array[] = [];
    for (const { bits, rows } of pageStrips(order, onProgress))
      strips.push(encodeG4(bits, order.page.width, rows));
    return { coding: "strips", strips };
  }
  const stride = bytesPerRow(order.page.width);
  const rows = await deflated(function* () {
    for (const { bits, rows: count } of pageStrips(order, onProgress)) {
      // PNG: each row behind its filter's number, and 0 is black.
      const lines = new Uint8Array((stride + 1) * count);
      for (let y = 0; y < count; y++)
        for (let i = 0; i < stride; i++) lines[y * (stride + 1) + 1 + i] = ~bits[y * stride + i]!;
      yield lines;
    }
  });
  return { coding: "rows", rows };
}

/** The whole page from its top, marks, label and wedge included. */
function* pageStrips(
  order: FilmRequest,
  onProgress: (done: number) => void,
): Generator<{ readonly bits: Uint8Array; readonly rows: number }> {
  const { page, mirror } = order;
  const painter = new Painter(
    [...pageMarks(page), ...labelShapes(page, order.label)],
    page.dpi / MM_PER_INCH,
    page.width,
    page.height,
  );
  const parts = [{ halftone: artOf(order), box: page.art }];
  const wedge = wedgeOf(order);
  if (wedge && page.wedge) parts.push({ halftone: wedge, box: page.wedge });
  const stride = bytesPerRow(page.width);
  for (let y = 0; y < page.height; y += STRIP_ROWS) {
    const rows = Math.min(STRIP_ROWS, page.height - y);
    const bits = new Uint8Array(stride * rows);
    for (const { halftone, box } of parts) {
      const from = Math.max(y, box.y);
      const to = Math.min(y + rows, box.y + box.height);
      if (to <= from) continue;
      const inner = new Uint8Array(bytesPerRow(box.width) * (to - from));
      halftone.draw({ x: 0, y: from - box.y, width: box.width, height: to - from }, inner);
      const width = bytesPerRow(box.width);
      for (let row = from; row < to; row++)
        bits.set(
          inner.subarray((row - from) * width, (row - from + 1) * width),
          (row - y) * stride + box.x / 8,
        );
    }
    painter.paint(y, rows, bits);
    if (mirror) mirrorRows(bits, page.width, rows);
    yield { bits, rows };
    onProgress((y + rows) / page.height);
  }
}

function artOf({ plate, screening, page }: FilmRequest): Halftone {
  return new Halftone(plate, screening, page.dpi, page.art.width, page.art.height);
}

/** Patches of known film tone, not compensated: they are there to find the gain. */
function wedgeOf({ screening, page }: FilmRequest): Halftone | undefined {
  if (!page.wedge) return undefined;
  const { width, height } = page.wedge;
  const tones = wedgeTones(width);
  const plate = { tones, width, height: 1, curve: Float64Array.from({ length: 256 }, (_, i) => i / 255) };
  return new Halftone(plate, screening, page.dpi, width, height);
}

/** One row of the step wedge, a byte a pixel. */
export function wedgeTones(width: number): Uint8Array {
  return Uint8Array.from({ length: width }, (_, x) => {
    const tone = WEDGE_TONES[Math.floor((x * WEDGE_TONES.length) / width)]!;
    return Math.round((tone / 100) * 255);
  });
}

function deflated(pieces: () => Iterable<Uint8Array>): Promise<Uint8Array> {
  const deflate = createDeflate({ level: DEFLATE_LEVEL });
  const parts: Buffer[] = [];
  return new Promise((resolve, reject) => {
    deflate.on("data", (part: Buffer) => parts.push(part));
    deflate.on("end", () => resolve(Buffer.concat(parts)));
    deflate.on("error", reject);
    void (async () => {
      for (const piece of pieces()) {
        // No more than one piece waits: memory stays that of a strip.
        if (!deflate.write(piece)) await new Promise((drained) => deflate.once("drain", drained));
      }
      deflate.end();
    })().catch(reject);
  });
}
