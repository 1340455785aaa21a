import { attributes, localName, markup } from "./svg-scan.ts";

/** What a drawing asks of its renderer, which may be far more than its own length. */
export interface Burden {
  /** Levels of elements inside one another. */
  readonly depth: number;
  /** Elements that are drawn again, once every reference to another element is followed. */
  readonly copies: number;
  /** Passes over its pixels that filters make, were each as large as the drawing. */
  readonly passes: number;
  /** Pictures that it holds, as they are embedded. */
  readonly pictures: readonly EmbeddedPicture[];
}

export interface EmbeddedPicture {
  /** As the drawing calls it, lower case: `image/png`. */
  readonly type: string;
  readonly bytes: Uint8Array;
}

/** A stretch of the drawing: its own elements, and what it holds or refers to that has a name. */
interface Content {
  elements: number;
  passes: number;
  readonly inner: (Content | string)[];
}

/** Counts in one pass over the text; references to outside of it are taken away already. */
export function burdenOf(svg: string): Burden {
  const whole: Content = { elements: 0, passes: 0, inner: [] };
  const named = new Map<string, Content>();
  /** Of each element that is open, the content that it counts in. */
  const open: Content[] = [];
  const pictures: EmbeddedPicture[] = [];
  let depth = 0;
  let elements = 0;
  for (const { kind, start, end } of markup(svg)) {
    if (kind !== "tag") continue;
    if (svg[start + 1] === "/") {
      open.pop();
      continue;
    }
    let content = open.at(-1) ?? whole;
    const references: string[] = [];
    for (const { name, from, to } of attributes(svg, start, end)) {
      const value = svg.slice(from, to);
      if (name === "id") {
        const own: Content = { elements: 0, passes: 0, inner: [] };
        content.inner.push(own);
        content = own;
        // Of two with one name, the first is meant.
        if (!named.has(value)) named.set(value, own);
      } else if (/(?:^|:)href$/.test(name)) {
        const picture = embedded(value);
        if (picture) pictures.push(picture);
        else if (localName(svg, start) !== "a") references.push(value.trim().slice(1));
      } else {
        for (const [, id] of value.matchAll(/url\(\s*["']?#([^"')]+)/g)) references.push(id!);
      }
    }
    elements++;
    content.elements++;
    content.passes += passesOf(localName(svg, start), svg.slice(start, end));
    content.inner.push(...references);
    if (svg[end - 2] === "/") continue;
    open.push(content);
    depth = Math.max(depth, open.length);
  }
  const all = followed(whole, named, new Map());
  return { depth, copies: all.elements - elements, passes: all.passes, pictures };
}

/** Passes that one step of a filter makes over its pixels (SVG 1.1, 15): roughly, and rather too many. */
function passesOf(name: string, tag: string): number {
  if (!name.startsWith("fe")) return 0;
  const number = (attribute: string) =>
    Math.max(1, Number(new RegExp(`\\s${attribute}\\s*=\\s*["']\\s*([\\d.]+)`).exec(tag)?.[1] ?? 1));
  switch (name) {
    case "feTurbulence":
      return 8 * number("numOctaves");
    case "feMorphology":
      return 2 + number("radius");
    case "feConvolveMatrix":
      return number("order") ** 2;
    case "feGaussianBlur":
    case "feDropShadow":
      return 6;
    default:
      return 1;
  }
}

/** A content with all that it refers to; what leads back to itself is not followed, nor is it drawn. */
function followed(
  { elements, passes, inner }: Content,
  named: ReadonlyMap<string, Content>,
  known: Map<Content, Drawn>,
): Drawn {
  const sum = { elements, passes };
  for (const part of inner) {
    const content = typeof part === "string" ? named.get(part) : part;
    if (!content) continue;
    if (!known.has(content)) {
      known.set(content, { elements: 0, passes: 0 });
      known.set(content, followed(content, named, known));
    }
    const drawn = known.get(content)!;
    sum.elements += drawn.elements;
    sum.passes += drawn.passes;
  }
  return sum;
}

type Drawn = Pick<Content, "elements" | "passes">;

/** RFC 2397; undefined for a reference of another kind. */
function embedded(href: string): EmbeddedPicture | undefined {
  const found = /^\s*data:([^,;]*)((?:;[^,;]*)*),/i.exec(href);
  if (!found) return undefined;
  const data = href.slice(found[0].length);
  const bytes = /;\s*base64\s*$/i.test(found[2]!)
    ? Buffer.from(data, "base64")
    : Buffer.from(octets(data), "latin1");
  return { type: found[1]!.trim().toLowerCase(), bytes };
}

function octets(text: string): string {
  return text.replace(/%([0-9a-f]{2})/gi, (_, hex: string) => String.fromCharCode(Number.parseInt(hex, 16)));
}
