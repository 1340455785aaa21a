import { isScalar } from "yaml";
import { rangeOf, type SourceDocument } from "./document.ts";
import type { TextRange } from "./finding.ts";
import { visitDocument } from "./visit.ts";

/** A comment that says something to the program, and the part of the text that it says it of. */
export interface SpeakingComment {
  readonly match: RegExpExecArray;
  /** The comment's own characters. */
  readonly range: TextRange;
  readonly part: TextRange;
}

/** Those after them say nothing. */
const MOST_COMMENTS = 1000;

/**
 * The comments that a pattern finds in a line, in the order of the text. On a line of its own one stands for the part of
 * the recipe that begins on the next written line; behind something, for the part that begins on its own line. A part is
 * a line and the deeper lines below it.
 */
export function speakingComments(doc: SourceDocument, pattern: RegExp): SpeakingComment[] {
  const lines = linesOf(doc.text);
  const written = nextWritten(lines);
  let count = 0;
  const found = lines.flatMap(({ start, text }, i): SpeakingComment[] => {
    const match = count < MOST_COMMENTS && text.includes("#") ? pattern.exec(text) : undefined;
    if (!match) return [];
    count++;
    const own = /^[ \t]*$/.test(text.slice(0, match.index));
    const part = partAt(lines, own ? (written[i] ?? i) : i);
    return [{ match, range: { start: start + match.index, end: start + text.trimEnd().length }, part }];
  });
  return found.length === 0 ? [] : withoutQuoted(doc, found);
}

interface Line {
  readonly start: number;
  readonly text: string;
}

function linesOf(text: string): Line[] {
  let start = 0;
  return text.split("\n").map((line) => {
    const here = { start, text: line.endsWith("\r") ? line.slice(0, -1) : line };
    start += line.length + 1;
    return here;
  });
}

/** Of each line the next that is neither blank nor a comment; undefined where none follows. */
function nextWritten(lines: readonly Line[]): (number | undefined)[] {
  const next: (number | undefined)[] = new Array(lines.length);
  let written: number | undefined;
  for (let i = lines.length - 1; i >= 0; i--) {
    next[i] = written;
    if (!/^\s*(?:#.*)?$/.test(lines[i]!.text)) written = i;
  }
  return next;
}

function partAt(lines: readonly Line[], first: number): TextRange {
  const depth = indentOf(lines[first]!.text);
  let last = first;
  for (let i = first + 1; i < lines.length; i++) {
    const { text } = lines[i]!;
    if (/^\s*(?:#.*)?$/.test(text)) continue;
    if (indentOf(text) <= depth) break;
    last = i;
  }
  return { start: lines[first]!.start, end: lines[last]!.start + lines[last]!.text.length + 1 };
}

function indentOf(text: string): number {
  return /^\s*/.exec(text)![0].length;
}

/** What stands inside a text of the recipe is no comment. */
function withoutQuoted(doc: SourceDocument, found: readonly SpeakingComment[]): SpeakingComment[] {
  const quoted: TextRange[] = [];
  visitDocument(doc, (_, key, node) => {
    for (const part of [key, node]) {
      const range = isScalar(part) && part.type !== "PLAIN" ? rangeOf(doc, part) : undefined;
      if (range) quoted.push(range);
    }
  });
  return found.filter(
    ({ range }) => !quoted.some(({ start, end }) => range.start >= start && range.start < end),
  );
}
