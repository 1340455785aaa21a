/** A message with byte arrays in it as one frame: length of the JSON, the JSON, then the arrays one after the other. */
export function packed(message: unknown): Buffer {
  const arrays: Uint8Array[] = [];
  const json = JSON.stringify(message, (_key, value: unknown) => {
    if (!(value instanceof Uint8Array)) return value;
    arrays.push(value);
    return { $bytes: value.byteLength };
  });
  const head = Buffer.from(json);
  const length = Buffer.alloc(4);
  length.writeUInt32LE(head.length);
  return Buffer.concat([length, head, ...arrays]);
}

/** Runs in Node and, as its source text, in the page. */
export function unpacked(frame: ArrayBuffer): unknown {
  const length = new DataView(frame).getUint32(0, true);
  let at = 4 + length;
  return JSON.parse(new TextDecoder().decode(new Uint8Array(frame, 4, length)), (_key, value) => {
    if (typeof value !== "object" || value === null || typeof value.$bytes !== "number") return value;
    const bytes = new Uint8Array(frame.slice(at, at + value.$bytes));
    at += value.$bytes;
    return bytes;
  });
}

/** The page's side of `packed`, as source text. */
export const PACK_IN_PAGE = `function pack(message) {
  const arrays = [];
  const json = new TextEncoder().encode(JSON.stringify(message, (k, v) => {
    if (!(v instanceof Uint8Array)) return v;
    arrays.push(v);
    return { $bytes: v.byteLength };
  }));
  const length = new DataView(new ArrayBuffer(4));
  length.setUint32(0, json.length, true);
  return new Blob([length.buffer, json, ...arrays]);
}`;
