import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    root: new URL("..", import.meta.url).pathname,
    include: ["test/**/*.test.ts"],
    // Child processes and full-size pictures on a busy two-core machine.
    testTimeout: 60_000,
    maxWorkers: 2,
  },
});
