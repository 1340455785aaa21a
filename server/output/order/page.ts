import type { Finding } from "../../language/finding.ts";
import { type Order, quantityOf } from "../../language/order.ts";
import type { InkNeed } from "../../render/ink-needs.ts";
import { type Html, html, htmlPage, swatch } from "../html.ts";
import { weight } from "../ticket/page.ts";
import type { Counts } from "./counts.ts";

/** What the office reads: quantities, screens, setups, ink and film. */
export interface OrderPage {
  readonly order: Order;
  readonly counts: Counts;
  readonly inks: readonly InkNeed[];
  /** Colour of each ink, as CSS hex. */
  readonly inkColours: ReadonlyMap<string, string>;
  /** Lengths of the roll in mm; undefined where no film is made. */
  readonly filmMm: readonly number[] | undefined;
  /** Of the order, then of each print, worst first. */
  readonly findings: readonly { readonly about: string; readonly finding: Finding }[];
  readonly cautions: readonly { readonly about: string; readonly text: string }[];
  readonly date: string;
  readonly producer: string;
}

/** The order's page: one that needs nothing but itself, made to be printed. No script, nothing fetched. */
export function orderPage(page: OrderPage): string {
  const { order, counts, inks, filmMm, findings, cautions, date, producer } = page;
  const screens = counts.screens.reduce((sum, { plates }) => sum + plates.length, 0);
  const flashes = counts.setUps.reduce((sum, one) => sum + one.flashes, 0);
  const title = order.title || "Order";
  const about = [order.number, order.customer, order.due && `due ${order.due}`].filter((part) => part);
  const film =
    filmMm === undefined
      ? "no films made"
      : `${(filmMm.reduce((sum, length) => sum + length, 0) / 1000).toFixed(2)} m of film`;
  const body = html`<header>
  <div><h1>${title}</h1><p>${about.join(" · ")}</p></div><p>${date}</p>
</header>
<p class="sum"><b>${counts.garments}</b> garments · <b>${counts.impressions}</b> impressions · <b>${screens}</b> screens · <b>${counts.setUps.length}</b> setups · <b>${flashes}</b> flashes · <b>${film}</b></p>
<h2>Garments</h2>
<table><tbody>${order.lines.map(
    (line) =>
      html`<tr><td><b>${line.garment}</b></td><td>${[...line.sizes].map(([size, count]) => `${size} ${count}`).join(" · ")}</td><td>${line.prints.join(", ")}</td><td class="n">${quantityOf(line)}</td></tr>`,
  )}</tbody></table>
<h2>Setups</h2>
<table><thead><tr><th>print</th><th>setup</th><th>garments</th><th class="n">stations</th><th class="n">flashes</th><th class="n">impressions</th></tr></thead><tbody>${counts.setUps.map(
    (one) =>
      html`<tr><td><b>${one.print}</b></td><td>${one.setup}</td><td>${one.garments.join(", ")}</td><td class="n">${one.stations}</td><td class="n">${one.flashes}</td><td class="n">${one.count}</td></tr>`,
  )}</tbody></table>
<h2>Screens</h2>
<table><tbody>${counts.screens.map(
    ({ print, plates, keep }) =>
      html`<tr><td><b>${print}</b></td><td>${plates.join(", ")}</td><td>${keep ? "keep for the next order" : "reclaim"}</td><td class="n">${plates.length}</td></tr>`,
  )}</tbody></table>
<h2>Ink</h2>
<table><tbody>${inks.map((need) => inkRow(need, page))}</tbody></table>
<p class="small">Estimates: area of the film × theoretical ink volume of the mesh × strokes × what the shop says reaches the garment × density × garments, spoilage included.${assumed(inks)}</p>
<h2>Findings</h2>
${findingList(findings)}
<h2>Cautions</h2>
<ul class="small">${cautions.map((one) => html`<li><b>${one.about}.</b> ${one.text}</li>`)}</ul>
<footer>Made by ${producer}. Figures are computed; the test print has the last word.</footer>`;
  return htmlPage(title, STYLE, body);
}

function inkRow({ ink, plates, cm3, grams, mix }: InkNeed, { inkColours }: OrderPage): Html {
  const bucket = mix.map((part) => `${part.of} ${part.grams === undefined ? "—" : weight(part.grams)}`);
  return html`<tr><td>${swatch(inkColours.get(ink))}<b>${ink}</b></td><td>${plates.join(", ")}</td><td>${bucket.join(" + ")}</td><td class="n">${cm3 === undefined ? "mesh not known" : `${cm3.toFixed(0)} ml`}</td><td class="n">${grams === undefined ? "" : weight(grams)}</td></tr>`;
}

function assumed(inks: readonly InkNeed[]): string {
  const names = inks.filter((need) => need.assumed && need.grams !== undefined).map(({ ink }) => ink);
  return names.length === 0 ? "" : ` Usual densities are taken for ${names.join(", ")}.`;
}

function findingList(findings: OrderPage["findings"]): Html {
  if (findings.length === 0) return html`<p>Nothing was found.</p>`;
  return html`<ul>${findings.map(
    ({ about, finding }) =>
      html`<li><b>${finding.level}</b> ${about}: ${finding.message} <span class="small">${finding.rule}</span></li>`,
  )}</ul>`;
}

const STYLE = `
:root { color-scheme: light; --ink: #1b1d21; --quiet: #5d636e; --line: #d5d8de; }
body { margin: 0 auto; max-width: 190mm; padding: 8mm 4mm; color: var(--ink); background: #fff; font: 9.5pt/1.35 system-ui, "Liberation Sans", sans-serif; }
header { display: flex; justify-content: space-between; border-bottom: 2px solid var(--ink); }
h1 { font-size: 17pt; margin: 0; }
h2 { font-size: 9pt; letter-spacing: .04em; text-transform: uppercase; color: var(--quiet); margin: 4mm 0 1mm; }
p { margin: 1mm 0; }
.sum { font-size: 11pt; margin-top: 3mm; }
table { width: 100%; border-collapse: collapse; }
td, th { text-align: left; padding: .8mm 2mm .8mm 0; border-bottom: 1px solid var(--line); vertical-align: top; }
.n { text-align: right; font-variant-numeric: tabular-nums; }
.small { font-size: 8pt; color: var(--quiet); }
i { display: inline-block; width: 3.2mm; height: 3.2mm; margin-right: 1.5mm; border: 1px solid var(--line); vertical-align: -.4mm; }
ul { margin: 0; padding-left: 4mm; }
footer { margin-top: 5mm; color: var(--quiet); font-size: 8pt; }
`;
