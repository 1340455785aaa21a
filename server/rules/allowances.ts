import { isScalar } from "yaml";
import { rangeOf, type SourceDocument } from "../language/document.ts";
import type { Finding, TextRange } from "../language/finding.ts";
import { suggestion } from "../language/suggest.ts";
import { visitDocument } from "../language/visit.ts";
import type { AboutRule } from "./rule.ts";
import { yaml } from "./yaml.ts";

/**
 * A comment that allows what a rule finds, and says why:
 *
 *     # allow near-empty-plate: the stars need their own white
 *     glint: { … }
 *
 * On a line of its own it stands for the part of the recipe that begins on the next written line; behind something,
 * for the part that begins on its own line. A part is a line and the deeper lines below it.
 */
export interface Allowance {
  readonly rule: string;
  /** Empty where none is given. */
  readonly reason: string;
  /** The comment's own characters. */
  readonly range: TextRange;
  /** The part of the text that it stands for. */
  readonly part: TextRange;
}

/** Those after them allow nothing. */
const MOST_ALLOWANCES = 1000;

const COMMENT = /(?<=^|[ \t])#[ \t]*allow[ \t]+([^\s:#]+)[ \t]*:?[ \t]*(.*?)[ \t]*$/;

/** What is told of allowances themselves. */
export const ALLOWANCE_RULES = {
  idle: {
    id: "idle-allowance",
    level: "warning",
    why: "An allowance that nothing needs hides the next finding that comes to the same place.",
    source: "Plain sense, no source.",
    example: {
      fails: "# allow unused-ink: the customer may still choose it\ntitle: Night Garden",
      passes: yaml`
      title: Night Garden
    `,
    },
  },
  unexplained: {
    id: "unexplained-allowance",
    level: "warning",
    why: "Next year nobody knows why a finding was allowed, unless the comment says so.",
    source: "Plain sense, no source.",
    example: {
      fails: yaml`
        inks:
          white: { colour: "#f8f8f4", opacity: 92% }
          ember: { colour: "#d8431f", opacity: 70% }
          black: { colour: "#131316", opacity: 97% }
          # allow unused-ink
          slate: { colour: "#7b8088", opacity: 70% }
      `,
      passes: yaml`
        inks:
          white: { colour: "#f8f8f4", opacity: 92% }
          ember: { colour: "#d8431f", opacity: 70% }
          black: { colour: "#131316", opacity: 97% }
          # allow unused-ink: kept for the second edition
          slate: { colour: "#7b8088", opacity: 70% }
      `,
    },
  },
} as const satisfies Record<string, AboutRule>;

/** Every allowance in a document, in the order of the text. */
export function allowancesIn(doc: SourceDocument): Allowance[] {
  if (doc.value === undefined || !/#[ \t]*allow[ \t]/.test(doc.text)) return [];
  const lines = linesOf(doc.text);
  const written = nextWritten(lines);
  let allowed = 0;
  const found = lines.flatMap(({ start, text }, i): Allowance[] => {
    const match = allowed < MOST_ALLOWANCES && text.includes("#") ? COMMENT.exec(text) : undefined;
    if (!match) return [];
    allowed++;
    const from = start + match.index;
    const own = /^[ \t]*$/.test(text.slice(0, match.index));
    const part = partAt(lines, own ? (written[i] ?? i) : i);
    return [
      {
        rule: match[1]!,
        reason: match[2]!,
        range: { start: from, end: start + text.trimEnd().length },
        part,
      },
    ];
  });
  return found.length === 0 ? [] : withoutQuoted(doc, found);
}

/**
 * Findings with the reason on those that are allowed, and what is wrong with the allowances. `rules` are all there
 * are; `ran` holds the ids of those that have had their say: of the others nobody knows yet whether they find
 * something.
 */
export function allow(
  doc: SourceDocument,
  findings: readonly Finding[],
  rules: readonly AboutRule[],
  ran: ReadonlySet<string>,
): Finding[] {
  const allowances = allowancesIn(doc);
  if (allowances.length === 0) return [...findings];
  const used = new Set<Allowance>();
  const fixed = new Set(rules.filter((rule) => rule.fixed).map(({ id }) => id));
  const judged = findings.map((finding): Finding => {
    if (finding.file !== doc.file || fixed.has(finding.rule)) return finding;
    const allowance = allowances.find(
      ({ rule, part }) =>
        rule === finding.rule && finding.range.start >= part.start && finding.range.start < part.end,
    );
    if (!allowance) return finding;
    used.add(allowance);
    return allowance.reason === "" ? finding : { ...finding, allowed: allowance.reason };
  });
  const complaints = allowances.flatMap((allowance): Finding[] => {
    const said = complaint(allowance, rules, used.has(allowance), ran);
    if (!said) return [];
    const [{ id, level }, message] = said;
    return [{ rule: id, level, file: doc.file, range: allowance.range, path: [], message }];
  });
  return [...judged, ...complaints];
}

function complaint(
  { rule, reason }: Allowance,
  rules: readonly AboutRule[],
  used: boolean,
  ran: ReadonlySet<string>,
): readonly [AboutRule, string] | undefined {
  const { idle, unexplained } = ALLOWANCE_RULES;
  const about = rules.find(({ id }) => id === rule);
  if (!about) {
    const ids = rules.filter((known) => !known.fixed).map(({ id }) => id);
    return [idle, `there is no rule "${rule}" to allow${suggestion(rule, ids, "rules are")}`];
  }
  if (about.fixed)
    return [idle, `what "${rule}" finds makes the recipe unreadable, so it cannot be allowed; mend it`];
  if (!used && ran.has(rule))
    return [idle, `nothing here needs this allowance of "${rule}" any more; take the comment out`];
  if (reason === "")
    return [unexplained, `say behind a colon why "${rule}" is allowed here; without a reason it is not`];
  return undefined;
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
function withoutQuoted(doc: SourceDocument, found: readonly Allowance[]): Allowance[] {
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
