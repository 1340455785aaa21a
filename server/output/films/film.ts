import { createDeflate } from "node:zlib";
import { bytesPerRow, mirrorRows } from "../../engine/screen/bits.ts";
import { cleanBits, type Dropped } from "../../engine/screen/clean.ts";
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
  /** The print's dots where somebody else made them: they go on as they are, and the plate is not screened. */
  readonly dots?: Bits | undefined;
  /** Film pixels across the smallest island of ink and the smallest hole that stay. */
  readonly smallestMark: number;
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

export type FilmData = { readonly dropped: Dropped } & (
  | { readonly coding: "image"; readonly image: Uint8Array; readonly wedge: Uint8Array | undefined }
  | { readonly coding: "strips"; readonly strips: readonly Uint8Array[] }
  | { readonly coding: "rows"; readonly rows: Uint8Array }
);

/** Rows worked on at once. */
export const STRIP_ROWS = 512;
/** Halftones hardly shrink further with more effort. */
const DEFLATE_LEVEL = 4;

/** Makes one film; `onProgress` hears the share done between two strips and may throw. */
export async function makeFilm(order: FilmRequest, onProgress: (done: number) => void): Promise<FilmData> {
  if (order.dots)
    return { ...(await codeFilm(order, order.dots, wedgeOf(order), onProgress)), dropped: NOTHING };
  const art = artOf(order, (done) => onProgress(done * DRAWING_SHARE));
  const dropped = cleanBits(art.bits, art.width, art.height, order.smallestMark);
  const coding = (done: number) => onProgress(DRAWING_SHARE + done * (1 - DRAWING_SHARE));
  return { ...(await codeFilm(order, art, wedgeOf(order), coding)), dropped };
}

const NOTHING: Dropped = { marks: 0, markPixels: 0, holes: 0, holePixels: 0 };

/** The page that a film stands on, and what is made of it. */
export type FilmCoding = Pick<FilmRequest, "page" | "label" | "mirror" | "coding">;

/** Codes whatever was drawn: the page's print, and its wedge where it has one. */
export async function codeFilm(
  order: FilmCoding,
  art: Bits,
  wedge: Bits | undefined,
  onProgress: (done: number) => void,
): Promise<CodedFilm> {
  return order.coding === "image"
    ? imageOf(order, art, wedge, onProgress)
    : pageOf(order, art, wedge, onProgress);
}

/** Drawing a film and cleaning it take about this share of the time. */
const DRAWING_SHARE = 0.7;

/** A film's print, whole: rows of bits. */
export interface Bits {
  readonly bits: Uint8Array;
  readonly width: number;
  readonly height: number;
}

/** A film as it is coded, before it is told what was left out. */
export type CodedFilm = Coded<"image"> | Coded<"strips"> | Coded<"rows">;
type Coded<C extends Coding> = Omit<Extract<FilmData, { readonly coding: C }>, "dropped">;

function imageOf(
  order: FilmCoding,
  art: Bits,
  wedge: Bits | undefined,
  onProgress: (done: number) => void,
): Coded<"image"> {
  const image = coded(art, order.mirror, onProgress);
  return { coding: "image", image, wedge: wedge && coded(wedge, order.mirror, () => {}) };
}

/** A halftone in Group 4. */
function coded(
  { bits, width, height }: Bits,
  mirror: boolean,
  onProgress: (done: number) => void,
): Uint8Array {
  const encoder = new G4Encoder(width);
  if (mirror) mirrorRows(bits, width, height);
  for (let y = 0; y < height; y += STRIP_ROWS) {
    const rows = Math.min(STRIP_ROWS, height - y);
    encoder.rows(rowsOf({ bits, width, height }, y, y + rows), rows);
    onProgress((y + rows) / height);
  }
  return encoder.finish();
}

async function pageOf(
  order: FilmCoding,
  art: Bits,
  wedge: Bits | undefined,
  onProgress: (done: number) => void,
): Promise<Coded<"strips"> | Coded<"rows">> {
  if (order.coding === "strips") {
    const strips: Uint8Array[] = [];
    for (const { bits, rows } of pageStrips(order, art, wedge, onProgress))
      strips.push(encodeG4(bits, order.page.width, rows));
    return { coding: "strips", strips };
  }
  const stride = bytesPerRow(order.page.width);
  const rows = await deflated(function* () {
    for (const { bits, rows: count } of pageStrips(order, art, wedge, onProgress)) {
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
  order: FilmCoding,
  art: Bits,
  wedge: Bits | undefined,
  onProgress: (done: number) => void,
): Generator<{ readonly bits: Uint8Array; readonly rows: number }> {
  const { page, mirror } = order;
  const painter = new Painter(
    [...pageMarks(page), ...labelShapes(page, order.label)],
    page.dpi / MM_PER_INCH,
    page.width,
    page.height,
  );
  const parts = [{ halftone: art, box: page.art }];
  if (wedge && page.wedge) parts.push({ halftone: wedge, box: page.wedge });
  const stride = bytesPerRow(page.width);
  for (let y = 0; y < page.height; y += STRIP_ROWS) {
    const rows = Math.min(STRIP_ROWS, page.height - y);
    const bits = new Uint8Array(stride * rows);
    for (const { halftone, box } of parts) {
      const from = Math.max(y, box.y);
      const to = Math.min(y + rows, box.y + box.height);
      if (to <= from) continue;
      const inner = rowsOf(halftone, from - box.y, to - box.y);
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

function artOf({ plate, screening, page }: FilmRequest, onProgress: (done: number) => void): Bits {
  const halftone = new Halftone(plate, screening, page.dpi, page.art.width, page.art.height);
  return drawn(halftone, onProgress);
}

/** Draws what is asked for in windows of its full width, from the top. */
export function drawn(
  art: Pick<Halftone, "filmWidth" | "filmHeight" | "draw">,
  onProgress: (done: number) => void,
): Bits {
  const { filmWidth: width, filmHeight: height } = art;
  const film = { bits: new Uint8Array(bytesPerRow(width) * height), width, height };
  for (let y = 0; y < height; y += STRIP_ROWS) {
    const rows = Math.min(STRIP_ROWS, height - y);
    art.draw({ x: 0, y, width, height: rows }, rowsOf(film, y, y + rows));
    onProgress((y + rows) / height);
  }
  return film;
}

function rowsOf({ bits, width }: Bits, from: number, to: number): Uint8Array {
  return bits.subarray(from * bytesPerRow(width), to * bytesPerRow(width));
}

/** Patches of known film tone, neither compensated nor cleaned: they are there to find the gain, and what holds. */
function wedgeOf({ screening, page }: FilmRequest): Bits | undefined {
  // Squares have no tones.
  if (!page.wedge || screening.method === "index") return undefined;
  const { width, height } = page.wedge;
  const tones = wedgeTones(width);
  const plate = { tones, width, height: 1, curve: Float64Array.from({ length: 256 }, (_, i) => i / 255) };
  return drawn(new Halftone(plate, screening, page.dpi, width, height), () => {});
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
