import { type ChildProcess, spawn } from "node:child_process";
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { unpackVsix, VSIX } from "../client/package/vsix.ts";
import { until } from "../lsp/client.ts";
import { ENTRY, HOME, isInstalled, NODE } from "./installed.ts";

/** A running workbench with the packaged extension, told apart by its folder. */
export interface Workbench {
  readonly address: string;
  /** The unpacked extension. */
  readonly extension: string;
}

/** Nothing on the screen that is not what a test is about, and nothing that waits for a network. */
const SETTINGS = {
  "workbench.startupEditor": "none",
  "workbench.colorTheme": "Default Dark Modern",
  "workbench.enableExperiments": false,
  "workbench.tips.enabled": false,
  "workbench.secondarySideBar.defaultVisibility": "hidden",
  "workbench.layoutControl.enabled": false,
  "workbench.editor.enablePreview": false,
  "chat.disableAIFeatures": true,
  "extensions.ignoreRecommendations": true,
  "extensions.autoUpdate": false,
  "extensions.autoCheckUpdates": false,
  "editor.minimap.enabled": false,
  "files.autoSave": "off",
  "git.openRepositoryInParentFolders": "never",
  "security.workspace.trust.startupPrompt": "never",
  "security.workspace.trust.banner": "always",
};

/**
 * Starts a workbench on this machine alone, with a user of its own. `trust`: every folder is trusted, or each is opened in
 * restricted mode until the user trusts it. Throws where the workbench or the package is missing.
 */
export async function startWorkbench(
  trust: "all" | "ask",
): Promise<Workbench & { readonly close: () => Promise<void> }> {
  if (!isInstalled()) throw new Error(`there is no workbench in ${HOME}: run npm run install:editor`);
  if (!existsSync(VSIX)) throw new Error(`there is no ${VSIX}: run npm run package`);
  const folder = mkdtempSync(join(tmpdir(), "platewright-workbench-"));
  const extension = join(folder, "extensions/platewright.platewright");
  unpackVsix(extension);
  mkdirSync(join(folder, "user/User"), { recursive: true });
  mkdirSync(join(folder, "temporary"));
  writeFileSync(join(folder, "user/User/settings.json"), JSON.stringify(SETTINGS));
  writeFileSync(join(folder, "config.yaml"), "auth: none\n");

  const flags = ["--disable-telemetry", "--disable-update-check", "--disable-proxy", "--ignore-last-opened"];
  // What belongs to a window ends soon after it.
  flags.push("--reconnection-grace-time", "5");
  if (trust === "all") flags.push("--disable-workspace-trust");
  const child = spawn(
    NODE,
    [
      ...[ENTRY, "--config", join(folder, "config.yaml"), "--bind-addr", "127.0.0.1:0", ...flags],
      ...["--user-data-dir", join(folder, "user"), "--extensions-dir", join(folder, "extensions")],
    ],
    { cwd: folder, stdio: ["ignore", "pipe", "pipe"], env: usersEnvironment(join(folder, "temporary")) },
  );
  // Should this process be ended before it can close the workbench.
  process.once("exit", () => child.kill());
  let said = "";
  for (const stream of [child.stdout, child.stderr])
    stream.setEncoding("utf8").on("data", (text: string) => {
      said += text;
    });
  const address = await until(() => {
    if (child.exitCode !== null) throw new Error(`the workbench ended: ${said}`);
    return /HTTP server listening on (http:\/\/\S+?)\/?\s/.exec(said)?.[1];
  }, 60);
  return {
    address,
    extension,
    async close() {
      await ended(child);
      rmSync(folder, { recursive: true, force: true, maxRetries: 10, retryDelay: 100 });
    },
  };
}

/** Without what an editor around this run may have said to its terminal; sockets and the like go with the workbench. */
function usersEnvironment(temporary: string): NodeJS.ProcessEnv {
  const kept = Object.entries(process.env).filter(
    ([name]) => !/^(?:VSCODE_|ELECTRON_|NODE_OPTIONS$|VITEST|PORT$)/.test(name),
  );
  return { ...Object.fromEntries(kept), TMPDIR: temporary, XDG_RUNTIME_DIR: temporary };
}

async function ended(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null) return;
  const gone = new Promise((resolve) => child.once("exit", resolve));
  child.kill();
  await gone;
}

/** The extension's own processes that run one of its programs now. */
export function processesOf({ extension }: Workbench, program: string): number[] {
  return readdirSync("/proc")
    .map(Number)
    .filter(
      (pid) =>
        pid > 0 &&
        read(`/proc/${pid}/cmdline`)
          .split("\0")
          .includes(join(extension, "dist", program)),
    );
}

/** Native modules of Node that a process has loaded. */
export function nativeModulesOf(pid: number): string[] {
  return [...new Set(read(`/proc/${pid}/maps`).match(/\/\S+\.node$/gm) ?? [])];
}

function read(file: string): string {
  try {
    return readFileSync(file, "utf8");
  } catch {
    return ""; // That process has ended meanwhile.
  }
}
