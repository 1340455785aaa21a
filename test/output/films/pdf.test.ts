import { deflateSync, inflateSync } from "node:zlib";
import { PDFArray, PDFDict, PDFDocument, PDFName, type PDFRawStream, PDFStream } from "@cantoo/pdf-lib";
import { describe, expect, it } from "vitest";
import { filmPage } from "../../../server/engine/screen/film-page.ts";
import { type PdfFilm, type PdfOptions, pdfOf } from "../../../server/output/films/pdf.ts";
import { colorantName } from "../../../server/output/films/pdf-inks.ts";

const page = filmPage(40, 20, 600);
const film = (name: string, [L, a, b]: [number, number, number]): PdfFilm => ({
  name,
  ink: { L, a, b },
  label: { title: name, details: "", side: "" },
  image: { width: 2, height: 1, bits: 8, data: deflateSync(Uint8Array.of(0, 255)) },
  wedge: undefined,
});
const FILMS = [film("base", [0, 0, 0]), film("Süß 1", [45.25, 56, 41.125])];

async function written(options: Partial<PdfOptions> = {}) {
  const bytes = await pdfOf(page, FILMS, {
    title: "A job, dark",
    producer: "test",
    mirror: false,
    together: false,
    ...options,
  });
  const doc = await PDFDocument.load(bytes, { updateMetadata: false });
  const pages = doc.getPages().map(({ node }) => {
    const resources = node.Resources()!;
    const dict = (key: string) => resources.lookup(PDFName.of(key), PDFDict);
    const content = inflateSync((node.lookup(PDFName.of("Contents"), PDFStream) as PDFRawStream).contents);
    const spaces = new Map(
      dict("ColorSpace")
        .keys()
        .map((key) => [key.decodeText(), dict("ColorSpace").lookup(key, PDFArray)]),
    );
    const state = dict("ExtGState").lookup(PDFName.of("Overprint"), PDFDict);
    return { content: content.toString("latin1"), spaces, state };
  });
  return { doc, pages };
}

/** Kind, colorant, alternate space and the ends of the tint of a colour space. */
function spaceOf(space: PDFArray | undefined) {
  const tint = space!.lookup(3, PDFDict);
  const numbers = (key: string) => tint.lookup(PDFName.of(key), PDFArray).asArray().map(String).map(Number);
  const name = Buffer.from(
    String(space!.get(1))
      .slice(1)
      .replaceAll(/#(..)/g, (_, hex) => String.fromCharCode(Number.parseInt(hex, 16))),
    "latin1",
  );
  const alternate = space!.lookup(2, PDFArray);
  const white = alternate.lookup(1, PDFDict).lookup(PDFName.of("WhitePoint"), PDFArray);
  const kinds = [String(space!.get(0)), String(alternate.get(0)), white.asArray().map(String).map(Number)];
  return [...kinds, name.toString("utf8"), numbers("C0"), numbers("C1")];
}

/** CIELAB under D50, as inks are measured. */
const IN_LAB = ["/Separation", "/Lab", [0.9642, 1, 0.8249]];

/** Points of the content's paths. */
const pointsOf = (content: string) =>
  [...content.matchAll(/(-?[\d.]+) (-?[\d.]+) [ml]\b/g)].map(([, x, y]) => [Number(x), Number(y)] as const);

describe("a PDF of films", () => {
  it("has a page for each plate, or one for all, each plate in its own colorant and the marks on all", async () => {
    for (const together of [false, true]) {
      const { pages } = await written({ together });
      expect(pages).toHaveLength(together ? 1 : 2);
      for (const [i, { spaces, content }] of pages.entries()) {
        const films = together ? FILMS : [FILMS[i]!];
        expect([...spaces.keys()]).toEqual(["All", ...films.map((_, k) => `Plate${k}`)]);
        expect(spaceOf(spaces.get("All"))).toEqual([...IN_LAB, "All", [100, 0, 0], [0, 0, 0]]);
        for (const [k, { name, ink }] of films.entries())
          expect(spaceOf(spaces.get(`Plate${k}`))).toEqual([
            ...IN_LAB,
            name,
            [100, 0, 0],
            [ink.L, ink.a, ink.b],
          ]);
        // Marks before the first plate, each plate's label and print in its own colour.
        expect(
          [...content.matchAll(/\/(\w+) cs 1 scn|\/(\w+) Do/g)].map(([, space, image]) => space ?? image),
        ).toEqual(["All", ...films.flatMap((_, k) => [`Plate${k}`, `Print${k}`])]);
      }
    }
  });

  it("has every plate print over the others (ISO 32000-1, §8.6.7), from the first operator on", async () => {
    const { pages } = await written({ together: true });
    const [{ state, content }] = pages as [(typeof pages)[number]];
    expect(["OP", "op", "OPM"].map((key) => String(state.get(PDFName.of(key))))).toEqual([
      "true",
      "true",
      "1",
    ]);
    expect(content.startsWith("/Overprint gs\n")).toBe(true);
  });

  it("mirrored has marks and label where the straight one has them from behind", async () => {
    const [straight, mirrored] = [await written(), await written({ mirror: true })];
    const width = (page.width * 72) / 600;
    for (const [i, { content }] of straight.pages.entries()) {
      const there = pointsOf(content);
      const turned = pointsOf(mirrored.pages[i]!.content);
      expect(turned.length).toBe(there.length);
      expect(there.length).toBeGreaterThan(200);
      // The title, the one thing that is not symmetrical, stands on the left of the film that reads right.
      const title = (drawn: string) => pointsOf(drawn.slice(drawn.indexOf("/Plate0 cs"))).map(([x]) => x);
      expect(Math.max(...title(content))).toBeLessThan(width / 2);
      expect(Math.min(...title(mirrored.pages[i]!.content))).toBeGreaterThan(width / 2);
      for (const [k, [x, y]] of there.entries()) {
        expect(turned[k]![0]).toBeCloseTo(width - x, 3);
        expect(turned[k]![1]).toBeCloseTo(y, 4);
      }
    }
  });

  it("has its title and producer, and no time in it", async () => {
    const { doc } = await written();
    expect([doc.getTitle(), doc.getProducer(), doc.getCreationDate(), doc.getModificationDate()]).toEqual([
      "A job, dark",
      "test",
      undefined,
      undefined,
    ]);
  });
});

it("gives a plate no name that stands for nothing, for everything or for a device's own colorant", () => {
  expect(["None", "All", "Cyan", "Magenta", "Yellow", "Black", "black", "ember"].map(colorantName)).toEqual([
    "None plate",
    "All plate",
    "Cyan plate",
    "Magenta plate",
    "Yellow plate",
    "Black plate",
    "black",
    "ember",
  ]);
});
