import { LEAST_KNOWN } from "../../engine/target/scan.ts";
import {
  EXPOSURE_BLOCKS,
  EXPOSURE_FACTOR,
  LINE_WIDTHS,
  type Sheet,
  sheetSamples,
} from "../../engine/target/sheet.ts";
import { html } from "../html.ts";

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
  return html`<!doctype html>
<html lang="en">
<meta charset="utf-8" />
<title>Target sheet — ${title}</title>
<style>
body { font: 11pt/1.45 sans-serif; max-width: 46em; margin: 2em auto; padding: 0 1em; color: #111; background: #fff; }
h1 { font-size: 1.4em; } h2 { font-size: 1.1em; margin-top: 1.6em; }
table { border-collapse: collapse; } td, th { padding: 0.15em 0.7em; border-bottom: 1px solid #bbb; text-align: right; }
</style>
<h1>Target sheet — ${title}</h1>
<p>${date} · ${sheet.width.toFixed(0)} × ${sheet.height.toFixed(0)} mm · inks in print order: ${sheet.inks.join(", ")} · films: ${[...new Set(files)].join(", ")}</p>
<h2>Print</h2>
<ol>
<li>Expose and print as every job is: the shop's meshes, squeegees, strokes, flash and cure. Do not correct anything: errors are what is to be found.</li>
<li>Tape a white and a black card down where the sheet says “white card” and “black card”, and print over them.</li>
<li>Print in the order of the inks${base ? html`, ${base} first where it lies under the others; flash after it` : ""}. Line the plates up by the registration marks.</li>
<li>Print ten, and read the fifth and the last at least: a sample may stand in several rows, and the spread is told.</li>
<li>Let the print cure and cool before it is read.</li>
</ol>
<h2>Read</h2>
<p>${samples.length} samples stand in <b>${readingsFile}</b>, in the order of reading: from above down, from left to right. ${colours} are colours: CIELAB under D50 and 2°, backed by the same white. The others are lengths in mm:</p>
<ol>
<li>Patches: the bare garment counts too (0 %). Measure the middle; the aperture must see several dots.</li>
<li>Lines: the narrowest line that stands whole. Gaps: the narrowest that is open from end to end. Widths, from the left or from above: ${LINE_WIDTHS.join(", ")} mm.</li>
<li>Register: find the two lines that meet and write the figure beside them, to the right and down counting as positive; where two pairs meet equally well, the middle of their figures.</li>
</ol>
<p>Leave - where nothing was read. Then: <code>${command}</code></p>
<p>With a scan: read some patches with an instrument, solids, light tints and the bare garment among them, at least ${LEAST_KNOWN}; scan the whole sheet to PNG or TIFF at 150 dpi or more, with every correction off; and name the scan and the inks too: <code>${command} SCAN.png ${[...sheet.inks.map((ink) => `--ink ${ink}`), ...(base ? [`--base ${base}`] : [])].join(" ")}</code>. Lines, gaps and register are read by eye.</p>
<h2>Exposure wedge</h2>
<p>Expose the first block for the time below that is shortest; then cover one block more before each further exposure, so that each block gets the light of the table. The block that holds 2 % and whose 98 % is open says the time.</p>
<table><tr><th>block</th>${exposures.map((_, i) => html`<th>${i + 1}</th>`)}</tr>
<tr><td>light, times the least</td>${exposures.map((times) => html`<td>${times.toFixed(2)}</td>`)}</tr></table>
<h2>Moiré</h2>
<p>Even fields are free of it. Choose an angle whose field shows no bands on this mesh.</p>
<p><small>${producer}</small></p>
</html>
`.text;
}
