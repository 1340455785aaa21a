import { formatPath } from "../../language/finding.ts";
import { percentage } from "../../language/words.ts";
import { type FilmsMade, leftOutText } from "../films/left-out.ts";
import { Html, html, htmlPage, swatch } from "../html.ts";
import type { TicketFacts, TicketStation } from "./facts.ts";

/** A picture of the job on a garment. */
export interface TicketProof {
  readonly garment: string;
  /** PNG. */
  readonly png: Uint8Array;
  readonly mean: number;
  readonly p95: number;
}

export interface TicketPage {
  readonly facts: TicketFacts;
  readonly proofs: readonly TicketProof[];
  /** Colour of each ink, as CSS hex. */
  readonly inkColours: ReadonlyMap<string, string>;
  readonly films: readonly { readonly plate: string; readonly file: string }[];
  /** What is known of the films where they were made. */
  readonly made?: FilmsMade | undefined;
  /** Of a reorder: what the last run was, and what has changed since. */
  readonly lastRun?: readonly string[];
  readonly cautions: readonly { readonly about: string; readonly text: string }[];
  readonly date: string;
  readonly fingerprint: string;
  readonly producer: string;
}

/** The job ticket: one page that needs nothing but itself, made to be printed. No script, nothing fetched. */
export function ticketPage(page: TicketPage): string {
  const { facts, proofs, films, cautions, date, fingerprint, producer } = page;
  const title = `${facts.title || "Job"} — ${facts.setupName}`;
  const body = html`<header>
  <div>
    <h1>${facts.title || "Job ticket"}</h1>
    <p class="sub">setup <b>${facts.setupName}</b> on ${facts.garments.join(", ")} · ${mm(facts.widthMm)} × ${mm(facts.heightMm)} mm · ${facts.screens} screens · ${facts.stations.length} stations</p>
  </div>
  <p class="stamp">${date}<br />recipe ${fingerprint}</p>
</header>
<section class="proofs">${proofs.map((proof) => figure(proof))}</section>
<p class="small">${facts.steadiness}</p>
<section>
  <h2>Stations</h2>
  <table class="stations">
    <thead><tr><th>№</th><th>plate</th><th>ink</th><th>mesh</th><th>screen</th><th class="n">coverage</th><th class="n">film</th><th class="n">ink</th><th>on press</th></tr></thead>
    <tbody>${facts.stations.map((station) => stationRow(station, page))}</tbody>
  </table>
</section>
<div class="columns">
  <section>
    <h2>Ink for ${facts.inkGarments} garments</h2>
    <table><tbody>${facts.inks.map(
      ({ ink, plates, cm3, grams }) =>
        html`<tr><td>${swatch(page.inkColours.get(ink))}${ink}</td><td class="quiet">${plates.join(", ")}</td><td class="n">${cm3 === undefined ? "mesh not known" : amount(cm3)}</td><td class="n">${grams === undefined ? "" : weight(grams)}</td></tr>`,
    )}</tbody></table>
    <p class="small">An estimate: area of the film × theoretical ink volume of the mesh × strokes, ${percentage(facts.inkUse.transfer)} of it on the garment and ${percentage(facts.inkUse.spoilage, 1)} more for spoilage. Stencil and squeegee are not in it.${assumedText(facts)}</p>
  </section>
  <section>
    <h2>Screens of the other setups</h2>
    ${sharing(facts)}
  </section>
  <section>
    <h2>Films</h2>
    <ul class="films">${filmLines(films)}</ul>
    ${madeLines(page)}
  </section>
  ${lines("Last run", page.lastRun ?? [])}
  ${lines("Traps", facts.traps)}
  ${lines("Adjusted tones", facts.adjustments)}
  ${lines("What test prints taught", facts.lessons)}
</div>
<section>
  <h2>Findings</h2>
  ${findings(facts)}
</section>
<section class="cautions">
  <h2>Cautions</h2>
  <ul>${cautions.map(({ about, text }) => html`<li><b>${about}.</b> ${text}</li>`)}</ul>
</section>
<footer>Made by ${producer}. Proofs and figures are computed; the test print has the last word.</footer>`;
  return htmlPage(title, STYLE, body);
}

