/** A stretch of an XML text between `<` and `>`, ends included. */
export interface Markup {
  readonly kind: "tag" | "comment" | "cdata" | "instruction" | "doctype";
  readonly start: number;
  readonly end: number;
}

/** A piece of markup that never ends. */
export class UnclosedMarkup extends Error {}

const ENCLOSED = [
  { open: "<!--", close: "-->", kind: "comment" },
  { open: "<![CDATA[", close: "]]>", kind: "cdata" },
  { open: "<?", close: "?>", kind: "instruction" },
] as const;

/**
 * The markup of an XML text in order, in linear time (XML 1.0 §2.4–2.8, §3.1). Checks no more than it needs
 * to find the ends. Throws UnclosedMarkup.
 */
export function* markup(xml: string): Generator<Markup> {
  for (let start = xml.indexOf("<"); start >= 0; ) {
    const enclosed = ENCLOSED.find(({ open }) => xml.startsWith(open, start));
    const kind = enclosed?.kind ?? (xml.startsWith("<!", start) ? "doctype" : "tag");
    const end = enclosed
      ? after(xml, enclosed.close, start + enclosed.open.length)
      : kind === "doctype"
        ? doctypeEnd(xml, start)
        : tagEnd(xml, start);
    yield { kind, start, end };
    start = xml.indexOf("<", end);
  }
}

/** Name without prefix of a start tag at `start`; "" for an end tag. */
export function localName(xml: string, start: number): string {
  const pattern = /<(?:[\w.-]+:)?([\w.-]+)/y;
  pattern.lastIndex = start;
  return pattern.exec(xml)?.[1] ?? "";
}

/** The attributes of the tag between `start` and `end`; `from` and `to` enclose the value without its quotes. */
export function* attributes(xml: string, start: number, end: number) {
  // The tag alone: a search that finds nothing in it would go on to the end of the text, for each tag again.
  const tag = xml.slice(start, end);
  const pattern = /([^\s=<>"'/]+)\s*=\s*(["'])/g;
  for (let found = pattern.exec(tag); found; found = pattern.exec(tag)) {
    const from = pattern.lastIndex;
    const to = tag.indexOf(found[2], from);
    if (to < 0) return;
    yield { name: found[1], from: start + from, to: start + to };
    pattern.lastIndex = to + 1;
  }
}

function after(xml: string, close: string, from: number): number {
  const at = xml.indexOf(close, from);
  if (at < 0) throw new UnclosedMarkup();
  return at + close.length;
}

function tagEnd(xml: string, start: number): number {
  const pattern = /["'>]/g;
  pattern.lastIndex = start;
  for (;;) {
    const found = pattern.exec(xml);
    if (!found) throw new UnclosedMarkup();
    if (found[0] === ">") return pattern.lastIndex;
    pattern.lastIndex = after(xml, found[0], pattern.lastIndex);
  }
}

function doctypeEnd(xml: string, start: number): number {
  const pattern = /["'[\]>]|<!--|<\?/g;
  pattern.lastIndex = start;
  for (let inside = false; ; ) {
    const found = pattern.exec(xml)?.[0];
    if (!found) throw new UnclosedMarkup();
    if (found === ">" && !inside) return pattern.lastIndex;
    if (found === "[" || found === "]") inside = found === "[";
    const close = found === "<!--" ? "-->" : found === "<?" ? "?>" : /["']/.test(found) ? found : undefined;
    if (close) pattern.lastIndex = after(xml, close, pattern.lastIndex);
  }
}
