import { type CST, Parser } from "yaml";

/** A piece of the text that is not blank. */
interface Piece {
  readonly source: string;
  readonly type: string;
  readonly offset: number;
  /** Column that it starts at where it starts a line. */
  readonly indent: number;
  /** The innermost block that it stands in. */
  readonly block: Block;
  /** Open brackets around it. */
  readonly depth: number;
}

/** A map or list in block style. */
interface Block {
  readonly outer: Block | undefined;
  /** Column of its entries in the new text. */
  readonly indent: number;
  /** Column of its entries in the old text; undefined until the first of them is read. */
  column: number | undefined;
}

/** A dash and the blank behind it. */
const DASH = 2;

/**
 * YAML laid out anew: every level `step` further right, lists too, single blanks between the pieces of a line,
 * none at its end, at most one blank line in a row. Pieces, their order and their lines stay as they are, so
 * brackets that span several lines still do. Line breaks are LF. Undefined where the text holds several documents
 * or is no YAML.
 */
export function formattedText(text: string, step: number): string | undefined {
  const pieces = piecesOf(text, step);
  if (!pieces) return undefined;
  let out = "";
  let end = 0;
  for (const [i, piece] of pieces.entries()) {
    const before = pieces[i - 1];
    const breaks = text.slice(end, piece.offset).split("\n").length - 1;
    // A block scalar's last line break is its own.
    const broken = breaks + (before?.source.endsWith("\n") ? 1 : 0);
    if (!before) out = " ".repeat(indentOf(text, pieces, i));
    else if (broken === 0) out += gap(before, piece);
    else out += "\n".repeat(Math.min(broken, 2)) + " ".repeat(indentOf(text, pieces, i));
    out += written(piece, pieces[i - 1]);
    end = piece.offset + piece.source.length;
  }
  return out === "" ? "" : `${out}\n`;
}

/** A comment belongs to what follows it, where the two are lined up, else to a block around it; all else knows its indent. */
function indentOf(text: string, pieces: readonly Piece[], i: number): number {
  const piece = pieces[i]!;
  // Its lines bring their blanks along.
  if (piece.type === "block-scalar") return 0;
  if (piece.type !== "comment" || piece.depth > 0) return piece.indent;
  const next = neighbour(pieces, i, 1)?.block;
  const column = columnIn(text, piece.offset);
  if (next?.column === column) return next.indent;
  const around = [...blocksAround(neighbour(pieces, i, -1)?.block), ...blocksAround(next)];
  around.sort((a, b) => a.indent - b.indent);
  return (around.findLast((block) => (block.column ?? 0) <= column) ?? around[0])?.indent ?? 0;
}

function neighbour(pieces: readonly Piece[], i: number, way: 1 | -1): Piece | undefined {
  let at = i + way;
  while (pieces[at]?.type === "comment") at += way;
  return pieces[at];
}

function blocksAround(block: Block | undefined): Block[] {
  return block ? [...blocksAround(block.outer), block] : [];
}

/** Blanks between two pieces of one line. */
function gap(before: Piece, piece: Piece): string {
  if (piece.type === "comment") return " ";
  if (piece.type === "comma") return "";
  // An alias may end in a colon, so its own colon stands apart.
  if (piece.type === "map-value-ind") return ENDS_KEY.has(before.type) ? "" : " ";
  if (before.type === "flow-seq-start" || piece.type === "flow-seq-end") return "";
  if (before.type === "flow-map-start" && piece.type === "flow-map-end") return "";
  return " ";
}

const ENDS_KEY: ReadonlySet<string> = new Set([
  "scalar",
  "single-quoted-scalar",
  "double-quoted-scalar",
  "flow-map-end",
  "flow-seq-end",
]);

/** A piece's own text; the further lines of a long one move with it. */
function written({ source, type, indent, block }: Piece, before: Piece | undefined): string {
  if (type === "comment") return source.trimEnd();
  if (type === "block-scalar") return blockScalar(source, indent, block, before);
  if (!source.includes("\n")) return source;
  // Blanks at both ends of a line say nothing, in quotes as without, unless a \ stands before them.
  const lines = source.split("\n");
  return lines
    .map((line, k) => (k === 0 ? line : " ".repeat(indent) + line.replace(/^[ \t]+/, "")))
    .map((line, k) => (k === lines.length - 1 ? line : line.replace(/(?<!\\)[ \t]+$/, "")))
    .join("\n");
}