function figure({ garment, png, mean, p95 }: TicketProof): Html {
  const data = Buffer.from(png.buffer, png.byteOffset, png.byteLength).toString("base64");
  const alt = `proof on ${garment}`;
  return html`<figure><img src="data:image/png;base64,${data}" alt="${alt}" /><figcaption><b>${garment}</b> mean ΔE00 ${mean.toFixed(1)}, 95 % within ${p95.toFixed(1)}</figcaption></figure>`;
}

function stationRow({ number, what, plate, note }: TicketStation, { inkColours }: TicketPage): Html {
  if (!plate)
    return html`<tr class="step"><td class="n">${number}</td><td colspan="7">${what}</td><td>${note}</td></tr>`;
  const folded = plate.folded.length > 0 ? ` with ${plate.folded.join(", ")}` : "";
  const purpose = plate.purpose === "colour" ? "" : plate.purpose;
  return html`<tr><td class="n">${number}</td><td><b>${what}</b>${folded} <span class="quiet">${purpose}</span></td><td>${swatch(inkColours.get(plate.ink))}${plate.ink}</td><td>${plate.mesh}</td><td>${plate.screening}</td><td class="n">${percentage(plate.coverage, 1)}</td><td class="n">${plate.filmCm2.toFixed(1)} cm²</td><td class="n">${plate.grams === undefined ? "" : weight(plate.grams)}</td><td>${strokes(plate.hits)}${note}</td></tr>`;
}

function sharing({ sharing: others }: TicketFacts): Html {
  if (others.length === 0) return html`<p>This is the job's only setup.</p>`;
  return html`<ul>${others.map(
    ({ setup, shared, out, in: into }) =>
      html`<li>to <b>${setup}</b>: ${shared.length} screens stay${out.length > 0 ? `, take out ${out.join(", ")}` : ""}${into.length > 0 ? `, put in ${into.join(", ")}` : ""}</li>`,
  )}</ul>`;
}

function lines(title: string, texts: readonly string[]): Html {
  if (texts.length === 0) return new Html("");
  return html`<section><h2>${title}</h2><ul>${texts.map((text) => html`<li>${text}</li>`)}</ul></section>`;
}

function findings({ findings: all }: TicketFacts): Html {
  if (all.length === 0) return html`<p>No warnings.</p>`;
  return html`<ul class="findings">${all.map(
    ({ level, rule, path, message, allowed }) =>
      html`<li class="${allowed === undefined ? level : "allowed"}"><b>${allowed === undefined ? level : "allowed"}</b> ${path.length > 0 ? `${formatPath(path)}: ` : ""}${message}${allowed === undefined ? "" : ` — allowed: ${allowed}`} <span class="quiet">${rule}</span></li>`,
  )}</ul>`;
}

/** Films that share a file share a line. */
function filmLines(films: TicketPage["films"]): Html[] {
  const byFile = new Map<string, string[]>();
  for (const { plate, file } of films) byFile.set(file, [...(byFile.get(file) ?? []), plate]);
  return [...byFile].map(([file, plates]) => html`<li><b>${file}</b>: ${plates.join(", ")}</li>`);
}

/** Of the plates that this setup prints. */
function madeLines({ made, facts: { stations } }: TicketPage): Html {
  if (!made)
    return html`<p class="small">What they leave out as too small is told here once they lie beside this ticket.</p>`;
  const names = new Set(stations.map(({ what }) => what));
  const said = [...made.leftOut].flatMap(([plate, one]) => {
    const text = names.has(plate) ? leftOutText(one) : undefined;
    return text === undefined ? [] : [html`<li>${plate}: ${text}</li>`];
  });
  const from = `${made.dpi} dpi, from plates of ${Number(made.platePpi.toFixed(1))} ppi.`;
  if (said.length === 0) return html`<p class="small">${from} Their screens hold all of the artwork.</p>`;
  return html`<p class="small">${from} Too small for the screens:</p><ul class="small">${said}</ul>`;
}

