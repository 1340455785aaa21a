import type { TestProject } from "vitest/node";
import { startWorkbench, type Workbench } from "./workbench.ts";

declare module "vitest" {
  interface ProvidedContext {
    workbench: Workbench;
  }
}

/** One workbench for all test files, which trusts every folder. */
export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const { close, ...workbench } = await startWorkbench("all");
  project.provide("workbench", workbench);
  return close;
}
