import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { deflateSync } from "node:zlib";
import { afterAll } from "vitest";

/** A folder for one test file, gone after it; `put` writes a file into it and gives its path. */
export function scratch() {
  const folder = mkdtempSync(join(tmpdir(), "artwork-"));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return {
    folder,
    put(name: string, content: Uint8Array | string): string {
      const file = join(folder, name);
      writeFileSync(file, content);
      return file;
    },
  };
}

export function pixel(picture: { width: number; data: Uint8Array }, x: number, y = 0): number[] {
  return [...picture.data.subarray((y * picture.width + x) * 4, (y * picture.width + x) * 4 + 4)];
}

export interface TiffOptions {
  width: number;
  height: number;
  /** Samples a pixel. */
  samples: number;
  bits?: 1 | 8 | 16 | 32;
  /** TIFF 6.0: 0 white is zero, 1 black is zero, 2 RGB, 5 CMYK, 8 CIELAB, 9 ICC L*a*b*. */
  photometric: number;
  /** ExtraSamples: 1 associated, 2 unassociated alpha. */
  extra?: number;
  /** SampleFormat: 3 floating point. */
  sampleFormat?: number;
  orientation?: number;
  icc?: Uint8Array;
  big?: boolean;
}

/** An uncompressed TIFF 6.0 file, one strip a page, one page for each of `pages`. */
export function tiff(pages: Uint8Array | Uint8Array[], o: TiffOptions): Buffer {
  const b = o.big ?? false;
  const u16 = (v: number) => (b ? [v >> 8, v & 255] : [v & 255, v >> 8]);
  const u32 = (v: number) =>
    b ? [...u16(v >>> 16), ...u16(v & 65535)] : [...u16(v & 65535), ...u16(v >>> 16)];
  const parts: Buffer[] = [Buffer.from(b ? "MM\0*" : "II*\0", "latin1"), Buffer.alloc(4)];
  let at = 8;
  let link: { part: Buffer; offset: number } = { part: parts[1], offset: 0 };
  const add = (bytes: Uint8Array | number[]) => {
    const part = Buffer.from([...bytes, ...(bytes.length % 2 ? [0] : [])]);
    parts.push(part);
    at += part.length;
    return part;
  };
  for (const data of Array.isArray(pages) ? pages : [pages]) {
    const strip = at;
    add(data);
    const tags: [tag: number, type: 3 | 4 | 7, values: ArrayLike<number>][] = [
      [256, 4, [o.width]],
      [257, 4, [o.height]],
      [258, 3, Array(o.samples).fill(o.bits ?? 8)],
      [259, 3, [1]],
      [262, 3, [o.photometric]],
      [273, 4, [strip]],
      ...(o.orientation ? [[274, 3, [o.orientation]] as [number, 3, number[]]] : []),
      [277, 3, [o.samples]],
      [278, 4, [o.height]],
      [279, 4, [data.length]],
      ...(o.extra ? [[338, 3, [o.extra]] as [number, 3, number[]]] : []),
      ...(o.sampleFormat ? [[339, 3, Array(o.samples).fill(o.sampleFormat)] as [number, 3, number[]]] : []),
      ...(o.icc ? [[34675, 7, o.icc] as [number, 7, Uint8Array]] : []),
    ];
    const entries: number[] = [...u16(tags.length)];
    for (const [tag, type, values] of tags) {
      const bytes = Array.from(values).flatMap((v) => (type === 3 ? u16(v) : type === 4 ? u32(v) : [v]));
      let field = bytes;
      if (bytes.length > 4) {
        field = u32(at);
        add(bytes);
      }
      entries.push(
        ...u16(tag),
        ...u16(type),
        ...u32(values.length),
        ...field,
        ...Array(4 - field.length).fill(0),
      );
    }
    link.part.set(u32(at), link.offset);
    const directory = add([...entries, 0, 0, 0, 0]);
    link = { part: directory, offset: entries.length };
  }
  return Buffer.concat(parts);
}

/** 16-bit samples as bytes, low byte first (PNG: `big`). */
export function words(values: number[], big = false): Buffer {
  const bytes = Buffer.alloc(values.length * 2);
  values.forEach(
    (v, i) => void (big ? bytes.writeUInt16BE(v & 65535, i * 2) : bytes.writeUInt16LE(v & 65535, i * 2)),
  );
  return bytes;
}

function crc32(bytes: Uint8Array): number {
  let crc = ~0;
  for (const byte of bytes) {
    crc ^= byte;
    for (let k = 0; k < 8; k++) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  }
  return ~crc >>> 0;
}

/** One chunk of a PNG (ISO/IEC 15948 §5.3). */
export function chunk(type: string, data: Uint8Array): Buffer {
  const body = Buffer.concat([Buffer.from(type, "latin1"), data]);
  const ends = Buffer.alloc(8);
  ends.writeUInt32BE(data.length, 0);
  ends.writeUInt32BE(crc32(body), 4);
  return Buffer.concat([ends.subarray(0, 4), body, ends.subarray(4)]);
}

/** A PNG from rows of raw samples (ISO/IEC 15948: type 0 grey, 2 RGB, 3 palette, 4 grey + alpha, 6 RGBA). */
export function png(
  rows: Uint8Array[],
  o: {
    width: number;
    bits: number;
    type: 0 | 2 | 3 | 4 | 6;
    palette?: number[];
    trns?: number[];
    icc?: Uint8Array;
  },
): Buffer {
  const head = Buffer.alloc(13);
  head.writeUInt32BE(o.width, 0);
  head.writeUInt32BE(rows.length, 4);
  head.set([o.bits, o.type], 8);
  const filtered = Buffer.concat(rows.map((row) => Buffer.concat([Buffer.from([0]), row])));
  return Buffer.concat([
    Buffer.from("\x89PNG\r\n\x1a\n", "latin1"),
    chunk("IHDR", head),
    ...(o.icc ? [chunk("iCCP", Buffer.concat([Buffer.from("p\0\0", "latin1"), deflateSync(o.icc)]))] : []),
    ...(o.palette ? [chunk("PLTE", Buffer.from(o.palette))] : []),
    ...(o.trns ? [chunk("tRNS", Buffer.from(o.trns))] : []),
    chunk("IDAT", deflateSync(filtered)),
    chunk("IEND", Buffer.alloc(0)),
  ]);
}
