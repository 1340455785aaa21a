/** Text as HTML: nothing in it can be markup. */
export function escaped(text: string): string {
  return text.replace(/[&<>"']/g, (sign) => `&#${sign.charCodeAt(0)};`);
}

/** HTML whose holes are text, or HTML that was made this way. */
export class Html {
  readonly text: string;

  constructor(text: string) {
    this.text = text;
  }
}

export type Hole = string | number | Html | readonly Html[] | undefined;

export function html(parts: TemplateStringsArray, ...holes: readonly Hole[]): Html {
  const text = parts.reduce((sum, part, i) => sum + (i === 0 ? "" : filled(holes[i - 1])) + part, "");
  return new Html(text);
}

function filled(hole: Hole): string {
  if (hole === undefined) return "";
  if (hole instanceof Html) return hole.text;
  if (typeof hole === "object") return hole.map(({ text }) => text).join("");
  return escaped(String(hole));
}
