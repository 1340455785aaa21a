import type { Sharp, SharpOptions } from "sharp";
import type { Picture } from "../engine/raster.ts";
import type { Channels, ChannelsOptions, Decoded, Decoder, Header, Size, ToneKernel } from "./decoder.ts";
import { roundTo8Bit } from "./depth.ts";
import { MAX_FILE_PIXELS } from "./limits.ts";
import { loadSharp } from "./load-sharp.ts";

/**
 * The decoder on sharp (libvips), native or WebAssembly, whichever stands there; loaded at its first use.
 * Works on one picture at a time: it bounds memory, and sharp's warnings carry no mark of the picture.
 */
export const sharpDecoder: Decoder = {
  header: (bytes) => inTurn(() => readHeader(bytes)),
  decode: (bytes, header, size) => inTurn(() => decode(bytes, header, size)),
  samples: (bytes, header) => inTurn(() => samples(bytes, header)),
  resize: (picture, size) => inTurn(() => resize(picture, size)),
  channels: (bytes, options) => inTurn(() => channels(bytes, options)),
  resizeTones: (tones, from, to, kernel) => inTurn(() => resizeTones(tones, from, to, kernel)),
  draw: (svg, size) => inTurn(() => draw(svg, size)),
};

/** Strictness: the strict one first; "error" steps over what the format's library itself calls a warning. */
const STRICT = "warning";
const LENIENT = "error";

let queue: Promise<unknown> = Promise.resolve();

function inTurn<T>(work: () => Promise<T>): Promise<T> {
  const turn = queue.then(work);
  queue = turn.catch(() => undefined);
  return turn;
}

async function open(bytes: Uint8Array, options: SharpOptions): Promise<Sharp> {
  const sharp = loadSharp();
  // Artwork is read once: a cache would only hold memory.
  sharp.cache(false);
  return sharp(bytes, { limitInputPixels: MAX_FILE_PIXELS, pages: 1, ...options });
}

async function readHeader(bytes: Uint8Array): Promise<Header> {
  const pipeline = await open(bytes, { failOn: LENIENT });
  const warnings = watch(pipeline);
  const found = await pipeline.metadata();
  return {
    width: found.width,
    height: found.height,
    pages: found.pages ?? 1,
    space: found.space,
    wholeSamples: found.depth === "uchar" || found.depth === "ushort",
    bits: found.bitsPerSample ?? (found.depth === "uchar" ? 8 : found.depth === "ushort" ? 16 : 32),
    channels: found.channels,
    hasAlpha: found.hasAlpha,
    orientation: found.orientation ?? 1,
    icc: found.icc,
    profileDropped: !found.icc && warnings.some(isAboutProfile),
  };
}

async function decode(bytes: Uint8Array, header: Header, size?: Size): Promise<Decoded> {
  const deep = header.space === "rgb16" || header.space === "grey16";
  const run = deep ? decode16Bit : decode8Bit;
  try {
    return await run(bytes, header, size, STRICT);
  } catch (error) {
    const decoded = await run(bytes, header, size, LENIENT);
    return { ...decoded, faults: [error instanceof Error ? error.message : String(error)] };
  }
}

type Strictness = typeof STRICT | typeof LENIENT;

async function decode8Bit(bytes: Uint8Array, header: Header, size: Size | undefined, failOn: Strictness) {
  const pipeline = scale(await open(bytes, { failOn, autoOrient: true, unlimited: isTiff(bytes) }), size);
  const warnings = watch(pipeline);
  const out = await pipeline.ensureAlpha().toColourspace("srgb").raw().toBuffer({ resolveWithObject: true });
  refuseOddChannels(out.info.channels);
  return {
    picture: { width: out.info.width, height: out.info.height, data: own(out.data) },
    faults: [],
    profileIgnored: header.profileDropped || warnings.some(isAboutProfile),
  };
}

/**
 * 16-bit colour and grey. The profile is applied once, at the end and to 16 bits: sharp's usual way puts 16-bit
 * colour into Display P3 and leaves it there, and passes over the profile of 16-bit grey.
 */
async function decode16Bit(bytes: Uint8Array, header: Header, size: Size | undefined, failOn: Strictness) {
  let profileIgnored = header.profileDropped;
  let out = await run16Bit(
    bytes,
    size,
    failOn,
    header.icc ? (header.space as "rgb16" | "grey16") : undefined,
  );
  if (header.icc && (out.warnings.some(isAboutProfile) || out.info.channels !== 4)) {
    out = await run16Bit(bytes, size, failOn, undefined);
    profileIgnored = true;
  }
  refuseOddChannels(out.info.channels);
  const { width, height } = out.info;
  const data = new Uint8Array(width * height * 4);
  roundTo8Bit(as16Bit(out.data), data);
  return { picture: { width, height, data }, faults: [], profileIgnored };
}

async function run16Bit(
  bytes: Uint8Array,
  size: Size | undefined,
  failOn: Strictness,
  profiled: "rgb16" | "grey16" | undefined,
) {
  const options = { failOn, autoOrient: true, ignoreIcc: true, unlimited: isTiff(bytes) };
  let pipeline = scale(await open(bytes, options), size)
    .ensureAlpha()
    .toColourspace(profiled ?? "rgb16");
  if (profiled) pipeline = pipeline.withIccProfile("srgb");
  const warnings = watch(pipeline);
  const out = await pipeline.raw({ depth: "ushort" }).toBuffer({ resolveWithObject: true });
  return { ...out, warnings };
}

