import { ArtworkError } from "./artwork-error.ts";
import type { Size } from "./decoder.ts";
import { formatOf } from "./format.ts";
import { MAX_SVG_BYTES, MAX_SVG_COPIES, MAX_SVG_DEPTH } from "./limits.ts";
import { type Burden, burdenOf } from "./svg-burden.ts";
import { EntityOverflow, expandEntities } from "./svg-entities.ts";
import { attributes, localName, type Markup, markup, UnclosedMarkup } from "./svg-scan.ts";
import { drawingSize } from "./svg-size.ts";

/** An SVG document made safe to draw. */
export interface Drawing {
  /** Its own size in CSS pixels; only the proportion counts, as the recipe gives the printed width. */
  readonly width: number;
  readonly height: number;
  readonly hasText: boolean;
  /** What the document refers to outside of itself; none of it is drawn. */
  readonly outside: readonly string[];
  /** Pixel files that it holds. */
  readonly pictures: readonly Uint8Array[];
  /** Passes that filters make over all of its pixels, at most. */
  readonly passes: number;
  /** The document for a picture of exactly `size`. */
  sized(size: Size): Uint8Array;
  /** A document of `canvas` pixels in which the page, `size` large, lies at a place and is not cut at its borders. */
  onCanvas(size: Size, canvas: Size, left: number, top: number): string;
}

/**
 * Reads an SVG document's frame: entities put in, everything before the root and every reference to the
 * outside taken away (one of the renderers would read files by path). Elements are not checked; drawing does that.
 * Throws ArtworkError: corrupt, format, too-large.
 */
export function readDrawing(file: string, bytes: Uint8Array): Drawing {
  if (bytes.length > MAX_SVG_BYTES) {
    const limit = MAX_SVG_BYTES / 1024 / 1024;
    throw new ArtworkError(file, "too-large", `the SVG has over ${limit} MiB; link fewer pictures into it`);
  }
  try {
    return drawingOf(file, toText(bytes));
  } catch (error) {
    if (error instanceof ArtworkError) throw error;
    if (error instanceof EntityOverflow) {
      const problem = "the SVG's entities grow beyond all measure; export it again as plain SVG";
      throw new ArtworkError(file, "corrupt", problem, { cause: error });
    }
    if (error instanceof UnclosedMarkup || error instanceof TypeError || error instanceof RangeError) {
      const problem = "the SVG is damaged or cut short; export it again as plain SVG";
      throw new ArtworkError(file, "corrupt", problem, { cause: error });
    }
    throw error;
  }
}

function drawingOf(file: string, whole: string): Drawing {
  const start = rootOf(whole);
  if (start === undefined || localName(whole, start.root) !== "svg") {
    throw new ArtworkError(file, "format", "this is not an SVG drawing; export it again as plain SVG");
  }
  const entities = expandEntities(whole.slice(start.root), start.doctype, MAX_SVG_BYTES);
  const { text, rootEnd, hasText, outside } = withoutReferences(entities.text);

  const root = new Map<string, string>();
  for (const { name, from, to } of attributes(text, 0, rootEnd)) root.set(name, text.slice(from, to));
  const size = drawingSize(root);
  if (!size) {
    const problem = "the SVG states no size; give it a viewBox, or a width and a height, and export it again";
    throw new ArtworkError(file, "format", problem);
  }
  const burden = burdenOf(text);
  return {
    pictures: bearablePictures(file, burden),
    passes: burden.passes,
    width: size.width,
    height: size.height,
    hasText,
    outside: [...entities.outside, ...outside],
    onCanvas: (pixels, canvas, left, top) => {
      const placed = new Map([
        ...root,
        ["width", `${pixels.width}`],
        ["height", `${pixels.height}`],
        ["viewBox", size.viewBox],
        ["x", `${left}`],
        ["y", `${top}`],
        ["overflow", "visible"],
      ]);
      const frame = `<svg xmlns="http://www.w3.org/2000/svg" width="${canvas.width}" height="${canvas.height}">`;
      return `${frame}${rootTag(text, rootEnd, placed)}${text.slice(rootEnd)}</svg>`;
    },
    sized: (pixels) => {
      // Units of 1/96 in, as the drawing's own millimetres are; the decoder counts its pixels at 72 an inch.
      root.set("width", `${pixels.width * 0.75}`);
      root.set("height", `${pixels.height * 0.75}`);
      root.set("viewBox", size.viewBox);
      return new TextEncoder().encode(`${rootTag(text, rootEnd, root)}${text.slice(rootEnd)}`);
    },
  };
}

