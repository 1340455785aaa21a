import { Html, html, htmlPage } from "../html.ts";
import type { Mark, SheetPage } from "./drawing.ts";

/** Pages of a sheet as a page for a browser that needs nothing but itself: no script, nothing fetched. */
export function sheetHtml(title: string, pages: readonly SheetPage[]): string {
  return htmlPage(title, STYLE, html`${pages.map(svgOf)}`);
}

function svgOf({ width, height, marks }: SheetPage): Html {
  return html`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${number(width)} ${number(height)}" style="width:${number(width)}mm;height:${number(height)}mm">${marks.map(markOf)}</svg>`;
}

function markOf(mark: Mark): Html {
  switch (mark.kind) {
    case "text":
      return html`<text x="${number(mark.x)}" y="${number(mark.y)}" font-size="${number(mark.size)}"${new Html(mark.grey ? ' class="grey"' : "")}>${mark.text}</text>`;
    case "line":
      return html`<line x1="${number(mark.from[0])}" y1="${number(mark.from[1])}" x2="${number(mark.to[0])}" y2="${number(mark.to[1])}" />`;
    case "shape": {
      const points = mark.points.map(([x, y]) => `${number(x)},${number(y)}`).join(" ");
      // Colours come from the colour reader, never from a text.
      const fill = /^#[0-9a-f]{6}$/.test(mark.fill) ? mark.fill : "none";
      return html`<polygon points="${points}" fill="${fill}"${new Html(mark.edge ? ' class="edge"' : "")} />`;
    }
    case "picture": {
      const { png, x, y, width, height } = mark;
      const data = Buffer.from(png.buffer, png.byteOffset, png.byteLength).toString("base64");
      return html`<image href="data:image/png;base64,${data}" x="${number(x)}" y="${number(y)}" width="${number(width)}" height="${number(height)}" preserveAspectRatio="none" />`;
    }
  }
}

function number(value: number): string {
  return String(Number(value.toFixed(3)));
}

const STYLE = `
:root { color-scheme: light; }
body { margin: 0; background: #fff; }
svg { display: block; margin: 0 auto 6mm; break-after: page; background: #fff; }
text { font-family: "Source Sans 3", system-ui, sans-serif; font-weight: 600; fill: #1b1d21; }
text.grey { fill: #5d636e; }
line, .edge { stroke: #5d636e; stroke-width: .25; }
@page { size: A4; margin: 0; }
@media print { svg { margin: 0; } }
`;
