/** A film as PNG: one bit a pixel, grey, 0 = ink, with its resolution. `rows` are deflated rows with their filter bytes. */
export function filmPng(
  width: number,
  height: number,
  dpi: number,
  rows: Uint8Array,
  description: string,
): Uint8Array {
  const header = new Uint8Array(13);
  const view = new DataView(header.buffer);
  view.setUint32(0, width);
  view.setUint32(4, height);
  header.set([1, 0, 0, 0, 0], 8);
  const density = new Uint8Array(9);
  // Pixels to the metre.
  const perMetre = Math.round(dpi / 0.0254);
  new DataView(density.buffer).setUint32(0, perMetre);
  new DataView(density.buffer).setUint32(4, perMetre);
  density[8] = 1;
  // iTXt: keyword, not compressed, no language, no translation, UTF-8.
  const text = new TextEncoder().encode(`Description\0\0\0\0\0${description}`);
  const chunks = [
    Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a),
    chunk("IHDR", header),
    chunk("pHYs", density),
    chunk("iTXt", text),
    chunk("IDAT", rows),
    chunk("IEND", new Uint8Array(0)),
  ];
  const out = new Uint8Array(chunks.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const part of chunks) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}

function chunk(type: string, data: Uint8Array): Uint8Array {
  const out = new Uint8Array(data.length + 12);
  const view = new DataView(out.buffer);
  view.setUint32(0, data.length);
  for (let i = 0; i < 4; i++) out[4 + i] = type.charCodeAt(i);
  out.set(data, 8);
  view.setUint32(8 + data.length, crc32(out.subarray(4, 8 + data.length)));
  return out;
}

const CRC_TABLE = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; k++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c >>> 0;
});

/** CRC-32 as in ISO 3309; Node's own came with 20.15. */
function crc32(bytes: Uint8Array): number {
  let c = 0xffffffff;
  for (let i = 0; i < bytes.length; i++) c = CRC_TABLE[(c ^ bytes[i]!) & 0xff]! ^ (c >>> 8);
  return (c ^ 0xffffffff) >>> 0;
}
