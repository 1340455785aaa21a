/** The nightly form: `npm run faults -- --operations 500 --seed 7`. Exit status 1 where anything was lost. */
import { parseArgs } from "node:util";
import { growingFaster } from "../language/measured-texts.ts";
import { measuringKilled, serverGone, serverKilled, writersKilled } from "./faults.ts";
import { hostileTrees } from "./hostile-trees.ts";

const { values } = parseArgs({
  options: {
    operations: { type: "string", default: "500" },
    seed: { type: "string", default: String(Date.now() % 2 ** 31) },
  },
});
const [operations, seed] = [Number(values.operations), Number(values.seed)];
// The process that reads artwork keeps nobody alive by itself.
setInterval(() => {}, 1000);
console.log(`seed ${seed}`);
let lost = 0;
for (const [what, run] of [
  ["process that reads artwork", measuringKilled],
  ["language server, panel open", serverKilled],
  ["language server, picture being read by WebAssembly", serverGone],
  ["programs that write files", writersKilled],
] as const) {
  const { kills, done, losses } = await run(operations, seed);
  console.log(
    `${what}: ${operations} operations, ${kills} kills, ${done} done all the same, ${losses.length} losses`,
  );
  for (const loss of losses) console.log(`  ${loss}`);
  lost += losses.length;
}
const { commands, losses } = await hostileTrees(Math.ceil(operations / 20), seed);
console.log(`strangers' trees: ${commands} commands, ${losses.length} losses`);
for (const loss of losses) console.log(`  ${loss}`);
lost += losses.length;
for (const kind of ["recipe", "readings"] as const)
  for (const name of growingFaster(kind)) {
    console.log(
      `hostile texts, as ${kind}: "${name}" of twice the length takes more than three times the work`,
    );
    lost++;
  }
process.exit(lost > 0 ? 1 : 0);
