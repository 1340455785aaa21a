import type { Path, TextRange } from "../../language/finding.ts";

/** What can be written where the cursor stands. */
export interface CompletionContext {
  /** For a key, the block that it goes into; for a value, the value's own place. */
  readonly path: Path;
  readonly wants: "key" | "value";
  /** The characters that a completion replaces: the word around the cursor, quotes included. */
  readonly word: TextRange;
  /** Inside [ ] or { }: what is written stays on its line. */
  readonly flow: boolean;
  /** Column that the line's own content starts at: further lines of a block are measured from it. */
  readonly column: number;
  /** Keys or entries of the same brackets, before and behind the cursor. */
  readonly beside: readonly string[];
  /** A colon already stands behind the word. */
  readonly hasColon: boolean;
}

/**
 * Where the cursor stands in the structure. Reads lines, indents and brackets only, so that it works in text that
 * is no YAML yet, whatever is wrong elsewhere in it. Undefined inside a comment.
 */
export function completionContext(text: string, offset: number): CompletionContext | undefined {
  const lineStart = text.lastIndexOf("\n", offset - 1) + 1;
  if (inComment(text.slice(lineStart, offset))) return undefined;
  const word = wordAt(text, offset);
  const hasColon = /^[ \t]*:(?=\s|$|[,\]}])/.test(text.slice(word.end, word.end + 80));
  const bracket = openBracket(text, word.start);
  if (bracket !== undefined) return inBrackets(text, bracket, word, hasColon);

  const line = text.slice(lineStart, word.start);
  const { column, rest } = lead(line);
  const key = /^("[^"]*"|'[^']*'|[^\s:#][^:#]*?)\s*:\s+(?:[&!]\S+\s+)*$/.exec(rest)?.[1];
  const parents = blockPath(text, lineStart, column, line);
  if (key !== undefined) {
    return {
      path: [...parents, unquoted(key)],
      wants: "value",
      word,
      flow: false,
      column,
      beside: [],
      hasColon,
    };
  }
  if (rest.trim() !== "") return undefined;
  return { path: parents, wants: "key", word, flow: false, column, beside: [], hasColon };
}

/** Blanks and list dashes in front of a line's content, and the column that the content starts at. */
function lead(line: string): { column: number; rest: string } {
  const blanks = /^[ \t]*(?:-(?:[ \t]+|$))*/.exec(line)![0];
  return { column: blanks.length, rest: line.slice(blanks.length) };
}

/**
 * The keys and list indexes above a line, found by walking up: whatever starts further left holds it. A list may
 * stand in the same column as its key.
 */
