/** TIFF 6.0's fields of a file in Intel order: numbers, rationals as pairs, texts. */
export function fieldsOf(file: Uint8Array): Map<number, number[] | string> {
  const view = new DataView(file.buffer, file.byteOffset, file.byteLength);
  const directory = view.getUint32(4, true);
  const fields = new Map<number, number[] | string>();
  for (let i = 0; i < view.getUint16(directory, true); i++) {
    const entry = directory + 2 + i * 12;
    const [tag, type] = [view.getUint16(entry, true), view.getUint16(entry + 2, true)];
    const count = view.getUint32(entry + 4, true);
    const size = { 2: 1, 3: 2, 4: 4, 5: 8 }[type]! * count;
    const at = size <= 4 ? entry + 8 : view.getUint32(entry + 8, true);
    if (type === 2) fields.set(tag, new TextDecoder("latin1").decode(file.subarray(at, at + count)));
    else if (type === 3)
      fields.set(
        tag,
        Array.from({ length: count }, (_, k) => view.getUint16(at + 2 * k, true)),
      );
    else
      fields.set(
        tag,
        Array.from({ length: size / 4 }, (_, k) => view.getUint32(at + 4 * k, true)),
      );
  }
  return fields;
}
