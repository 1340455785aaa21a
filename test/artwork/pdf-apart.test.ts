import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { ArtworkError } from "../../server/artwork/artwork-error.ts";
import { openPdf } from "../../server/artwork/pdf.ts";
import { askPdf, type PdfRequest } from "../../server/artwork/pdf-apart.ts";
import { openPdfPlates } from "../../server/artwork/plates/pdf-plates.ts";
import { formsOfForms, writtenPdf } from "./written-pdf.ts";

const PROGRAM = fileURLToPath(new URL("../../dist/pdf-process.js", import.meta.url));

/** A ramp of leaf green, and a square of a process colour. */
const sound = writtenPdf(
  "q 100 0 0 100 0 0 cm /I Do Q 0.2 0.7 0.1 0 k 120 120 50 50 re f",
  "/XObject<</I 5 0 R>>",
  [
    {
      dict: "/Type/XObject/Subtype/Image/Width 16/Height 16/ColorSpace[/Separation /Leaf /DeviceRGB 6 0 R]/BitsPerComponent 8",
      data: Uint8Array.from({ length: 256 }, (_, i) => i),
    },
    "<</FunctionType 2/Domain[0 1]/C0[1 1 1]/C1[0.1 0.6 0.2]/N 1>>",
  ],
);

const ask = (bytes: Uint8Array, request: PdfRequest, deadlineMs?: number) =>
  askPdf<Record<string, unknown>>(PROGRAM, "art.pdf", bytes, request, deadlineMs);

describe("a PDF read in a process of its own", () => {
  it("is the same page and the same picture, byte for byte", async () => {
    const here = await openPdf("art.pdf", sound, 1);
    const { draw, ...head } = here;
    expect((await ask(sound, { what: "page", page: 1 })).value).toEqual(head);
    expect(head.spots).toEqual(["Leaf"]);
    const size = { width: 90, height: 70 };
    const { parts } = await ask(sound, { what: "picture", page: 1, size });
    expect(Buffer.compare(parts[0]!, (await draw(size)).data as Uint8Array)).toBe(0);
    expect(new Set(parts[0]).size).toBeGreaterThan(20);
  });

  it("has the same plates with the same tones", async () => {
    const here = await openPdfPlates("art.pdf", sound, undefined);
    const { value } = await ask(sound, { what: "plates" });
    expect({ ...value, looks: new Map(value.looks as Iterable<[string, never]>) }).toEqual(here.info);
    const view = { page: undefined, channel: undefined, colorant: "Leaf", solid: undefined, screened: false };
    const made = await ask(sound, { what: "tones", views: [view] });
    const wanted = await here.tones([view], undefined);
    expect(made.value).toEqual(wanted.size);
    expect(made.parts.map((tones) => Buffer.from(tones))).toEqual(wanted.tones.map((t) => Buffer.from(t)));
  });

  it.each([
    [
      "a page that it has not",
      sound,
      { what: "page", page: 3 },
      "format",
      "the PDF has 1 page and no page 3",
    ],
    ["one cut short", sound.subarray(0, 60), { what: "page", page: 1 }, "corrupt", "damaged or cut short"],
  ] as const)("refuses %s in the words of the reader", async (_, bytes, request, fault, words) => {
    const error = (await ask(bytes, request).catch((e: unknown) => e)) as ArtworkError;
    expect(error).toBeInstanceOf(ArtworkError);
    expect([error.fault, error.message.split("\n").length]).toEqual([fault, 1]);
    expect(error.message).toMatch(/^art\.pdf: the PDF /);
    expect(error.message).toContain(words);
  });

  it("is given up at the deadline, in one line", async () => {
    const asked = ask(formsOfForms(), { what: "picture", page: 1, size: { width: 9, height: 9 } }, 500);
    await expect(asked).rejects.toThrow(
      "art.pdf: the PDF takes too long to read; ask for its page as PNG or TIFF",
    );
  });

  it("is given up where the process ends without an answer", async () => {
    const asked = askPdf("nowhere.js", "art.pdf", sound, { what: "page", page: 1 });
    await expect(asked).rejects.toThrow("art.pdf: the PDF is damaged, or takes more memory than a page may");
  });
});
