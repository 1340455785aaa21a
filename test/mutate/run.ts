/**
 * `npm run mutate -- FOLDER... [--seed N] [--most N] [--at-once N]`: breaks the source files that stand in the folders
 * (not under them) in one place at a time, runs the tests that mirror or import the file, and lists the changes that no
 * test noticed. A name may be that of a file. Of more than `--most` changes (100) a sample is taken, by the seed. Changes
 * of test/mutate/equivalent.txt are left out. Ends with status 1 where less than 90 % were noticed.
 *
 * What a test starts as a process or thread of its own, and the bundles, are not broken.
 */
import { type ChildProcess, fork } from "node:child_process";
import { readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { random } from "../property.ts";
import { equivalents, isEquivalent } from "./equivalents.ts";
import { type Mutation, mutate, mutationsOf } from "./mutations.ts";
import type { Answer, Question } from "./runner.ts";
import { Imports, testsOf } from "./tests-of.ts";

const LEAST_NOTICED = 0.9;
/** What a test may take beside what it took unbroken, in milliseconds: a fork on a busy machine. */
const PATIENCE = 8000;
/** Tests that take longer are left out, in milliseconds: a change that they alone notice is found too late anyway. */
const SLOWEST = 20_000;
const PROJECTS = ["tsconfig.json", "client/panel/tsconfig.json"];

/** One process that answers, another in its place where it is stopped. */
class Runner {
  #child: ChildProcess | undefined;

  /** Undefined where it took longer than that. */
  async ask(question: Question, longest: number): Promise<Answer | undefined> {
    const child = this.#child ?? (await this.#start());
    return new Promise((resolve) => {
      const settle = (answer: Answer | undefined) => {
        clearTimeout(timer);
        child.off("message", settle).off("exit", ended);
        resolve(answer);
      };
      const ended = () => {
        this.#child = undefined;
        settle(undefined);
      };
      const timer = setTimeout(() => {
        this.stop();
        settle(undefined);
      }, longest);
      child.on("message", settle).once("exit", ended);
      child.send(question);
    });
  }

  /** With the processes that it started: a mutant may turn round for ever. */
  stop(): void {
    const pid = this.#child?.pid;
    this.#child?.removeAllListeners();
    this.#child = undefined;
    if (pid === undefined) return;
    try {
      process.kill(-pid, "SIGKILL");
    } catch {
      // Gone already.
    }
  }

  #start(): Promise<ChildProcess> {
    const child = fork(fileURLToPath(new URL("runner.ts", import.meta.url)), {
      cwd: root,
      detached: true,
      stdio: ["ignore", "ignore", "ignore", "ipc"],
    });
    this.#child = child;
    return new Promise((resolve, reject) => {
      child.once("message", () => resolve(child));
      child.once("exit", (status) => reject(new Error(`the process that runs tests ended with ${status}`)));
    });
  }
}

const root = fileURLToPath(new URL("../..", import.meta.url)).replace(/\/$/, "");
const { positionals, values } = parseArgs({
  allowPositionals: true,
  options: {
    seed: { type: "string", default: "1" },
    most: { type: "string", default: "100" },
    "at-once": { type: "string", default: "2" },
  },
});
const runners = Array.from({ length: Number(values["at-once"]) }, () => new Runner());
const stopAll = () => {
  for (const runner of runners) runner.stop();
};
for (const signal of ["SIGINT", "SIGTERM"] as const)
  process.on(signal, () => {
    stopAll();
    process.exit(130);
  });
try {
  process.exitCode = await run();
} finally {
  stopAll();
}

