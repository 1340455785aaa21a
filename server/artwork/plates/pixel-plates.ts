import { MM_PER_INCH } from "../../engine/units.ts";
import { counted, listed } from "../../language/words.ts";
import { ArtworkError } from "../artwork-error.ts";
import type { Channels, Header, Size, ToneKernel } from "../decoder.ts";
import type { ArtworkFormat } from "../format.ts";
import { MAX_PLATE_SAMPLES } from "../limits.ts";
import { sharpDecoder as decoder } from "../sharp-decoder.ts";
import { refuseTooManyPixels, sound, uprightSize } from "../sound.ts";
import { SEPARATED, type TiffPage, tiffPages } from "../tiff/directory.ts";
import { channelNamed } from "./colorant.ts";
import type { OpenPlates, PlateView } from "./plates.ts";

/** Opens a page of a picture whose channels are plates. Throws ArtworkError. */
export function openPixelPlates(
  file: string,
  format: Exclude<ArtworkFormat, "svg">,
  bytes: Uint8Array,
  page: number,
): Promise<OpenPlates> {
  const pages = format === "tiff" ? tiffPages(bytes) : [];
  if (pages.length === 0) return openPicture(file, format, bytes, page);
  const chosen = pages[page - 1];
  if (!chosen) throw noSuchPage(file, pages.length, page);
  return isColour(chosen)
    ? openPicture(file, format, bytes, page, pages)
    : openTiff(file, bytes, pages, chosen, page);
}

/** Whether a page is red, green and blue, or what becomes that, without further channels. */
function isColour({ photometric, samples }: TiffPage): boolean {
  return photometric !== SEPARATED && photometric > 1 && samples >= 3 && samples <= 4;
}

async function openTiff(
  file: string,
  given: Uint8Array,
  pages: readonly TiffPage[],
  page: TiffPage,
  number: number,
): Promise<OpenPlates> {
  refuseTooManyPixels(file, page);
  const { width, height, samples, photometric, inkNames, bits, planar } = page;
  if (![1, 2, 4, 8, 16].includes(bits))
    throw new ArtworkError(file, "format", `the samples have ${bits} bits; a plate has 1, 8 or 16`);
  // The decoder hands out two channels more than a grey page has.
  if (samples > 1 && width * height * (samples + 2) > MAX_PLATE_SAMPLES)
    throw new ArtworkError(
      file,
      "too-large",
      `the file has ${samples} channels of ${width} × ${height} pixels, more than can be held; save each as a file of its own`,
    );
  const inks = photometric === SEPARATED;
  if (samples === 2 && planar)
    throw new ArtworkError(
      file,
      "format",
      "the file has two channels plane by plane, which is not read; save its samples side by side, or each channel as a file",
    );
  // A decoder would make colours of inks; samples that say they are grey, or red, green and blue, come untouched.
  const relabelled = inks || (photometric <= 1 && samples > 1);
  const bytes = relabelled ? labelled(given, page, samples > 2 ? RGB : GREY) : given;
  const highIsInk = (relabelled && photometric !== 1) !== page.turned;
  return {
    info: {
      format: "tiff",
      width,
      height,
      sizeMm: sizeOf(page),
      pages: pages.length,
      colorants: inkNames,
      channels: samples,
      oneBit: bits === 1,
      looks: new Map(),
    },
    tones: async (views, size) => {
      const chosen = views.map((view) => channelOf(file, view, inkNames, samples));
      const kernels = views.map(kernelOf);
      const read = (single?: { size: Size | undefined; kernel: ToneKernel }) =>
        sound(file, () => decoder.channels(bytes, { page: number - 1, deep: bits === 16, single }));
      if (samples === 1) {
        const made = await read({ size, kernel: kernels[0]! });
        return { size: made, tones: views.map((view) => inked(made.channels[0]!, highIsInk, view)) };
      }
      const made = await read();
      // A page of two comes as red, green and blue of its first channel, with the other behind them.
      const extra = made.channels.length - samples;
      const at = (channel: number) => made.channels[channel === 0 ? 0 : channel + extra]!;
      const tones = chosen.map((channel, i) => inked(at(channel), highIsInk, views[i]!));
      return { size: size ?? made, tones: await scaled(tones, made, size, kernels) };
    },
  };
}

