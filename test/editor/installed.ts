import { existsSync, readFileSync } from "node:fs";
import { homedir } from "node:os";
import { join } from "node:path";

/** The workbench that the tests drive, and the Node that it runs on. */
export const PINNED = { "code-server": "4.139.1", node: "24.21.0" } as const;

/** Where it is installed: outside of the project's folder, since it is large and the same for all of its copies. */
export const HOME =
  process.env.PLATEWRIGHT_WORKBENCH ??
  join(process.env.XDG_CACHE_HOME ?? join(homedir(), ".cache"), "platewright-workbench");

/** Written last, with the versions that are there. */
export const MARK = join(HOME, "installed.json");

export const NODE = join(HOME, "node_modules/node/bin/node");
export const ENTRY = join(HOME, "node_modules/code-server/out/node/entry.js");

export function isInstalled(): boolean {
  return existsSync(MARK) && readFileSync(MARK, "utf8") === JSON.stringify(PINNED);
}
