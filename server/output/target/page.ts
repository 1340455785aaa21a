import { LEAST_KNOWN } from "../../engine/target/scan.ts";
import { LENGTHS_PPI } from "../../engine/target/scan-lengths.ts";
import {
  EXPOSURE_BLOCKS,
  EXPOSURE_FACTOR,
  LINE_WIDTHS,
  type Sheet,
  sheetSamples,
} from "../../engine/target/sheet.ts";
import { html, htmlPage } from "../html.ts";

export interface TargetPage {
  readonly sheet: Sheet;
  readonly title: string;
  readonly files: readonly string[];
  readonly readingsFile: string;
  /** How the sheet is read back, as it is typed. */
  readonly command: string;
  readonly date: string;
  readonly producer: string;
}

/** The page that goes with the films: how to print them, what to read and in which order. No script, nothing fetched. */
export function targetPage({
  sheet,
  title,
  files,
  readingsFile,
  command,
  date,
  producer,
}: TargetPage): string {
  const samples = sheetSamples(sheet);
  const colours = samples.filter(({ sample }) => sample.kind === "patch").length;
  const exposures = Array.from({ length: EXPOSURE_BLOCKS }, (_, i) => EXPOSURE_FACTOR ** i);
  const base = sheet.base && sheet.inks.includes(sheet.base) ? sheet.base : undefined;
  const isAm = sheet.screens[0]?.screening.method === "am";
  const body = html`<h1>Target sheet — ${title}</h1>
<p>${date} · ${sheet.width.toFixed(0)} × ${sheet.height.toFixed(0)} mm · inks in print order: ${sheet.inks.join(", ")} · films: ${[...new Set(files)].join(", ")}</p>
<h2>Print</h2>
<ol>
<li>Expose and print as for any job: the usual meshes, squeegees, strokes, flash and cure. Correct nothing: the sheet is there to show what is off.</li>
<li>Tape a white and a black card down where the sheet says “white card” and “black card”, and print on them.</li>
<li>Print in the order of the inks${base ? html`, ${base} first, as the underbase, and flash it` : ""}. Register the screens by the registration marks.</li>
<li>Print ten, and read at least the fifth and the tenth: a patch that is read more than once also gives the spread.</li>
<li>Let the print cure and cool before it is read.</li>
</ol>
<h2>Read</h2>
<p><b>${readingsFile}</b> lists ${samples.length} samples from top to bottom and left to right, as they are read. ${colours} are colours: CIELAB, D50, 2°, all over the same white backing. The others are lengths in mm:</p>
<ol>
<li>Patches: read the bare garment too (0 %). Measure in the middle; the aperture must cover several dots.</li>
<li>Lines: the narrowest line that is unbroken. Gaps: the narrowest gap that is open from end to end. Widths, from left to right or top to bottom: ${LINE_WIDTHS.join(", ")} mm.</li>
<li>Register: find the two lines that meet and write down the figure beside them, positive to the right and down. Where two neighbouring pairs meet equally well, take the figure between them.</li>
</ol>
<p>Leave <code>-</code> where nothing was read. Then: <code>${command}</code></p>
<p>With a scanner: read at least ${LEAST_KNOWN} patches with an instrument, solids, light tints and the bare garment among them; scan the whole sheet to PNG or TIFF at ${LENGTHS_PPI} dpi or more, with all corrections off; and name the scan and the inks too: <code>${command} SCAN.png ${sheet.inks.map((ink) => `--ink ${ink}`).join(" ")}</code>. Lines, gaps and register are read from the scan too, up to 1 mm out of register; what the file of readings says takes precedence, but a ramp that it has in part is the scan’s as a whole.</p>
<h2>Exposure wedge</h2>
<p>Expose all blocks for the shortest time. Cover block 1 and expose again, cover block 2 as well, and so on, so that each block gets the exposure in the table. The right time is that of the block which holds 2 % and keeps 98 % open.${sheet.tested.length > 1 ? html` Each mesh has its own time: ${sheet.tested.join(" and ")} carry a wedge each.` : ""}</p>
<table><tr><th>block</th>${exposures.map((_, i) => html`<th>${i + 1}</th>`)}</tr>
<tr><td>exposure, × the shortest</td>${exposures.map((times) => html`<td>${times.toFixed(2)}</td>`)}</tr></table>
${
  isAm
    ? html`<h2>Moiré</h2>
<p>Choose an angle whose field prints evenly on its mesh, without bands.</p>`
    : ""
}
<p><small>${producer}</small></p>`;
  return htmlPage(`Target sheet — ${title}`, STYLE, body);
}

const STYLE = `
body { font: 11pt/1.45 sans-serif; max-width: 46em; margin: 2em auto; padding: 0 1em; color: #111; background: #fff; }
h1 { font-size: 1.4em; } h2 { font-size: 1.1em; margin-top: 1.6em; }
table { border-collapse: collapse; } td, th { padding: 0.15em 0.7em; border-bottom: 1px solid #bbb; text-align: right; }
`;