function blockPath(text: string, lineStart: number, column: number, line: string): Path {
  const path: (string | number)[] = [];
  const above = text.slice(0, lineStart).split("\n").slice(0, -1);
  let limit = column;
  let listColumn = -1;
  let index = 0;
  // The dashes of the line itself are lists that hold it.
  const take = (dashes: readonly number[]) => {
    for (const dash of [...dashes].reverse()) {
      if (listColumn >= 0 && dash === listColumn) {
        index++;
        continue;
      }
      if (dash >= limit) continue;
      if (listColumn >= 0) path.unshift(index);
      listColumn = dash;
      limit = dash;
      index = 0;
    }
  };
  take(dashColumns(line));
  for (let i = above.length - 1; i >= 0; i--) {
    const candidate = above[i]!;
    if (/^\s*(?:#|$|---|\.\.\.)/.test(candidate)) continue;
    const { column: at, rest } = lead(candidate);
    const key = /^("[^"]*"|'[^']*'|[^\s:#[{][^:#]*?)\s*:(?:\s|$)/.exec(rest)?.[1];
    const holds = listColumn >= 0 ? at <= listColumn : at < limit;
    if (key !== undefined && holds) {
      if (listColumn >= 0) path.unshift(index);
      listColumn = -1;
      path.unshift(unquoted(key));
      limit = at;
    }
    take(dashColumns(candidate));
    if (limit === 0 && listColumn < 0) break;
  }
  if (listColumn >= 0) path.unshift(index);
  return path;
}

function dashColumns(line: string): number[] {
  const { column } = lead(line);
  return [...line.slice(0, column)].flatMap((char, i) => (char === "-" ? [i] : []));
}

interface Frame {
  readonly type: "[" | "{";
  key: string | undefined;
  index: number;
  readonly words: string[];
}

function inBrackets(
  text: string,
  start: number,
  word: TextRange,
  hasColon: boolean,
): CompletionContext | undefined {
  const lineStart = text.lastIndexOf("\n", start - 1) + 1;
  const line = text.slice(lineStart, start);
  const { column, rest } = lead(line);
  const key = /^("[^"]*"|'[^']*'|[^\s:#][^:#]*?)\s*:\s+(?:[&!]\S+\s+)*$/.exec(rest)?.[1];
  const path: (string | number)[] = [...blockPath(text, lineStart, column, line)];
  if (key !== undefined) path.push(unquoted(key));
  else if (rest.trim() !== "") return undefined;

  const frames: Frame[] = [];
  for (const token of tokens(text, start, word.start)) {
    const frame = frames.at(-1);
    if (token === "[" || token === "{") frames.push({ type: token, key: undefined, index: 0, words: [] });
    else if (token === "]" || token === "}") frames.pop();
    else if (!frame) return undefined;
    else if (token === ",") {
      frame.index++;
      frame.key = undefined;
    } else if (token === ":") frame.key = frame.words.at(-1);
    else frame.words.push(unquoted(token));
  }
  const frame = frames.pop();
  if (!frame) return undefined;
  for (const outer of frames) path.push(outer.type === "[" ? outer.index : (outer.key ?? ""));
  const behind = wordsBehind(text, word.end);
  const base = { word, flow: true, column, beside: [...frame.words, ...behind], hasColon };
  if (frame.type === "[") return { ...base, path: [...path, frame.index], wants: "value" };
  if (frame.key === undefined) return { ...base, path, wants: "key" };
  return { ...base, path: [...path, frame.key], wants: "value" };
}

/** Plain words of the same brackets behind the cursor, up to where they close. */
function wordsBehind(text: string, from: number): string[] {
  const words: string[] = [];
  let depth = 0;
  const lineEnd = text.indexOf("\n", from);
  for (const token of tokens(text, from, lineEnd < 0 ? text.length : lineEnd)) {
    if (token === "[" || token === "{") depth++;
    else if (token === "]" || token === "}") {
      if (depth-- === 0) break;
    } else if (depth === 0 && token !== "," && token !== ":") words.push(unquoted(token));
  }
  return words;
}

/** Brackets, commas, colons and scalars of flow style; comments are passed over. */
function* tokens(text: string, from: number, to: number): Iterable<string> {
  const token =
    /\s+|#[^\n]*|"(?:[^"\\]|\\.)*"?|'(?:[^']|'')*'?|[[\]{},]|:(?=\s|[,[\]{}]|$)|(?:[^\s,[\]{}:]|:(?!\s|[,[\]{}]|$)|[ \t]+(?=[^\s,[\]{}:#]))+/gy;
  token.lastIndex = from;
  for (let match = token.exec(text); match && match.index < to; match = token.exec(text)) {
    const found = match[0].slice(0, to - match.index);
    if (!/^(?:\s|#)/.test(found)) yield found.trimEnd();
  }
}

/**
 * Where the outermost bracket opens that is still open at `offset`. A line that starts no further right than the
 * one that opened it ends it: there a bracket was forgotten.
 */
function openBracket(text: string, offset: number): number | undefined {
  const stack: number[] = [];
  let opening = 0;
  const token =
    /\n[ \t]*(?=([^\s#])?)|#[^\n]*|"(?:[^"\\\n]|\\.)*"?|'(?:[^'\n]|'')*'?|[[\]{}]|[^\n#"'[\]{}]+|./gy;
  let atStart = true;
  for (let match = token.exec(text); match && match.index < offset; match = token.exec(text)) {
    const [found, first] = match;
    if (found.startsWith("\n")) {
      if (first !== undefined && !/[\]}]/.test(first) && found.length - 1 <= opening) stack.length = 0;
      if (stack.length === 0) opening = found.length - 1;
      atStart = true;
    } else if (found === "[" || found === "{") {
      // Inside of a plain word a bracket is a letter.
      if (stack.length > 0 || atStart || /[\s,:-]/.test(text[match.index - 1] ?? " "))
        stack.push(match.index);
    } else if (found === "]" || found === "}") stack.pop();
    else if (found.trim() !== "") atStart = false;
    // A # without a blank before it is a letter of the word.
    if (found.startsWith("#") && match.index > 0 && !/\s/.test(text[match.index - 1]!))
      token.lastIndex = match.index + 1;
    // Quotes open a scalar only at its start.
    if (/^["']/.test(found) && found.length > 1 && /[\p{L}\p{N}]/u.test(text[match.index - 1] ?? ""))
      token.lastIndex = match.index + 1;
  }
  return stack[0];
}

function wordAt(text: string, offset: number): TextRange {
  const lineStart = text.lastIndexOf("\n", offset - 1) + 1;
  const before = /(?:"[^"\n]*|'[^'\n]*|(?:[^\s"',:[\]{}#]|:(?!\s|$)|(?<=\S)#|(?<=\d)[ ](?=[a-z%/]))*)$/u.exec(
    text.slice(lineStart, offset),
  )![0];
  const behind = /^(?:[^\s"',:[\]{}#]|:(?!\s|$))*/.exec(text.slice(offset))![0];
  const start = offset - before.length;
  const quote = before[0] === '"' || before[0] === "'" ? before[0] : undefined;
  let end = offset + behind.length;
  if (quote && text[end] === quote) end++;
  return { start, end };
}

function inComment(line: string): boolean {
  return /(?:^|\s)#/.test(line.replace(/"[^"]*"?|'[^']*'?/g, "''"));
}

function unquoted(text: string): string {
  return text.replace(/^(["'])(.*?)\1?$/, "$2").trim();
}
