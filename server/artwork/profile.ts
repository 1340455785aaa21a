/**
 * The name of an ICC profile as programs show it, from its `desc` tag, or undefined where it has none.
 * Source: ICC.1:2022 §7.2 (header, tag table), §10.15 (multiLocalizedUnicodeType);
 * ICC.1:2001-04 §6.5.17 (textDescriptionType, version 2 profiles).
 */
export function profileName(icc: Uint8Array): string | undefined {
  const view = new DataView(icc.buffer, icc.byteOffset, icc.byteLength);
  try {
    const tags = Math.min(view.getUint32(128), 1000);
    for (let i = 0; i < tags; i++) {
      const entry = 132 + 12 * i;
      if (ascii(icc, entry, 4) === "desc") return clean(description(icc, view, view.getUint32(entry + 4)));
    }
  } catch (error) {
    // An offset beyond the end: damaged, so nameless.
    if (!(error instanceof RangeError)) throw error;
  }
  return undefined;
}

function description(icc: Uint8Array, view: DataView, at: number): string {
  const type = ascii(icc, at, 4);
  if (type === "desc") return ascii(icc, at + 12, view.getUint32(at + 8));
  if (type !== "mluc" || view.getUint32(at + 8) === 0) return "";
  const start = at + view.getUint32(at + 24);
  let text = "";
  for (let i = 0; i < Math.min(view.getUint32(at + 20), 512); i += 2) {
    text += String.fromCharCode(view.getUint16(start + i));
  }
  return text;
}

function ascii(bytes: Uint8Array, at: number, length: number): string {
  return String.fromCharCode(...bytes.subarray(at, at + Math.min(length, 512)));
}

function clean(text: string): string | undefined {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: names come padded with NUL
  return text.replace(/[\u0000-\u001f\u007f]/g, "").trim() || undefined;
}
