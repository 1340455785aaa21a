import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

/** The packaged extension in a workbench: one workbench for all tests, a window and a folder for each. */
export default defineConfig({
  test: {
    root: fileURLToPath(new URL("../..", import.meta.url)),
    include: ["test/editor/*.test.ts"],
    globalSetup: "test/editor/global-setup.ts",
    testTimeout: 300_000,
    hookTimeout: 120_000,
    fileParallelism: false,
  },
});
