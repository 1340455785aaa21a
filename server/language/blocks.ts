import { Document, isMap, isPair, type Node, Pair, parseDocument, visit, YAMLMap } from "yaml";

/**
 * Reading a recipe again after a keystroke, without reading all of it. A recipe is a block of sections, and its
 * large sections are blocks of named things: each of these is read on its own and kept until its text changes.
 * Where the text is not laid out like that, or any piece has an error, the caller reads the whole of it, so that
 * errors are always those of the whole.
 */
export class BlockCache {
  #blocks = new Map<string, Block>();

  /** The document of a text, or undefined where it must be read as a whole. */
  compose(text: string): Composed | undefined {
    const sections = sectionsOf(text);
    if (!sections) return undefined;
    const used = new Map<string, Block>();
    const origins = new Map<object, number>();
    const yaml = new Document(null, { version: "1.2", logLevel: "error" });
    const top = new YAMLMap(yaml.schema);
    for (const { start, end, head, children } of sections) {
      const pieces = children ?? [{ start, end }];
      const header = children ? text.slice(start, head) : "";
      let section: Pair<Node, Node | null> | undefined;
      for (const piece of pieces) {
        const source = header + text.slice(piece.start, piece.end);
        // The same piece twice would have to stand at two places: let the whole be read, which says what is wrong.
        if (used.has(source)) return undefined;
        const block = this.#blocks.get(source) ?? readBlock(source, header.length > 0);
        if (!block) return undefined;
        used.set(source, block);
        origins.set(block, piece.start - header.length);
        if (!children) {
          section = block.pair;
        } else if (section) {
          (section.value as YAMLMap).items.push(...block.children);
        } else {
          origins.set(block.header, start);
          const map = new YAMLMap(yaml.schema);
          map.items.push(...block.children);
          map.range = [firstKey(text, piece.start), end, end];
          section = new Pair<Node, Node | null>(block.pair.key, map);
        }
      }
      top.items.push(section!);
      if (children && hasDuplicates(section!.value as YAMLMap)) return undefined;
    }
    if (hasDuplicates(top)) return undefined;
    top.range = [sections[0]!.start, text.length, text.length];
    yaml.contents = top as unknown as typeof yaml.contents;
    this.#blocks = used;
    return { yaml, originOf: (node) => origins.get(owners.get(node) ?? NOBODY) ?? 0 };
  }
}

/** A document put together from pieces. */
export interface Composed {
  readonly yaml: Document;
  /** What must be added to the places that a node bears. */
  originOf(node: Node): number;
}

/** One piece, read; the places of its nodes count from its own beginning. */
interface Block {
  /** The section's key and value. */
  readonly pair: Pair<Node, Node | null>;
  /** The named things in it, where the piece is one of several of its section. */
  readonly children: readonly Pair[];
  /** Stands for the nodes of the section's key, which keep their place when a piece moves. */
  readonly header: object;
}

const owners = new WeakMap<Node, object>();
const NOBODY = {};

function readBlock(source: string, hasHeader: boolean): Block | undefined {
  const doc = parseDocument(source, { prettyErrors: false, version: "1.2", logLevel: "silent" });
  if (doc.errors.length > 0 || doc.warnings.length > 0 || !isMap(doc.contents)) return undefined;
  const [pair, second] = doc.contents.items as Pair<Node, Node | null>[];
  if (!pair || second) return undefined;
  if (hasHeader && !isMap(pair.value)) return undefined;
  const children = hasHeader ? [...(pair.value as YAMLMap).items].filter(isPair) : [];
  const block: Block = { pair, children, header: {} };
  visit(doc, { Node: (_, node) => void owners.set(node, block) });
  if (hasHeader) visit(pair.key as never, { Node: (_, node) => void owners.set(node, block.header) });
  return block;
}

interface Piece {
  readonly start: number;
  readonly end: number;
}

interface Section extends Piece {
  /** End of the section's first line, line break included. */
  readonly head: number;
  readonly children: Piece[] | undefined;
}

/** A key at the beginning of a line, plainly written. */
const KEY = /^[^\s#?\-&*!|>@`"'%{}[\],:][^#:\n]*:(?=[ \t\n]|$)/;
const BARE_KEY = /^[^\s#?\-&*!|>@`"'%{}[\],:][^#:\n]*:[ \t]*(?:#[^\n]*)?$/;

function sectionsOf(text: string): Section[] | undefined {
  // Carriage returns, marks and several documents are the whole reader's.
  if (/\r|^\ufeff|^(?:---|\.\.\.|%)|^ *\t/m.test(text)) return undefined;
  const sections: {
    start: number;
    end: number;
    head: number;
    children: Piece[] | undefined;
    indent: number;
  }[] = [];
  let section: (typeof sections)[number] | undefined;
  for (let start = 0; start < text.length; ) {
    const newline = text.indexOf("\n", start);
    const end = newline < 0 ? text.length : newline + 1;
    const line = text.slice(start, newline < 0 ? end : newline);
    const indent = line.length - line.trimStart().length;
    const rest = line.slice(indent);
    if (rest !== "" && rest[0] !== "#") {
      if (indent === 0) {
        if (!KEY.test(rest)) return undefined;
        section = { start, end, head: end, children: BARE_KEY.test(rest) ? [] : undefined, indent: 0 };
        sections.push(section);
      } else if (!section) return undefined;
      else if (section.children) {
        if (section.indent === 0) section.indent = indent;
        if (indent < section.indent) return undefined;
        if (indent === section.indent) {
          if (KEY.test(rest)) section.children.push({ start, end });
          // A list or a long text: one piece.
          else if (section.children.length === 0) section.children = undefined;
          else return undefined;
        }
      }
    }
    start = end;
  }
  if (sections.length === 0) return undefined;
  for (const [i, part] of sections.entries()) {
    part.end = sections[i + 1]?.start ?? text.length;
    if (part.children?.length === 0) part.children = undefined;
    // What stands between two pieces belongs to the one before it; before the first, to the first.
    part.children = part.children?.map((_, k, all) => ({
      start: k === 0 ? part.head : all[k]!.start,
      end: all[k + 1]?.start ?? part.end,
    }));
  }
  return sections;
}

/** Where the first key of a piece begins, behind blank lines and comments. */
function firstKey(text: string, from: number): number {
  const skipped = /^(?:[ \t]*(?:#[^\n]*)?\n)*[ ]*/.exec(text.slice(from))![0];
  return from + skipped.length;
}

function hasDuplicates(map: YAMLMap): boolean {
  const keys = map.items.map(({ key }) => String((key as { value?: unknown }).value));
  return new Set(keys).size < keys.length;
}
