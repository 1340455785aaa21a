/** Measures what the design sets figures for and prints each beside its target. Run by `npm run bench`. */
import { cpus } from "node:os";
import { languageRows } from "./language.ts";
import { plateRows } from "./plates.ts";
import { bandRows, solvedPlateRows, solveRows } from "./solve.ts";

console.log(`Node ${process.version}, ${cpus().length} × ${cpus()[0]?.model ?? "unknown processor"}\n`);
let missed = 0;
const rows = [
  ...(await languageRows()),
  ...(await plateRows()),
  ...(await solvedPlateRows()),
  ...(await solveRows()),
  ...bandRows(),
];
for (const { what, measured, target, met } of rows) {
  if (!met) missed++;
  console.log(`${met ? "  " : "✗ "}${what}\n      ${measured}   (target ${target})`);
}
console.log(missed === 0 ? "\nEvery target is met." : `\n${missed} missed.`);
