import { fileURLToPath } from "node:url";
import { configDefaults, defineConfig } from "vitest/config";

export default defineConfig({
  // The module form of sharp needs Node 20.10 (server/artwork/load-sharp.ts).
  resolve: {
    alias: { sharp: fileURLToPath(new URL("../node_modules/sharp/dist/index.cjs", import.meta.url)) },
  },
  test: {
    root: fileURLToPath(new URL("..", import.meta.url)),
    include: ["test/**/*.test.ts"],
    // Those drive an editor that has to be installed: npm run test:editor.
    exclude: [...configDefaults.exclude, "test/editor/**"],
    ...(process.env.PLATEWRIGHT_RULE_OFF ? { setupFiles: ["test/rules/switch-off.ts"] } : {}),
    // Child processes and full-size pictures on a busy two-core machine.
    testTimeout: 120_000,
    hookTimeout: 120_000,
    maxWorkers: 2,
  },
});
