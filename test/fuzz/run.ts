/**
 * The nightly form: `npm run fuzz -- --documents 100000 --seed 7 --processes 2`. Each process tries its share of the
 * documents, all features asked of each; a document that makes it hang, throw, die or grow is written to build/fuzz/,
 * as short as it fails. Then recipes are edited at random, and read piece by piece as they are read whole. Exit status 1
 * where anything fails.
 */
import { type ChildProcess, fork, spawnSync } from "node:child_process";
import { mkdirSync, writeFileSync } from "node:fs";
import { availableParallelism } from "node:os";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { fuzzCase } from "./mutations.ts";
import type { FromTrial, TrialShare } from "./process.ts";

const { values } = parseArgs({
  options: {
    documents: { type: "string", default: "100000" },
    seed: { type: "string", default: String(Date.now() % 2 ** 31) },
    processes: { type: "string", default: String(availableParallelism()) },
  },
});
const [documents, seed, processes] = [values.documents, values.seed, values.processes].map(Number) as [
  number,
  number,
  number,
];
/**
 * A process that says nothing for so many half seconds hangs: counted, since a machine that is asleep or busy holds
 * up the counting too. Documents that take over a second it tells by itself.
 */
const HANGS_AFTER = 40;
/** A recipe at the limit of 2 MB needs less. */
const MEMORY_MB = 512;

const folder = fileURLToPath(new URL("../../build/fuzz/", import.meta.url));
const program = fileURLToPath(new URL("process.ts", import.meta.url));
mkdirSync(folder, { recursive: true });
const found: string[] = [];
const began = performance.now();
const tried = new Set<number>();
let slowest = 0;
const heaps: string[] = [];

console.log(`seed ${seed}, ${documents} documents, ${processes} processes`);
await Promise.all(
  Array.from({ length: processes }, (_, i) => share({ seed, from: i, step: processes, to: documents })),
);
const seconds = (performance.now() - began) / 1000;
console.log(
  `${tried.size} documents in ${seconds.toFixed(0)} s: ${found.length} faults; slowest ${slowest.toFixed(0)} ms; ` +
    `heap after a tenth, after all: ${heaps.join(", ")}`,
);
for (const line of found) console.log(line);
process.exit(found.length > 0 || tried.size < documents || !readsPiecesAlike() ? 1 : 0);

/** The suite's property of reading a recipe piece by piece, on many more edits. */
function readsPiecesAlike(): boolean {
  const vitest = fileURLToPath(new URL("../../node_modules/vitest/vitest.mjs", import.meta.url));
  const { status } = spawnSync(
    process.execPath,
    [
      vitest,
      "run",
      "--config",
      "test/vitest.config.ts",
      "test/language/blocks.test.ts",
      "--testTimeout=3600000",
    ],
    { stdio: "inherit", env: { ...process.env, PLATEWRIGHT_LONG: "1" } },
  );
  return status === 0;
}

/** Tries a share; after a document that ends the process, goes on with the next in another. */
async function share(wanted: TrialShare): Promise<void> {
  let waitedFor: number | undefined;
  for (let from = wanted.from; from < wanted.to; ) {
    const { at, why } = await inOneProcess({ ...wanted, from });
    if (why === undefined) return;
    // A machine that had no time for the process looks the same: only what hangs twice hangs.
    if (why === "hangs" && waitedFor !== at) {
      waitedFor = at;
      from = at;
      continue;
    }
    note(at, `the process ${why}`, fuzzCase(wanted.seed, at).text);
    from = at + wanted.step;
  }
}

/** The document that the process came to, and why it went no further; undefined where it came to its end. */
function inOneProcess(part: TrialShare): Promise<{ at: number; why: string | undefined }> {
  return new Promise((resolve) => {
    const child: ChildProcess = fork(program, {
      execArgv: ["--import", "tsx", "--expose-gc", `--max-old-space-size=${MEMORY_MB}`],
    });
    let at = part.from;
    let why: string | undefined = "died";
    let silent = 0;
    const watch = setInterval(() => {
      if (++silent <= HANGS_AFTER) return;
      why = "hangs";
      child.kill("SIGKILL");
    }, 500);
    child.on("message", (message: FromTrial) => {
      silent = 0;
      if (message.kind === "at") {
        at = message.index;
        tried.add(at);
      } else if (message.kind === "fault") note(message.index, message.fault, message.text);
      else {
        why = undefined;
        slowest = Math.max(slowest, message.slowestMs);
        heaps.push(`${message.heapEarlyMb.toFixed(0)} → ${message.heapLateMb.toFixed(0)} MB`);
        // A leak of a kilobyte a document would show.
        const allowed = message.heapEarlyMb + 24;
        if (message.heapLateMb > allowed) found.push(`the heap grew beyond ${allowed.toFixed(0)} MB`);
        child.disconnect();
      }
    });
    child.once("exit", () => {
      clearInterval(watch);
      resolve({ at, why });
    });
    child.send(part);
  });
}

function note(index: number, fault: string, text: string): void {
  const file = `${folder}${seed}-${index}.yaml`;
  writeFileSync(file, text);
  found.push(`${file}: ${fault}`);
}