function mm(value: number): string {
  return value.toFixed(1);
}

function assumedText({ inks }: TicketFacts): string {
  const assumed = inks.filter((need) => need.assumed && need.grams !== undefined);
  if (assumed.length === 0) return "";
  return ` Usual densities are taken for ${assumed.map(({ ink }) => ink).join(", ")}.`;
}

function strokes(hits: number): string {
  return hits === 1 ? "" : `${hits} strokes; `;
}

/** Grams under a kilogram, else kilograms. */
export function weight(grams: number): string {
  return grams >= 1000 ? `${(grams / 1000).toFixed(2)} kg` : `${grams.toFixed(grams < 10 ? 1 : 0)} g`;
}

function amount(cm3: number): string {
  return cm3 >= 1000 ? `${(cm3 / 1000).toFixed(2)} l` : `${Math.round(cm3)} ml`;
}

const STYLE = `
:root { color-scheme: light; --ink: #1b1d21; --quiet: #5d636e; --line: #d5d8de; }
* { box-sizing: border-box; }
body { margin: 0 auto; max-width: 190mm; padding: 8mm 4mm; color: var(--ink); background: #fff; font: 9.5pt/1.35 system-ui, "Liberation Sans", sans-serif; }
header { display: flex; justify-content: space-between; align-items: start; border-bottom: 2px solid var(--ink); padding-bottom: 2mm; }
h1 { font-size: 17pt; line-height: 1.1; margin: 0; }
h2 { font-size: 9pt; letter-spacing: .04em; text-transform: uppercase; color: var(--quiet); margin: 4mm 0 1mm; }
.sub { margin: 1mm 0 0; }
.stamp { margin: 0; text-align: right; color: var(--quiet); font-variant-numeric: tabular-nums; }
.proofs { display: flex; gap: 4mm; margin-top: 3mm; }
figure { margin: 0; flex: 1 1 0; min-width: 0; max-width: 62mm; }
figure img { width: 100%; display: block; border-radius: 1mm; }
figcaption { font-size: 8pt; margin-top: 1mm; }
table { border-collapse: collapse; width: 100%; }
th { text-align: left; font-weight: 600; font-size: 8pt; color: var(--quiet); }
th, td { padding: .7mm 1.5mm .7mm 0; border-bottom: 1px solid var(--line); vertical-align: baseline; }
.n { text-align: right; font-variant-numeric: tabular-nums; padding-right: 3mm; white-space: nowrap; }
.step td { background: #f3f4f6; }
.stations tr:not(.step) td:nth-child(3), .stations tr:not(.step) td:nth-child(5) { white-space: nowrap; }
.stations { font-size: 8.5pt; }
i { display: inline-block; width: 3mm; height: 3mm; border-radius: .6mm; border: 1px solid #0003; margin-right: 1.5mm; vertical-align: -.4mm; }
.quiet, .small { color: var(--quiet); }
.small { font-size: 8pt; margin: 1mm 0 0; }
.columns { columns: 2; column-gap: 8mm; }
.columns section { break-inside: avoid; padding-top: .1mm; }
.columns h2 { margin-top: 3mm; }
ul { margin: 0; padding-left: 4mm; }
li { margin: .5mm 0; overflow-wrap: anywhere; }
.findings { list-style: none; padding: 0; }
.error b { color: #b3261e; } .warning b { color: #8a5300; } .allowed b, .note b { color: var(--quiet); }
.cautions ul { font-size: 8pt; columns: 2; column-gap: 8mm; }
.cautions li { break-inside: avoid; }
footer { margin-top: 3mm; font-size: 8pt; color: var(--quiet); border-top: 1px solid var(--line); padding-top: 1mm; }
@page { size: A4; margin: 10mm; }
@media print { body { padding: 0; max-width: none; } section, tr, figure { break-inside: avoid; } i, .step td { print-color-adjust: exact; -webkit-print-color-adjust: exact; } }
@media (max-width: 600px) { .columns, .cautions ul { columns: 1; } .proofs { flex-wrap: wrap; } section { overflow-x: auto; } }
`;
