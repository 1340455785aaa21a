/** Measures what the design sets figures for and prints each beside its target. Run by `npm run bench`. */
import { cpus } from "node:os";
import { activationRows } from "./activation.ts";
import { editorRows } from "./editor.ts";
import { filmRows } from "./films.ts";
import { growthRows } from "./growth.ts";
import { holdRows } from "./hold.ts";
import { languageRows } from "./language.ts";
import { logoRows } from "./logos.ts";
import { overprintRows } from "./overprints.ts";
import { panelRows } from "./panel.ts";
import { bytesRows, plateRows } from "./plates.ts";
import { proposeRows } from "./propose.ts";
import { bandRows, solvedPlateRows, solveRows } from "./solve.ts";
import { tuneRows } from "./tune.ts";

console.log(`Node ${process.version}, ${cpus().length} × ${cpus()[0]?.model ?? "unknown processor"}\n`);
let missed = 0;
// `npm run bench -- panel` measures one part alone.
const parts = {
  activation: activationRows,
  language: async () => [...(await languageRows()), ...(await holdRows())],
  panel: panelRows,
  editor: editorRows,
  plates: async () => [...(await plateRows()), ...(await bytesRows())],
  growth: growthRows,
  films: filmRows,
  propose: async () => [...(await logoRows()), ...(await proposeRows())],
  tune: tuneRows,
  overprints: overprintRows,
  solve: async () => [...(await solvedPlateRows()), ...(await solveRows()), ...bandRows()],
};
const wanted = process.argv.slice(2);
for (const [name, rows] of Object.entries(parts)) {
  if (wanted.length > 0 && !wanted.includes(name)) continue;
  for (const { what, measured, target, met } of await rows()) {
    if (!met) missed++;
    console.log(`${met ? "  " : "✗ "}${what}\n      ${measured}   (target ${target})`);
  }
}
console.log(missed === 0 ? "\nEvery target is met." : `\n${missed} missed.`);
