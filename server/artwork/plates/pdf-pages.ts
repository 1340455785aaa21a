import {
  EncryptedPDFError,
  PDFArray,
  PDFDict,
  PDFDocument,
  PDFName,
  type PDFPage,
  PDFRawStream,
} from "@cantoo/pdf-lib";
import { counted } from "../../language/words.ts";
import { ArtworkError } from "../artwork-error.ts";
import type { Size } from "../decoder.ts";
import { MAX_PDF_BYTES } from "../limits.ts";
import { type Box, boxOf } from "./pdf-content.ts";
import { dictAt, numbersOf } from "./pdf-objects.ts";
import { type Paint, paintsOf } from "./pdf-paints.ts";
import { CONVERTED, lookOf, type Rgb, spaceOf } from "./pdf-spaces.ts";
import { growsTooFar, inflated } from "./pdf-streams.ts";

/** One page of a PDF, as plates are looked for on it. */
export interface PlatePage {
  /** From 1. */
  readonly number: number;
  /** What counts of the page: its trim box, else its crop box, else all of it. */
  readonly kind: "TrimBox" | "CropBox" | "MediaBox";
  readonly box: Box;
  /** Its size in points, upright. */
  readonly points: Size;
  readonly turned: boolean;
  /** Colorants that its resources name, process colours left out, with what they look like. */
  readonly spots: ReadonlyMap<string, Rgb | undefined>;
  /** What it paints; undefined where only a renderer can say. */
  paints(): Paint[] | undefined;
}

/** Most pages, and most objects of a page's resources that are looked through. */
const MOST_PAGES = 10_000;
const MOST_LOOKED = 20_000;

/** The pages of a PDF. Throws ArtworkError for what is damaged, locked or grows too far. */
export async function platePages(file: string, bytes: Uint8Array): Promise<PlatePage[]> {
  const tooLarge = () =>
    new ArtworkError(file, "too-large", "the PDF holds more than can be read; save its plates alone");
  if (bytes.length > MAX_PDF_BYTES || growsTooFar(bytes)) throw tooLarge();
  return whole(file, async () => {
    const document = await PDFDocument.load(bytes, { updateMetadata: false });
    const pages = document.getPages();
    if (pages.length > MOST_PAGES) throw tooLarge();
    return pages.map((page, i) => platePage(file, page, i + 1));
  });
}

/** What is read of a PDF's objects; whatever a library makes of damage is told in one line. Throws ArtworkError. */
export async function whole<T>(file: string, read: () => Promise<T>): Promise<T> {
  try {
    return await read();
  } catch (error) {
    if (error instanceof ArtworkError) throw error;
    if (error instanceof EncryptedPDFError || /encrypt|password/i.test(String(error)))
      throw new ArtworkError(file, "unreadable", "the PDF is locked by a password; ask for one without");
    const said = error instanceof Error ? error.message.split("\n")[0]!.slice(0, 120) : "no reason given";
    throw new ArtworkError(file, "corrupt", `the PDF is damaged (${said}); export or copy it again`, {
      cause: error,
    });
  }
}

export function noPage(file: string, pages: number, page: number): ArtworkError {
  return new ArtworkError(
    file,
    "format",
    `the PDF has ${counted(pages, "page")} and no page ${page}; name one that it has`,
  );
}

function platePage(file: string, page: PDFPage, number: number): PlatePage {
  const { node } = page;
  const inherited = (key: string) => node.getInheritableAttribute(PDFName.of(key));
  const boxAt = (object: unknown): Box | undefined => {
    const numbers = numbersOf(object);
    return numbers?.length === 4 ? boxOf(numbers) : undefined;
  };
  const boxes = [
    { kind: "TrimBox", box: boxAt(node.lookup(PDFName.of("TrimBox"))) },
    { kind: "CropBox", box: boxAt(inherited("CropBox")) },
    { kind: "MediaBox", box: boxAt(inherited("MediaBox")) },
  ] as const;
  const { kind, box } = boxes.find(({ box }) => box && box.right > box.left && box.top > box.bottom) ?? {
    kind: "MediaBox" as const,
    box: undefined,
  };
  if (!box || Math.max(box.right - box.left, box.top - box.bottom) > 14_400)
    throw new ArtworkError(
      file,
      "format",
      `page ${number} of the PDF has no size that prints; export it again`,
    );
  const turn = page.getRotation().angle;
  const size = { width: box.right - box.left, height: box.top - box.bottom };
  const found = inherited("Resources");
  const resources = found instanceof PDFDict ? found : undefined;
  let read: { readonly paints: Paint[] | undefined } | undefined;
  return {
    number,
    kind,
    box,
    points: turn % 180 === 0 ? size : { width: size.height, height: size.width },
    turned: turn % 360 !== 0,
    spots: spotsOf(resources),
    paints: () => {
      if (!read) {
        const content = contentOf(node.lookup(PDFName.of("Contents")));
        read = { paints: content === undefined ? undefined : paintsOf(content, resources) };
      }
      return read.paints;
    },
  };
}

/** The page's content, its streams one after another, as Latin-1. */
function contentOf(object: unknown): string | undefined {
  const streams = object instanceof PDFArray ? object.asArray().map((_, i) => object.lookup(i)) : [object];
  const parts: string[] = [];
  for (const stream of streams) {
    if (stream === undefined) continue;
    const bytes = stream instanceof PDFRawStream ? inflated(stream) : undefined;
    if (!bytes) return undefined;
    parts.push(Buffer.from(bytes).toString("latin1"));
  }
  return parts.join("\n");
}

const NO_INK = new Set(["All", "None", "Cyan", "Magenta", "Yellow", "Black"]);

/** The spot colorants that resources name, those of forms in them too. */
function spotsOf(resources: PDFDict | undefined): Map<string, Rgb | undefined> {
  const spots = new Map<string, Rgb | undefined>();
  const seen = new Set<unknown>();
  const look = (own: PDFDict | undefined) => {
    if (!own || seen.has(own) || seen.size > MOST_LOOKED) return;
    seen.add(own);
    const entries = (category: string) => dictAt(own, category);
    const spaces = entries("ColorSpace");
    const add = (object: Parameters<typeof spaceOf>[0]) => {
      const space = spaceOf(object, spaces);
      if (space === CONVERTED) return;
      for (const name of space.names)
        if (!NO_INK.has(name) && !spots.has(name)) spots.set(name, lookOf(object, spaces));
    };
    for (const key of spaces?.keys() ?? []) add(spaces!.lookup(key));
    const objects = entries("XObject");
    for (const key of objects?.keys() ?? []) {
      const object = objects!.lookup(key);
      if (!(object instanceof PDFRawStream) || seen.has(object)) continue;
      seen.add(object);
      add(object.dict.lookup(PDFName.of("ColorSpace")));
      look(dictAt(object.dict, "Resources"));
    }
  };
  look(resources);
  return spots;
}