/** The lines under a `|` or `>`, less their last break. With a digit behind the sign, their indent is measured from the block's. */
function blockScalar(source: string, indent: number, block: Block, header: Piece | undefined): string {
  const lines = source.replace(/\n$/, "").split("\n");
  const old = /^ */.exec(lines.find((line) => line.trim() !== "") ?? "")![0].length;
  const measured = header?.type === "block-scalar-header" && /[1-9]/.test(header.source);
  const shift = measured ? block.indent - (block.column ?? 0) : indent - old;
  return lines
    .map((line) => {
      if (line.trim() === "" && line.length <= old) return "";
      return shift < 0 ? line.slice(Math.min(-shift, /^ */.exec(line)![0].length)) : " ".repeat(shift) + line;
    })
    .join("\n");
}

/** Where a token stands. */
interface Place {
  readonly indent: number;
  readonly block: Block;
  readonly depth: number;
}

function piecesOf(text: string, step: number): Piece[] | undefined {
  const pieces: Piece[] = [];
  const root: Block = { outer: undefined, indent: 0, column: 0 };
  const top: Place = { indent: 0, block: root, depth: 0 };
  const tokens = [...new Parser().parse(text)];
  if (tokens.filter(({ type }) => type === "document").length > 1) return undefined;
  for (const token of tokens) {
    if (token.type === "error") return undefined;
    if (token.type === "document") {
      leaves(token.start, top);
      walk(token.value, top);
      leaves(token.end, top);
    } else if ("source" in token) {
      leaf(token, top);
      if ("end" in token) leaves(token.end, top);
    }
  }
  return pieces;

  function leaf(
    { source, type, offset }: { source: string; type: string; offset?: number },
    place: Place,
  ): void {
    if (type === "space" || type === "newline" || source === "") return;
    // Some tokens do not say where they stand.
    const last = pieces.at(-1);
    const at = offset ?? text.indexOf(source, last ? last.offset + last.source.length : 0);
    pieces.push({ source, type, offset: at, ...place });
  }

  function leaves(tokens: readonly CST.SourceToken[] | undefined, place: Place): void {
    for (const token of tokens ?? []) leaf(token, place);
  }

  function walk(token: CST.Token | null | undefined, place: Place): void {
    if (!token) return;
    switch (token.type) {
      case "block-map":
      case "block-seq":
        block(token, place);
        break;
      case "flow-collection":
        flow(token, place);
        break;
      case "block-scalar":
        for (const part of token.props) walk(part, place);
        leaf({ ...token, offset: token.offset + lengthOf(token.props) }, place);
        break;
      default:
        if ("source" in token) leaf(token, place);
        if ("end" in token) leaves(token.end, place);
    }
  }

  function block(token: CST.BlockMap | CST.BlockSequence, { indent, block: outer, depth }: Place): void {
    const own: Block = { outer, indent, column: undefined };
    const entry: Place = { indent, block: own, depth };
    const value: Place = { ...entry, indent: indent + (token.type === "block-map" ? step : DASH) };
    for (const item of token.items) {
      const from = pieces.length;
      for (const part of item.start)
        leaf(part, part.type === "seq-item-ind" || token.type === "block-map" ? entry : value);
      walk(item.key, entry);
      const first = pieces.slice(from).find(({ type }) => type !== "comment");
      if (first) own.column ??= columnIn(text, first.offset);
      for (const part of item.sep ?? []) leaf(part, part.type === "map-value-ind" ? entry : value);
      walk(item.value, value);
    }
  }

  function flow(token: CST.FlowCollection, place: Place): void {
    const { depth, block: around, indent } = place;
    const opensLine = text.slice(lineStart(text, token.offset), token.offset).trim() === "";
    // Brackets behind a key: what follows on further lines is measured from the key.
    const inner = depth > 0 || opensLine ? indent + step : indent;
    const inside: Place = { indent: inner, block: around, depth: depth + 1 };
    leaf(token.start, place);
    for (const { start, key, sep, value } of token.items) {
      leaves(start, inside);
      walk(key, inside);
      leaves(sep, inside);
      walk(value, inside);
    }
    const [close, ...behind] = token.end;
    if (close) leaf(close, { ...inside, indent: indent });
    leaves(behind, place);
  }
}

function lengthOf(tokens: readonly CST.Token[]): number {
  return tokens.reduce((sum, token) => sum + ("source" in token ? token.source.length : 0), 0);
}

function columnIn(text: string, offset: number): number {
  return offset - lineStart(text, offset);
}

function lineStart(text: string, offset: number): number {
  return offset === 0 ? 0 : text.lastIndexOf("\n", offset - 1) + 1;
}
