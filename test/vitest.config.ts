import { fileURLToPath } from "node:url";
import { configDefaults, defineConfig } from "vitest/config";

/** They replace modules by their own: others must not meet those. */
const ISOLATED = [
  "test/artwork/faults.test.ts",
  "test/client/panel/pixels/band-work.test.ts",
  "test/output/staging.test.ts",
];

export default defineConfig({
  // The module form of sharp needs Node 20.10 (server/artwork/load-sharp.ts).
  resolve: {
    alias: { sharp: fileURLToPath(new URL("../node_modules/sharp/dist/index.cjs", import.meta.url)) },
  },
  test: {
    root: fileURLToPath(new URL("..", import.meta.url)),
    // Starting each file in a process of its own would take longer than the tests.
    projects: [
      {
        extends: true,
        test: {
          name: "together",
          isolate: false,
          include: ["test/**/*.test.ts"],
          // Those in test/editor drive an editor that has to be installed: npm run test:editor.
          exclude: [...configDefaults.exclude, "test/editor/**", ...ISOLATED],
        },
      },
      { extends: true, test: { name: "isolated", include: ISOLATED } },
    ],
    ...(process.env.PLATEWRIGHT_RULE_OFF ? { setupFiles: ["test/rules/switch-off.ts"] } : {}),
    // Child processes and full-size pictures on a busy two-core machine.
    testTimeout: 120_000,
    hookTimeout: 120_000,
    maxWorkers: 2,
  },
});
