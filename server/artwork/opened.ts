import type { Within } from "../files/boundary.ts";
import { ArtworkError } from "./artwork-error.ts";
import type { Decoded, Header, Size } from "./decoder.ts";
import { draw } from "./draw.ts";
import { type ArtworkFormat, formatOf } from "./format.ts";
import { type LabCoding, labPicture, relabelLabTiff } from "./lab-tiff.ts";
import { MAX_EMBEDDED_PIXELS, MAX_FILTERED_PIXELS, megapixels } from "./limits.ts";
import type { PdfPage } from "./pdf.ts";
import { openPdfApart } from "./pdf-apart.ts";
import { openPlates, type PlateOptions } from "./plates/plate-file.ts";
import type { PlateView } from "./plates/plates.ts";
import { sharpDecoder as decoder } from "./sharp-decoder.ts";
import { refuseTooManyPixels, sound, uprightSize } from "./sound.ts";
import { readSource } from "./source.ts";
import { type Drawing, readDrawing } from "./svg.ts";

/** A file whose kind and head are known, and that can be decoded. */
export type Opened = OpenedPixels | OpenedDrawing | OpenedPdf;

export interface OpenedPixels {
  readonly format: Exclude<ArtworkFormat, "svg">;
  readonly header: Header;
  readonly lab: boolean;
  decode(size: Size | undefined): Promise<Decoded>;
}

export interface OpenedDrawing {
  readonly format: "svg";
  readonly drawing: Drawing;
  decode(size: Size | undefined): Promise<Decoded>;
}

export interface OpenedPdf {
  readonly format: "pdf";
  readonly page: PdfPage;
  decode(size: Size | undefined): Promise<Decoded>;
}

/** Formats that are read, as messages name them. */
const READ = "PNG, JPEG, TIFF, WebP, GIF, AVIF, SVG or PDF";

/** What to ask for instead of a format that is not read. */
function instead(name: string | undefined): string {
  if (name?.startsWith("EPS")) return "ask for the same drawing as PDF or SVG, its text as outlines";
  if (name === "layered PSD") return "ask for it flattened, as PNG or TIFF with a clear background";
  if (name === "HEIF") return "ask for it as JPEG or PNG at full size";
  return `artwork is ${READ}: export it as one of these`;
}

/** What is opened of a file besides its head: bytes of another state of it, how far it may lie, a page of a PDF. */
export interface OpenOptions {
  readonly bytes?: Uint8Array | undefined;
  readonly within?: Within | undefined;
  readonly page?: number | undefined;
  readonly plate?: PlateView | undefined;
}

/** Reads a file's head, and its bytes unless they are given. Throws ArtworkError. */
export async function openArtwork(
  file: string,
  { bytes: given, within, page = 1, plate }: OpenOptions = {},
): Promise<Opened> {
  if (plate) return openedPlate(file, plate, { bytes: given, within });
  const bytes = given ?? (await readSource(file, within));
  const { format, name } = formatOf(bytes);
  if (!format) {
    const what = name ? `this is a ${name} file` : "this is not a picture";
    throw new ArtworkError(file, "format", `${what}; ${instead(name)}`);
  }
  if (format === "pdf") return openedPdf(file, bytes, page);
  return format === "svg" ? openDrawing(file, bytes) : openPixels(file, format, bytes);
}

/** A clear picture of the size of a plate. */
async function openedPlate(file: string, view: PlateView, options: PlateOptions): Promise<OpenedPixels> {
  const { info } = await openPlates(file, view.page, options);
  return {
    format: info.format,
    header: {
      width: info.width,
      height: info.height,
      pages: 1,
      space: "b-w",
      wholeSamples: true,
      bits: info.oneBit ? 1 : 8,
      channels: 1,
      hasAlpha: true,
      orientation: 1,
      icc: undefined,
      profileDropped: false,
    },
    lab: false,
    decode: async (size) => {
      const { width, height } = size ?? info;
      return {
        picture: { width, height, data: new Uint8Array(width * height * 4) },
        faults: [],
        profileIgnored: false,
      };
    },
  };
}

async function openedPdf(file: string, bytes: Uint8Array, number: number): Promise<OpenedPdf> {
  const page = await openPdfApart(file, bytes, number);
  return {
    format: "pdf",
    page,
    decode: async (size) => {
      if (!size) throw new TypeError("a page is drawn at a size");
      return { picture: await page.draw(size), faults: [], profileIgnored: false };
    },
  };
}

async function openDrawing(file: string, bytes: Uint8Array): Promise<OpenedDrawing> {
  const drawing = readDrawing(file, bytes);
  let embedded = 0;
  for (const picture of drawing.pictures) {
    const { width, height } = await sound(file, () => decoder.header(picture));
    embedded += width * height;
  }
  if (embedded > MAX_EMBEDDED_PIXELS) {
    const problem =
      `the pictures in the SVG have ${megapixels(embedded)}, the limit is ${megapixels(MAX_EMBEDDED_PIXELS)}; ` +
      "embed them at a lower resolution";
    throw new ArtworkError(file, "too-large", problem);
  }
  return {
    format: "svg",
    drawing,
    decode: async (size) => {
      if (!size) throw new TypeError("a drawing is drawn at a size");
      if (drawing.passes * size.width * size.height > MAX_FILTERED_PIXELS) {
        const problem =
          "the SVG's filters (blurs, shadows, noise) ask for more pixels than can be worked out at this size; take them out, or export the drawing as PNG";
        throw new ArtworkError(file, "too-large", problem);
      }
      const picture = await sound(
        file,
        async () => (await draw(drawing, bytes, size)) ?? decoder.draw(drawing.sized(size), size),
      );
      return { picture: { ...picture, drawn: true }, faults: [], profileIgnored: false };
    },
  };
}

async function openPixels(
  file: string,
  format: OpenedPixels["format"],
  bytes: Uint8Array,
): Promise<OpenedPixels> {
  const lab = format === "tiff" ? relabelLabTiff(bytes) : undefined;
  const header = await sound(file, () => decoder.header(bytes));
  refuseUnreadable(file, header);
  const decode = lab
    ? (size: Size | undefined) => decodeLab(bytes, header, lab, size)
    : (size: Size | undefined) => decoder.decode(bytes, header, size);
  return { format, header, lab: lab !== undefined, decode: (size) => sound(file, () => decode(size)) };
}

async function decodeLab(
  bytes: Uint8Array,
  header: Header,
  coding: LabCoding,
  size?: Size,
): Promise<Decoded> {
  const native = labPicture(await decoder.samples(bytes, header), coding, uprightSize(header));
  const picture = size ? await decoder.resize(native, size) : native;
  return { picture, faults: [], profileIgnored: false };
}

function refuseUnreadable(file: string, header: Header): void {
  refuseTooManyPixels(file, header);
  if (!header.wholeSamples) {
    const problem = `the samples have ${header.bits} bits (floating point); convert it to 8 or 16 bits a channel`;
    throw new ArtworkError(file, "format", problem);
  }
  const colours = header.channels - (header.hasAlpha ? 1 : 0);
  if (!["srgb", "rgb", "rgb16", "b-w", "grey16", "cmyk"].includes(header.space) || colours > 4) {
    const problem = `the picture has ${header.channels} channels (${header.space}); flatten it to RGB, grey or CMYK`;
    throw new ArtworkError(file, "format", problem);
  }
}
