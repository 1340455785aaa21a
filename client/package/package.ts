/**
 * Makes build/platewright.vsix, one extension for every platform: what belongs to it is laid out in build/extension,
 * and packed from there. Run by `npm run package`, after the bundles are built.
 */
import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { layOut } from "./lay-out.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));
const folder = `${root}build/extension`;

await layOut(root, folder);
const vsce = fileURLToPath(new URL("../../node_modules/@vscode/vsce/vsce", import.meta.url));
const { status } = spawnSync(
  process.execPath,
  // README has no links to files any more, and its pictures in the text.
  [
    vsce,
    "package",
    "--allow-missing-repository",
    "--no-rewrite-relative-links",
    "--out",
    `${root}build/platewright.vsix`,
  ],
  // The same input gives the same bytes: entries bear the first date that the archive's format knows.
  {
    cwd: folder,
    stdio: "inherit",
    env: { ...process.env, SOURCE_DATE_EPOCH: `${Date.UTC(1980, 0, 2) / 1000}` },
  },
);
process.exit(status ?? 1);
