/** Answers one question about the PDF that comes in (pdf-apart.ts): a line of JSON, then the file's bytes. */
import { buffer } from "node:stream/consumers";
import { ArtworkError } from "./artwork-error.ts";
import { MAX_PDF_MEMORY } from "./limits.ts";
import { endWithParent } from "./parent-watch.ts";
import { openPdf } from "./pdf.ts";
import type { PdfAnswer, PdfRequest } from "./pdf-apart.ts";
import { openPdfPlates } from "./plates/pdf-plates.ts";

endWithParent(MAX_PDF_MEMORY);
const input = await buffer(process.stdin);
const end = input.indexOf(10);
const request = JSON.parse(input.toString("utf8", 0, end)) as PdfRequest;
try {
  const { value, parts } = await answered(request, input.subarray(end + 1));
  say({ value, parts: parts.map(({ length }) => length) });
  for (const part of parts) process.stdout.write(part);
} catch (error) {
  if (!(error instanceof ArtworkError)) throw error;
  // The asker names the file.
  say({ fault: error.fault, problem: error.message.slice(": ".length) });
}

function say(answer: PdfAnswer): void {
  process.stdout.write(`${JSON.stringify(answer)}\n`);
}

async function answered(
  asked: PdfRequest,
  bytes: Uint8Array,
): Promise<{ readonly value: unknown; readonly parts: readonly Uint8Array[] }> {
  switch (asked.what) {
    case "page": {
      const { draw: _, ...head } = await openPdf("", bytes, asked.page);
      return { value: head, parts: [] };
    }
    case "picture": {
      const { data } = await (await openPdf("", bytes, asked.page)).draw(asked.size);
      return { value: undefined, parts: [data as Uint8Array] };
    }
    case "plates": {
      const { info } = await openPdfPlates("", bytes, asked.page);
      return { value: { ...info, looks: [...info.looks] }, parts: [] };
    }
    case "tones": {
      const plates = await openPdfPlates("", bytes, asked.page);
      const { size, tones } = await plates.tones(asked.views, asked.size);
      return { value: size, parts: tones };
    }
  }
}
