/**
 * Installs the workbench for `npm run test:editor`, once for all: 750 MB, some minutes. Its native parts are compiled, which
 * takes a compiler and, on Debian, libkrb5-dev, libsecret-1-dev, libx11-dev and libxkbfile-dev. Run by
 * `npm run install:editor`.
 */
import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, rmSync, writeFileSync } from "node:fs";
import { delimiter, dirname, join } from "node:path";
import { HOME, isInstalled, MARK, NODE, PINNED } from "./installed.ts";

if (isInstalled()) {
  console.log(`The workbench is in ${HOME}.`);
  process.exit(0);
}
console.log(`Installing the workbench in ${HOME}: this takes some minutes.`);
rmSync(HOME, { recursive: true, force: true });
mkdirSync(HOME, { recursive: true });
// The workbench is installed by the Node that it runs on.
const { node } = PINNED;
install({ node });
install(PINNED, { PATH: `${dirname(NODE)}${delimiter}${process.env.PATH}` });
writeFileSync(MARK, JSON.stringify(PINNED));

function install(dependencies: Readonly<Record<string, string>>, env: NodeJS.ProcessEnv = {}): void {
  const allowScripts = Object.fromEntries(Object.keys(PINNED).map((name) => [name, true]));
  writeFileSync(join(HOME, "package.json"), JSON.stringify({ private: true, allowScripts, dependencies }));
  const { status, stdout, stderr } = spawnSync("npm", ["install", "--no-audit", "--no-fund"], {
    cwd: HOME,
    encoding: "utf8",
    maxBuffer: 1 << 28,
    env: { ...ownEnvironment(), ...headers(), npm_config_unsafe_perm: "true", ...env },
  });
  if (status === 0) return;
  process.stderr.write(`${stdout}${stderr}`);
  console.error(
    `\n${Object.keys(dependencies).join(", ")} cannot be installed in ${HOME}: see above. It takes a network, a compiler ` +
      "and the libraries that .ci/run installs.",
  );
  process.exit(1);
}

/** Without what the npm that runs this script says of itself, which another npm would take for its own. */
function ownEnvironment(): NodeJS.ProcessEnv {
  const said =
    /^npm_(?:config_(?:user_agent|local_prefix|global_prefix)$|node_execpath$|execpath$|package_|lifecycle_)/;
  return Object.fromEntries(Object.entries(process.env).filter(([name]) => !said.test(name)));
}

/** Headers for the native parts, where this Node came with some: else they would be downloaded. */
function headers(): NodeJS.ProcessEnv {
  const prefix = dirname(dirname(process.execPath));
  const here = existsSync(join(prefix, "include/node/node.h"));
  return here && !process.env.npm_config_nodedir ? { npm_config_nodedir: prefix } : {};
}