async function openPicture(
  file: string,
  format: Exclude<ArtworkFormat, "svg">,
  bytes: Uint8Array,
  page: number,
  pages: readonly TiffPage[] = [],
): Promise<OpenPlates> {
  const header = headOf(await sound(file, () => decoder.header(bytes)), pages[page - 1]);
  refuseTooManyPixels(file, header);
  if (pages.length === 0 && page > 1) throw noSuchPage(file, 1, page);
  if (!header.wholeSamples)
    throw new ArtworkError(
      file,
      "format",
      "the samples are floating point; save the plate with 8 or 16 bits",
    );
  if (header.space === "cmyk")
    throw new ArtworkError(file, "format", "the picture is CMYK; ask for its plates as a TIFF or PDF");
  const channels = header.channels - (header.hasAlpha ? 1 : 0);
  const grey = header.space === "b-w" || header.space === "grey16";
  return {
    info: {
      format,
      ...uprightSize(header),
      sizeMm: pages.length > 0 ? sizeOf(pages[page - 1]!) : undefined,
      pages: Math.max(1, pages.length),
      colorants: [],
      channels,
      oneBit: header.bits === 1,
      looks: new Map(),
    },
    tones: async (views, size) => {
      const made: Uint8Array[] = [];
      let own: Size = uprightSize(header);
      for (const view of views) {
        const kernel = kernelOf(view);
        const behind = header.hasAlpha ? (view.solid === "white" ? 0 : 255) : undefined;
        const single = grey ? { size, kernel } : undefined;
        const read = await sound(file, () =>
          decoder.channels(bytes, { page: page - 1, deep: header.bits === 16, single, behind }),
        );
        own = read;
        const one = grey ? read.channels[0]! : colourChannel(file, view, read);
        const tones = inked(one, false, view);
        made.push(grey || !size ? tones : await decoder.resizeTones(tones, read, size, kernel));
      }
      return { size: size ?? own, tones: made };
    },
  };
}

/** A TIFF's first page's head with the size and the samples of the page that is meant. */
function headOf(first: Header, page: TiffPage | undefined): Header {
  if (!page) return first;
  const { width, height, samples, bits } = page;
  return { ...first, width, height, bits, channels: samples, hasAlpha: samples === 4 };
}

/** Size on paper, in mm. */
function sizeOf({ width, height, ppi }: TiffPage): Size | undefined {
  return ppi && { width: (width / ppi[0]) * MM_PER_INCH, height: (height / ppi[1]) * MM_PER_INCH };
}

/** Steps of a byte within which red, green and blue count as one grey: compression leaves no more. */
const STILL_GREY = 3;

/** The channel that is meant of a picture in colour; grey that is only stored as colour has one. */
function colourChannel(file: string, { channel }: PlateView, { channels }: Channels): Uint8Array {
  if (channel !== undefined) {
    const found = channels[channel - 1];
    if (found) return found;
    throw new ArtworkError(
      file,
      "format",
      `the picture has ${channels.length} channels, no channel ${channel}`,
    );
  }
  const [r, g, b] = channels;
  for (let i = 0; i < r!.length; i++) {
    if (Math.max(r![i]!, g![i]!, b![i]!) - Math.min(r![i]!, g![i]!, b![i]!) <= STILL_GREY) continue;
    throw new ArtworkError(
      file,
      "format",
      "the picture is in colour and a plate is grey; ask for the plate alone, or say which channel it is (channel: 1 to 3)",
    );
  }
  return g!;
}

/** Number of a TIFF's channel, from 0. */
function channelOf(file: string, view: PlateView, names: readonly string[], channels: number): number {
  if (view.colorant !== undefined) return channelNamed(file, view.colorant, names);
  if (view.channel !== undefined) {
    if (view.channel <= channels) return view.channel - 1;
    throw new ArtworkError(
      file,
      "format",
      `the file has ${counted(channels, "channel")}, no channel ${view.channel}`,
    );
  }
  if (channels === 1) return 0;
  throw new ArtworkError(
    file,
    "format",
    names.length > 0
      ? `the file has ${counted(names.length, "ink")} (${listed(names)}); say which one, as colorant: ${JSON.stringify(names[0])}`
      : `the file has ${channels} channels; say which one, as channel: 1`,
  );
}

/** Dots are averaged; tones keep their edges. */
export function kernelOf({ screened }: PlateView): ToneKernel {
  return screened ? "area" : "smooth";
}

/** Samples as tones of ink; `high` is whether the highest is solid where the recipe does not say otherwise. */
function inked(samples: Uint8Array, high: boolean, { solid }: PlateView): Uint8Array {
  const straight = high !== (solid === "white");
  return straight ? samples : samples.map((v) => 255 - v);
}

async function scaled(
  tones: Uint8Array[],
  from: Size,
  to: Size | undefined,
  kernels: readonly ToneKernel[],
): Promise<Uint8Array[]> {
  if (!to || (to.width === from.width && to.height === from.height)) return tones;
  const made: Uint8Array[] = [];
  for (const [i, one] of tones.entries()) made.push(await decoder.resizeTones(one, from, to, kernels[i]!));
  return made;
}

/** PhotometricInterpretation: black is zero, and red, green and blue. */
const GREY = 1;
const RGB = 2;

/** A copy of the file whose page says that it is of another kind. */
function labelled(given: Uint8Array, { photometricAt, little }: TiffPage, kind: number): Uint8Array {
  const bytes = new Uint8Array(given);
  new DataView(bytes.buffer).setUint16(photometricAt, kind, little);
  return bytes;
}

function noSuchPage(file: string, pages: number, page: number): ArtworkError {
  return new ArtworkError(file, "format", `the file has ${counted(pages, "page")} and no page ${page}`);
}
