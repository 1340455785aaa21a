import { deflateSync } from "node:zlib";

/** An object of a PDF as its text, or a stream with what its dictionary says beside its length. */
export type PdfObject = string | { readonly dict: string; readonly data: Uint8Array };

const CATALOGUE = ["<</Type/Catalog/Pages 2 0 R>>", "<</Type/Pages/Kids[3 0 R]/Count 1>>"];

/** A PDF of one page of 200 points; `objects` count from 5. */
export function writtenPdf(content: string, resources: string, objects: readonly PdfObject[]): Buffer {
  const page = `<</Type/Page/Parent 2 0 R/MediaBox[0 0 200 200]/Contents 4 0 R/Resources<<${resources}>>>>`;
  const all: PdfObject[] = [...CATALOGUE, page, { dict: "", data: Buffer.from(content) }, ...objects];
  const parts = [Buffer.from("%PDF-1.7\n")];
  const starts: number[] = [];
  const length = () => parts.reduce((sum, part) => sum + part.length, 0);
  for (const [i, object] of all.entries()) {
    starts.push(length());
    const body =
      typeof object === "string"
        ? [Buffer.from(object)]
        : [
            Buffer.from(`<<${object.dict}/Length ${object.data.length}>>\nstream\n`),
            object.data,
            Buffer.from("\nendstream"),
          ];
    parts.push(Buffer.concat([Buffer.from(`${i + 1} 0 obj\n`), ...body, Buffer.from("\nendobj\n")]));
  }
  const rows = starts.map((start) => `${String(start).padStart(10, "0")} 00000 n \n`).join("");
  const size = all.length + 1;
  const end = `xref\n0 ${size}\n0000000000 65535 f \n${rows}trailer\n<</Size ${size}/Root 1 0 R>>\nstartxref\n${length()}\n%%EOF\n`;
  return Buffer.concat([...parts, Buffer.from(end)]);
}

/** Forms that each draw the next one ten times: 10^11 squares in 3 kB. */
export function formsOfForms(levels = 12): Buffer {
  const forms = Array.from({ length: levels }, (_, i) => {
    const last = i === levels - 1;
    const next = last ? "" : `/XObject<</F ${6 + i} 0 R>>`;
    return {
      dict: `/Type/XObject/Subtype/Form/BBox[0 0 200 200]/Resources<<${next}>>`,
      data: Buffer.from(last ? "0 0 9 9 re f" : "/F Do ".repeat(10)),
    };
  });
  return writtenPdf("/F Do", "/XObject<</F 5 0 R>>", forms);
}

/** One grey picture of this many pixels each way, all zeros. */
export function zeroPicture(side: number): Buffer {
  const data = deflateSync(Buffer.alloc(side * side), { level: 9 });
  const dict = `/Type/XObject/Subtype/Image/Width ${side}/Height ${side}/ColorSpace/DeviceGray/BitsPerComponent 8/Filter/FlateDecode`;
  return writtenPdf("200 0 0 200 0 0 cm /I Do", "/XObject<</I 5 0 R>>", [{ dict, data }]);
}
