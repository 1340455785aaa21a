/**
 * A process that runs tests with a source file replaced in memory, one question after the other. Nothing is written:
 * the file on disk stays as it is, whatever happens.
 */
import { createVitest } from "vitest/node";
import config from "../vitest.config.ts";

export interface Question {
  /** Absolute, with the text to take in its place. */
  readonly source: { readonly file: string; readonly text: string } | undefined;
  /** One test file, absolute. */
  readonly test: string;
}

export interface Answer {
  readonly passed: boolean;
  /** Milliseconds. */
  readonly took: number;
}

let source: Question["source"];
const mutant = {
  name: "mutant",
  enforce: "pre",
  load: (id: string) => (source && id.split("?")[0] === source.file ? source.text : undefined),
} as const;
const quiet = {};
const vitest = await createVitest("test", {
  config: "test/vitest.config.ts",
  // A project has no plugins but its own.
  projects: config.test!.projects!.map((one) => ({ ...(one as object), plugins: [mutant] })),
  watch: false,
  bail: 1,
  maxWorkers: 1,
  reporters: [quiet],
  silent: true,
});
await vitest.standalone();

process.on("message", async (question: Question) => {
  const begun = performance.now();
  for (const changed of [source, question.source]) if (changed) vitest.invalidateFile(changed.file);
  source = question.source;
  const specifications = await vitest.globTestSpecifications([question.test]);
  const { testModules, unhandledErrors } = await vitest.runTestSpecifications(specifications, false);
  // What earlier runs found is told again.
  const own = testModules.filter(({ moduleId }) => moduleId === question.test);
  const passed = own.length > 0 && unhandledErrors.length === 0 && own.every((one) => one.ok());
  process.send?.({ passed, took: performance.now() - begun } satisfies Answer);
});
process.on("disconnect", () => process.exit());
process.send?.("ready");