async function run(): Promise<number> {
  const files = positionals.flatMap(sourcesIn);
  if (files.length === 0) {
    console.error(
      "npm run mutate -- FOLDER... [--seed N] [--most N] [--at-once N]: no source file stands there",
    );
    return 2;
  }
  const imports = new Imports(root);
  const allTests = new Map(files.map((file) => [file, testsOf(root, file, imports)]));
  const [first] = runners;
  const longest = new Map<string, number>();
  for (const test of new Set([...allTests.values()].flat())) {
    const answer = await first!.ask({ source: undefined, test: join(root, test) }, 10 * 60_000);
    if (!answer?.passed) console.log(`left out, since it fails as things are: ${test}`);
    else if (answer.took > SLOWEST) console.log(`left out, since it is slow: ${test}`);
    else longest.set(test, PATIENCE + 3 * answer.took);
  }
  // What takes least is asked first: most changes are noticed by many.
  const testsFor = (file: string) =>
    allTests
      .get(file)!
      .filter((test) => longest.has(test))
      .sort((a, b) => longest.get(a)! - longest.get(b)!);

  const reached = files.filter((file) => {
    const some = testsFor(file).length > 0;
    if (!some) console.log(`not broken, since no test loads it, if not as built: ${file}`);
    return some;
  });
  const listed = equivalents();
  const all = mutationsOf(root, PROJECTS, reached);
  for (const one of listed)
    if (reached.includes(one.file) && !all.some((mutation) => isEquivalent([one], mutation)))
      console.log(`listed, and possible no more: ${one.file}\n  - ${one.before}\n  + ${one.after}`);
  const possible = all.filter((one) => !isEquivalent(listed, one));
  const sample = sampleOf(possible, Number(values.most), random(Number(values.seed)));
  for (const one of sample.slice(0, 1))
    if (!(await isNoticed(first!, wholly(one, "throw new Error();"), testsFor(one.file), longest)))
      throw new Error(`a file that throws is not noticed, so nothing would be: ${one.file}`);

  let survived = 0;
  const waiting = [...sample];
  await Promise.all(
    runners.map(async (runner) => {
      for (let one = waiting.shift(); one; one = waiting.shift()) {
        if (await isNoticed(runner, one, testsFor(one.file), longest)) continue;
        survived++;
        console.log(`${one.file}:${one.line}\n  - ${one.before}\n  + ${one.after}`);
      }
      const last = sample.at(-1);
      // What is noticed must be the change.
      if (last && (await isNoticed(runner, unchanged(last), testsFor(last.file), longest)))
        throw new Error(`tests fail without a change too: ${last.file}`);
    }),
  );
  const killed = sample.length - survived;
  const share = sample.length === 0 ? 1 : killed / sample.length;
  console.log(
    `${killed} / ${sample.length} noticed (${(100 * share).toFixed(0)} %), of ${possible.length} changes`,
  );
  return share < LEAST_NOTICED ? 1 : 0;
}

async function isNoticed(
  runner: Runner,
  mutation: Mutation,
  tests: readonly string[],
  longest: ReadonlyMap<string, number>,
): Promise<boolean> {
  const file = join(root, mutation.file);
  const source = { file, text: mutate(readFileSync(file, "utf8"), mutation) };
  for (const test of tests) {
    const answer = await runner.ask({ source, test: join(root, test) }, longest.get(test)!);
    if (!answer?.passed) return true;
  }
  return false;
}

function unchanged(mutation: Mutation): Mutation {
  const text = readFileSync(join(root, mutation.file), "utf8").slice(mutation.start, mutation.end);
  return { ...mutation, text };
}

function wholly(mutation: Mutation, text: string): Mutation {
  return { ...mutation, start: 0, end: readFileSync(join(root, mutation.file), "utf8").length, text };
}

function sourcesIn(name: string): string[] {
  const path = name.replace(/\/$/, "");
  const names = statSync(join(root, path)).isDirectory()
    ? readdirSync(join(root, path))
        .sort()
        .map((one) => `${path}/${one}`)
    : [path];
  return names.filter((one) => /(?<!\.d)\.ts$/.test(one));
}

/** So many of them, in their own order. */
function sampleOf(all: readonly Mutation[], most: number, next: () => number): Mutation[] {
  const drawn = all.map((one, i) => ({ one, i, by: next() })).sort((a, b) => a.by - b.by);
  return drawn
    .slice(0, most)
    .sort((a, b) => a.i - b.i)
    .map(({ one }) => one);
}