/** Samples whose kind the file does not say cannot be turned into red, green and blue; the decoder hands them through. */
function refuseOddChannels(channels: number): void {
  if (channels !== 4) throw new Error("its colour channels are of no known kind");
}

async function samples(bytes: Uint8Array, header: Header): Promise<Uint8Array | Uint16Array> {
  const options = { failOn: LENIENT, autoOrient: true, ignoreIcc: true, unlimited: true } as const;
  const pipeline = (await open(bytes, options)).ensureAlpha();
  if (header.bits === 16) {
    return as16Bit(await pipeline.toColourspace("rgb16").raw({ depth: "ushort" }).toBuffer());
  }
  return own(await pipeline.toColourspace("srgb").raw().toBuffer());
}

/** Most channels of a file of plates; its header is another's to read. */
const MOST_CHANNELS = 66;

async function channels(
  bytes: Uint8Array,
  { page, deep, single, behind }: ChannelsOptions,
): Promise<Channels> {
  let pipeline = await open(bytes, {
    failOn: LENIENT,
    autoOrient: true,
    ignoreIcc: true,
    unlimited: isTiff(bytes),
    limitInputChannels: MOST_CHANNELS,
    ...(page > 0 ? { page } : {}),
  });
  if (behind !== undefined) pipeline = pipeline.flatten({ background: { r: behind, g: behind, b: behind } });
  if (single) pipeline = toneScale(pipeline, single.size, single.kernel);
  if (deep) pipeline = pipeline.toColourspace(single ? "grey16" : "rgb16");
  else if (single) pipeline = pipeline.toColourspace("b-w");
  const out = await pipeline
    .raw(deep ? { depth: "ushort" } : { depth: "uchar" })
    .toBuffer({ resolveWithObject: true });
  const { width, height, channels: count } = out.info;
  const data = deep ? rounded(as16Bit(own(out.data))) : own(out.data);
  if (count === 1) return { width, height, channels: [data] };
  const parted = Array.from({ length: count }, () => new Uint8Array(width * height));
  for (const [c, to] of parted.entries())
    for (let i = 0, at = c; i < to.length; i++, at += count) to[i] = data[at]!;
  return { width, height, channels: parted };
}

function rounded(samples: Uint16Array): Uint8Array {
  const bytes = new Uint8Array(samples.length);
  roundTo8Bit(samples, bytes);
  return bytes;
}

async function resizeTones(tones: Uint8Array, from: Size, to: Size, kernel: ToneKernel): Promise<Uint8Array> {
  const { width, height } = from;
  const pipeline = toneScale(await open(tones, { raw: { width, height, channels: 1 } }), to, kernel);
  return own(await pipeline.toColourspace("b-w").raw().toBuffer());
}

function toneScale(pipeline: Sharp, size: Size | undefined, kernel: ToneKernel): Sharp {
  if (!size) return pipeline;
  const named = kernel === "area" ? "linear" : "lanczos3";
  return pipeline.resize({ ...size, fit: "fill", kernel: named, fastShrinkOnLoad: false });
}

async function resize(picture: Picture, size: Size): Promise<Picture> {
  const { width, height } = picture;
  const pipeline = scale(await open(picture.data, { raw: { width, height, channels: 4 } }), size);
  return { ...size, data: own(await pipeline.raw().toBuffer()) };
}

async function draw(svg: Uint8Array, size: Size): Promise<Picture> {
  // 96 a inch, so that millimetres inside the drawing are CSS millimetres. `unlimited` is for embedded pictures.
  const pipeline = scale(await open(svg, { density: 96, unlimited: true }), size);
  return { ...size, data: own(await pipeline.ensureAlpha().toColourspace("srgb").raw().toBuffer()) };
}

function scale(pipeline: Sharp, size: Size | undefined): Sharp {
  if (!size) return pipeline;
  return pipeline.resize({ ...size, fit: "fill", kernel: "lanczos3", fastShrinkOnLoad: false });
}

function watch(pipeline: Sharp): string[] {
  const warnings: string[] = [];
  pipeline.on("warning", (warning: string) => warnings.push(warning));
  return warnings;
}

function isAboutProfile(warning: string): boolean {
  // An old sRGB profile that libpng knows by sight; it is used all the same.
  return /profile|iCCP/i.test(warning) && !/known incorrect sRGB/.test(warning);
}

/** TIFF strips may be as large as the picture, over the decoder's usual limit; the pixels are limited already. */
function isTiff(bytes: Uint8Array): boolean {
  return bytes[0] === bytes[1] && (bytes[0] === 0x49 || bytes[0] === 0x4d);
}

/** The WebAssembly build hands out a view into its own memory, which no thread can be given: copy it out. */
function own(data: Uint8Array): Uint8Array {
  if (data.buffer instanceof ArrayBuffer) return new Uint8Array(data.buffer, data.byteOffset, data.length);
  return new Uint8Array(data);
}

function as16Bit(data: Uint8Array): Uint16Array {
  return new Uint16Array(data.buffer, data.byteOffset, data.length / 2);
}
