/**
 * Colour measurements as CGATS.17 / ISO 28178 text: header keywords, a data format that names the fields, rows of
 * data. Read as instruments write it: any first line, tabs or blanks, quotes, comments, any case of keywords, decimal
 * commas, rows that are cut off. Pure text to data; what is wrong is collected with its place, never thrown.
 */
export interface Cgats {
  /** Header keywords, upper case, with the text behind them; the last of several wins. */
  readonly header: ReadonlyMap<string, string>;
  /** Field names as they stand in the file. */
  readonly fields: readonly string[];
  readonly rows: readonly CgatsRow[];
  readonly problems: readonly CgatsProblem[];
}

export interface CgatsRow {
  /** Line in the file, from 1. */
  readonly line: number;
  /** One text a field. */
  readonly values: readonly CgatsValue[];
}

export interface CgatsValue {
  readonly text: string;
  readonly line: number;
  /** In UTF-16 units, from 1. */
  readonly column: number;
}

/** Something wrong with a file. An error leaves it unreadable; a warning says what was taken for meant. */
export interface CgatsProblem {
  readonly line: number;
  readonly column: number;
  readonly level: "error" | "warning";
  readonly message: string;
}

/** Lines beyond this are no readings of a print shop's. */
const MOST_LINES = 200_000;
const MOST_PROBLEMS = 1000;

export function parseCgats(text: string): Cgats {
  const header = new Map<string, string>();
  const fields: string[] = [];
  const named = new Set<string>();
  const wrongLines = new Set<number>();
  let errors = 0;
  const rows: CgatsRow[] = [];
  const problems: CgatsProblem[] = [];
  const say = (level: CgatsProblem["level"], line: number, column: number, message: string) => {
    wrongLines.add(line);
    if (level === "error") errors++;
    // Nobody reads more, and an error among the first of them keeps the file from being read.
    if (problems.length < MOST_PROBLEMS || (level === "error" && errors === 1))
      problems.push({ level, line, column, message });
  };
  let part: "header" | "format" | "data" | "after" = "header";
  let last = 1;

  const lines = text.replace(/^\ufeff/, "").split(/\r\n|\n|\r/, MOST_LINES);
  for (const [i, content] of lines.entries()) {
    const line = i + 1;
    const tokens = tokensOf(content, line, say);
    const [first] = tokens;
    if (!first) continue;
    last = line;
    const keyword = first.quoted ? "" : first.text.toUpperCase();
    if (keyword === "BEGIN_DATA_FORMAT") {
      if (part === "after") {
        say("warning", line, first.column, "a second table begins here; only the first is read");
        break;
      }
      part = "format";
      addFields(tokens.slice(1));
    } else if (keyword === "END_DATA_FORMAT") {
      part = "header";
    } else if (keyword === "BEGIN_DATA") {
      if (part === "after") break;
      if (part === "format") say("warning", line, first.column, "END_DATA_FORMAT is missing before the data");
      if (fields.length === 0) {
        say("error", line, first.column, "data begin, but no BEGIN_DATA_FORMAT has named their fields");
      }
      part = "data";
    } else if (keyword === "END_DATA") {
      if (part !== "data") say("warning", line, first.column, "END_DATA stands here without BEGIN_DATA");
      part = "after";
    } else if (part === "format") {
      addFields(tokens);
    } else if (part === "data") {
      addRow(line, tokens);
    } else if (part === "header") {
      const value = tokens
        .slice(1)
        .map((token) => token.text)
        .join(" ");
      // KEYWORD "X" only announces that X will be used.
      if (keyword !== "KEYWORD") header.set(keyword, value);
    }
  }
  finish();
  return { header, fields, rows, problems };

  function addFields(tokens: readonly Token[]): void {
    for (const token of tokens) {
      if (token.text.toUpperCase() === "END_DATA_FORMAT") {
        part = "header";
        return;
      }
      const name = token.text.toUpperCase();
      if (named.has(name)) {
        say("warning", token.line, token.column, `the field ${token.text} is named twice; the first counts`);
      }
      named.add(name);
      fields.push(token.text);
    }
  }

  function addRow(line: number, tokens: readonly Token[]): void {
    const end = tokens.findIndex(({ text, quoted }) => !quoted && text.toUpperCase() === "END_DATA");
    const values = end < 0 ? tokens : tokens.slice(0, end);
    if (end >= 0) part = "after";
    if (fields.length === 0 || values.length === 0) return;
    if (values.length !== fields.length) {
      // An open quote has swallowed the rest.
      if (wrongLines.has(line)) return;
      const message = `this row has ${values.length} ${values.length === 1 ? "value" : "values"}, but the format names ${fields.length} fields`;
      say("error", line, tokens[Math.min(values.length, fields.length) - 1]?.column ?? 1, message);
      return;
    }
    rows.push({ line, values });
  }

  function finish(): void {
    if (part === "data") say("warning", last, 1, "END_DATA is missing; the file may have been cut off");
    if (fields.length === 0 && part !== "data" && errors === 0) {
      say("error", 1, 1, "no BEGIN_DATA_FORMAT: this is no CGATS.17 or ISO 28178 file");
    } else if (rows.length === 0 && errors === 0) {
      say("error", last, 1, "there are no data between BEGIN_DATA and END_DATA");
    }
    // Counts are off wherever something was passed over, and say nothing new.
    if (errors > 0) return;
    counted("NUMBER_OF_FIELDS", fields.length, "fields are named");
    counted("NUMBER_OF_SETS", rows.length, "rows of data are there");
  }

  function counted(keyword: string, found: number, what: string): void {
    const said = header.get(keyword);
    if (said === undefined || Number(said) === found) return;
    const line = new RegExp(`^\\s*${keyword}\\b`, "i");
    const at = lines.findIndex((content) => line.test(content));
    say("warning", at + 1, 1, `${keyword} says ${said}, but ${found} ${what}; what is there counts`);
  }
}

/** The number that a value means; undefined where it is none. A comma counts as a decimal point. */
export function numberOf({ text }: CgatsValue): number | undefined {
  if (!/^[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:e[+-]?\d+)?$/i.test(text)) return undefined;
  return Number(text.replace(",", "."));
}

interface Token extends CgatsValue {
  readonly quoted: boolean;
}

function tokensOf(
  content: string,
  line: number,
  say: (level: "error", line: number, column: number, message: string) => void,
): Token[] {
  const tokens: Token[] = [];
  let i = 0;
  while (i < content.length) {
    const char = content[i]!;
    if (/\s/.test(char)) {
      i++;
    } else if (char === "#") {
      break;
    } else if (char === '"') {
      const column = i + 1;
      let text = "";
      for (i++; i < content.length; i++) {
        if (content[i] !== '"') text += content[i];
        else if (content[i + 1] === '"') {
          text += '"';
          i++;
        } else break;
      }
      if (i >= content.length) say("error", line, column, "this quote is not closed on its line");
      i++;
      tokens.push({ text, line, column, quoted: true });
    } else {
      const column = i + 1;
      const end = content.slice(i).search(/\s|$/);
      tokens.push({ text: content.slice(i, i + end), line, column, quoted: false });
      i += end;
    }
  }
  return tokens;
}
