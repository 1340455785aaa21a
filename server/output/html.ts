import { printable } from "../language/printable.ts";

/** HTML that is safe to put into a page: what `html` made, or text of our own. */
export class Html {
  readonly text: string;

  constructor(text: string) {
    this.text = text;
  }
}

type Part = Html | string | number | undefined | readonly Part[];

/** A template whose parts are escaped, unless they are HTML themselves; lists are joined, undefined is nothing. */
export function html(strings: TemplateStringsArray, ...parts: Part[]): Html {
  return new Html(strings.reduce((text, string, i) => text + textOf(parts[i - 1]) + string));
}

function textOf(part: Part): string {
  if (part === undefined) return "";
  if (part instanceof Html) return part.text;
  if (typeof part === "object") return part.map(textOf).join("");
  return escaped(String(part));
}

/** Text in which nothing can be markup, and no sign is invisible. */
export function escaped(text: string): string {
  return printable(text.replace(/[\n\t]/g, " ")).replace(/[&<>"'`]/g, (sign) => `&#${sign.charCodeAt(0)};`);
}