/** Throws ArtworkError where drawing it would take the renderer's stack, minutes, or a second reading of this kind. */
function bearablePictures(file: string, { depth, copies, pictures }: Burden): Uint8Array[] {
  if (depth > MAX_SVG_DEPTH) {
    const problem = `the SVG nests ${depth} levels deep, the limit is ${MAX_SVG_DEPTH}; ungroup it and export it again`;
    throw new ArtworkError(file, "too-large", problem);
  }
  if (copies > MAX_SVG_COPIES) {
    const [many, most] = [copies, MAX_SVG_COPIES].map((count) => `${Math.round(count / 1000)} thousand`);
    const problem = `the SVG draws ${many} copies of its shapes, the limit is ${most}; export it again without copies`;
    throw new ArtworkError(file, "too-large", problem);
  }
  if (pictures.some(({ type, bytes }) => /svg|xml/.test(type) || formatOf(bytes).format === "svg")) {
    const problem = "the SVG holds another SVG as a picture; put its shapes in place and export it again";
    throw new ArtworkError(file, "format", problem);
  }
  return pictures.map(({ bytes }) => bytes);
}

/** UTF-8, or what the byte order mark or the XML declaration says. Throws TypeError or RangeError. */
function toText(bytes: Uint8Array): string {
  const head = Buffer.from(bytes.subarray(0, 200)).toString("latin1");
  const declared = /^<\?xml[^>]*?encoding\s*=\s*["']([\w.:-]+)["']/.exec(head)?.[1];
  const mark = head.startsWith("\xff\xfe") || head.startsWith("<\0") ? "utf-16le" : undefined;
  const label = mark ?? (head.startsWith("\xfe\xff") ? "utf-16be" : (declared ?? "utf-8"));
  return new TextDecoder(label, { fatal: true }).decode(bytes);
}

function rootOf(text: string): { root: number; doctype: string } | undefined {
  let doctype = "";
  for (const { kind, start, end } of markup(text)) {
    if (kind === "doctype") doctype = text.slice(start, end);
    if (kind === "tag") return { root: start, doctype };
  }
  return undefined;
}

/** The text with each `href` to the outside emptied. */
function withoutReferences(source: string) {
  const kept: string[] = [];
  const outside: string[] = [];
  let hasText = false;
  let done = 0;
  let rootEnd = 0;
  const drop = (from: number, to: number) => {
    kept.push(source.slice(done, from));
    done = to;
  };
  for (const found of markup(source)) {
    if (found.kind !== "tag") continue;
    const name = localName(source, found.start);
    if (name === "text" || name === "flowRoot") hasText = true;
    for (const { from, to } of outsideReferences(source, found)) {
      // A hyperlink draws nothing.
      if (name !== "a") outside.push(source.slice(from, Math.min(to, from + 200)));
      drop(from, to);
    }
    if (found.start === 0) rootEnd = kept.join("").length + found.end - done;
  }
  kept.push(source.slice(done));
  return { text: kept.join(""), rootEnd, hasText, outside };
}

function* outsideReferences(source: string, tag: Markup) {
  for (const { name, from, to } of attributes(source, tag.start, tag.end)) {
    if (!/(?:^|:)href$/.test(name)) continue;
    if (!/^\s*(?:#|data:|$)/i.test(source.slice(from, Math.min(to, from + 64)))) yield { from, to };
  }
}

function rootTag(text: string, rootEnd: number, root: ReadonlyMap<string, string>): string {
  const name = /^<[\w.:-]+/.exec(text)?.[0] ?? "<svg";
  const written = [...root].map(([attribute, value]) => {
    // A style would outweigh the attributes.
    const kept = attribute === "style" ? value.replace(/(^|;)\s*(?:width|height)\s*:[^;]*/gi, "$1") : value;
    return ` ${attribute}=${kept.includes('"') ? `'${kept}'` : `"${kept}"`}`;
  });
  return `${name}${written.join("")}${text[rootEnd - 2] === "/" ? "/>" : ">"}`;
}
