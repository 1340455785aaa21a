import { createHash } from "node:crypto";
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

/** A spot of a colour, #rrggbb; nothing where it is none. */
export function swatch(colour: string | undefined): Html {
  return colour !== undefined && /^#[0-9a-f]{6}$/.test(colour)
    ? html`<i style="background:${colour}"></i>`
    : new Html("");
}

/**
 * A whole page that needs nothing but itself: no script, nothing from any network, and a policy that says so. Pictures
 * are data. What the browser is to do in `body` and `style` is the caller's; the title is text.
 */
export function htmlPage(title: string, style: string, body: Html): string {
  const hash = createHash("sha256").update(style).digest("base64");
  const policy = `default-src 'none'; img-src data:; style-src 'sha256-${hash}'; style-src-attr 'unsafe-inline'; base-uri 'none'; form-action 'none'`;
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${new Html(policy)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title}</title>
<style>${new Html(style)}</style>
</head>
<body>
${body}
</body>
</html>
`.text;
}
