/** Measures what the design sets figures for and prints each beside its target. Run by `npm run bench`. */
import { cpus } from "node:os";
import { languageRows } from "./language.ts";
import { plateRows } from "./plates.ts";

console.log(`Node ${process.version}, ${cpus().length} × ${cpus()[0]?.model ?? "unknown processor"}\n`);
let missed = 0;
for (const { what, measured, target, met } of [...(await languageRows()), ...(await plateRows())]) {
  if (!met) missed++;
  console.log(`${met ? "  " : "✗ "}${what}\n      ${measured}   (target ${target})`);
}
console.log(missed === 0 ? "\nEvery target is met." : `\n${missed} missed.`);
