import { programBeside, runApart } from "./apart.ts";
import { ArtworkError, type ArtworkFault } from "./artwork-error.ts";
import type { Size } from "./decoder.ts";
import type { PdfPage } from "./pdf.ts";
import type { OpenPlates, PlateFileInfo, PlateView } from "./plates/plates.ts";

/** What the process is asked: one thing each, with the file's bytes after it. */
export type PdfRequest =
  | { readonly what: "page"; readonly page: number }
  | { readonly what: "picture"; readonly page: number; readonly size: Size }
  | { readonly what: "plates"; readonly page?: number | undefined }
  | {
      readonly what: "tones";
      readonly page?: number | undefined;
      readonly views: readonly PlateView[];
      readonly size?: Size | undefined;
    };

/** What it answers: a line of this, then as many bytes as `parts` says. */
export type PdfAnswer =
  | { readonly value: unknown; readonly parts: readonly number[] }
  | { readonly fault: ArtworkFault; readonly problem: string };

/** A page of a PDF that may be hostile: read in a process of its own where the built program is at hand, else here. */
export async function openPdfApart(file: string, bytes: Uint8Array, page: number): Promise<PdfPage> {
  const program = programBeside("pdf-process.js");
  if (program === undefined) return (await import("./pdf-here.ts")).openPdf(file, bytes, page);
  const head = await askPdf<Omit<PdfPage, "draw">>(program, file, bytes, { what: "page", page });
  return {
    ...head.value,
    draw: async (size) => {
      const { parts } = await askPdf(program, file, bytes, { what: "picture", page, size });
      return { ...size, data: parts[0]! };
    },
  };
}

/** The same for the plates of a PDF. */
export async function openPdfPlatesApart(
  file: string,
  bytes: Uint8Array,
  page: number | undefined,
): Promise<OpenPlates> {
  const program = programBeside("pdf-process.js");
  if (program === undefined) return (await import("./pdf-here.ts")).openPdfPlates(file, bytes, page);
  type Look = PlateFileInfo["looks"] extends ReadonlyMap<string, infer L> ? L : never;
  type Info = Omit<PlateFileInfo, "looks"> & { readonly looks: readonly (readonly [string, Look])[] };
  const { value } = await askPdf<Info>(program, file, bytes, { what: "plates", page });
  return {
    info: { ...value, looks: new Map(value.looks) },
    tones: async (views, size) => {
      const made = await askPdf<Size>(program, file, bytes, { what: "tones", page, views, size });
      return { size: made.value, tones: made.parts };
    },
  };
}

/** Asks the process one thing. Throws ArtworkError: what it says, or that the file has ended it. */
export async function askPdf<T>(
  program: string,
  file: string,
  bytes: Uint8Array,
  request: PdfRequest,
  deadlineMs?: number,
): Promise<{ readonly value: T; readonly parts: Uint8Array[] }> {
  let head = Buffer.alloc(0);
  let answer: PdfAnswer | undefined;
  let parts: Uint8Array[] = [];
  let [part, at] = [0, 0];
  const fill = (data: Uint8Array) => {
    for (let from = 0; from < data.length && part < parts.length; ) {
      const room = parts[part]!.length - at;
      const piece = data.subarray(from, from + room);
      parts[part]!.set(piece, at);
      from += piece.length;
      at += piece.length;
      if (at === parts[part]!.length) [part, at] = [part + 1, 0];
    }
  };
  const line = Buffer.from(`${JSON.stringify(request)}\n`);
  const { code, late } = await runApart(
    program,
    [],
    [line, bytes],
    (data) => {
      if (answer) {
        fill(data);
        return;
      }
      head = Buffer.concat([head, data]);
      const end = head.indexOf(10);
      if (end < 0) return;
      answer = JSON.parse(head.toString("utf8", 0, end)) as PdfAnswer;
      parts = "parts" in answer ? answer.parts.map((length) => new Uint8Array(length)) : [];
      fill(head.subarray(end + 1));
    },
    deadlineMs,
  );
  if (answer && "fault" in answer) throw new ArtworkError(file, answer.fault, answer.problem);
  if (answer && code === 0 && part === parts.length) return { value: answer.value as T, parts };
  const why = late ? "takes too long to read" : "is damaged, or takes more memory than a page may";
  throw new ArtworkError(file, "too-large", `the PDF ${why}; ask for its page as PNG or TIFF`);
}
