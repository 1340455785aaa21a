import { spawn, spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import {
  chmodSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { artPng, PROGRAM, RECIPE } from "../cli/program.ts";
import { random } from "../property.ts";

export const hasStrace = spawnSync("strace", ["-V"]).status === 0;

/** What came of all commands over generated trees. None is wanted but `commands`. */
export interface TreesOutcome {
  readonly commands: number;
  readonly losses: readonly string[];
}

const SECRET = "ghs_0123456789abcdef";
const STOP = "x\n::stop-commands::t\n##[add-mask]y\u001b]0;z\u0007\u009b2J";

/** A stranger's tree beside files that are not the stranger's, all commands run in it. */
export async function hostileTrees(trees: number, seed: number): Promise<TreesOutcome> {
  const next = random(seed);
  const losses: string[] = [];
  let commands = 0;
  for (let i = 0; i < trees; i++) {
    const top = mkdtempSync(join(tmpdir(), "platewright-tree-"));
    try {
      const tree = join(top, "tree");
      const recipes = await plant(top, tree, next);
      const before = snapshot(top, tree);
      for (const args of commandsOn(recipes, next)) {
        commands++;
        const said = (what: string) => losses.push(`tree ${i}, ${JSON.stringify(args)}: ${what}`);
        const { out, err, status, started, calls } = await run(top, tree, args);
        if (status === null) said("it did not end");
        for (const line of [...out.split("\n"), ...err.split("\n")])
          if (/^\s*::(?!(?:error|warning|notice) file=)|##\[/.test(line))
            said(`printed ${JSON.stringify(line)}`);
        // biome-ignore lint/suspicious/noControlCharactersInRegex: what is looked for.
        if (/[\u0000-\u0008\u000b-\u001f\u007f-\u009f]/.test(out + err)) said("printed a control character");
        if ((out + err).includes(SECRET)) said("told a secret");
        for (const program of started) said(`started ${program}`);
        for (const call of calls) said(`called ${call}`);
        const after = snapshot(top, tree);
        for (const [name, state] of Object.entries({ ...before, ...after }))
          if (before[name] !== after[name]) said(`changed ${name}: ${before[name]} → ${state}`);
      }
    } finally {
      rmSync(top, { recursive: true, force: true });
    }
  }
  return { commands, losses };
}

/** Puts the tree, and what lies around it; gives the names of its recipes. */
async function plant(top: string, tree: string, next: () => number): Promise<string[]> {
  const put = (name: string, content: string | Uint8Array, mode = 0o644) => {
    const file = join(tree, name);
    mkdirSync(dirname(file), { recursive: true });
    writeFileSync(file, content);
    chmodSync(file, mode);
  };
  const pick = <T>(list: readonly T[]): T => list[Math.floor(next() * list.length)]!;
  mkdirSync(join(top, "home", ".ssh"), { recursive: true });
  writeFileSync(join(top, "home", ".ssh", "id"), SECRET);
  writeFileSync(join(top, "mine.shop.yaml"), `shop: 1 # ${SECRET}\ninks: { ${SECRET}: 1 }\n`);
  writeFileSync(join(top, "mine.png"), await artPng());
  writeFileSync(join(top, "mine.txt"), `BEGIN_DATA_FORMAT\n${SECRET}\n`);
  const command = join(top, "command");
  writeFileSync(command, `#!/bin/sh\necho ran >> '${join(top, "ran")}'\n`);
  chmodSync(command, 0o755);

  put("art.png", await artPng());
  put(".env", `TOKEN=${SECRET}\n`);
  put("git", readFileSync(command), 0o755);
  put("node", readFileSync(command), 0o755);
  symlinkSync("/dev/zero", join(tree, "endless"));
  symlinkSync(join(top, "mine.png"), join(tree, "linked.png"));
  symlinkSync(join(top, "mine.shop.yaml"), join(tree, "linked.shop.yaml"));
  spawnSync("mkfifo", [join(tree, "pipe")]);
  // A repository with commands in its settings, in full or bare among the files.
  spawnSync("git", ["init", "-q", "-b", "main", tree]);
  const who = ["-c", "user.name=A", "-c", "user.email=a@example.org", "-C", tree];
  spawnSync("git", [...who, "add", "art.png"]);
  const config = `[core]\n\trepositoryformatversion = 1\n\tsshCommand = ${command}\n\tfsmonitor = ${command}\n\thooksPath = ${top}\n\tpager = ${command}\n[remote "origin"]\n\turl = ${pick([`ext::${command}`, "ssh://x.invalid/x", "http://127.0.0.1:9/x"])}\n\tpromisor = true\n\tpartialclonefilter = blob:none\n\tuploadpack = ${command}\n[extensions]\n\tpartialClone = origin\n[http]\n\textraheader = AUTHORIZATION: ${SECRET}\n`;
  const paths = [
    ".git/config",
    ".env",
    "endless",
    "pipe",
    "../mine.shop.yaml",
    "../mine.txt",
    "../mine.png",
    "linked.png",
    "linked.shop.yaml",
    join(top, "mine.shop.yaml"),
    "file:///etc/passwd",
    "command:x",
    "//127.0.0.1/x",
    "https://127.0.0.1:9/x",
    "/proc/self/environ",
    STOP,
    "..",
    "art.png",
  ];
  const quoted = () => JSON.stringify(pick(paths)).replace(/\u009b/g, "\\x9b");
  const recipes = ["a.sep.yaml", "jobs/b.sep.yaml", `${STOP}.sep.yaml`];
  for (const name of recipes) {
    const up = name.includes("/") ? "../" : "";
    let text = RECIPE.replace("file: art.png", `file: ${next() < 0.5 ? `${up}art.png` : quoted()}`);
    if (next() < 0.6) text += `shop: ${quoted()}\n`;
    if (next() < 0.4) text += `screening: { wedge: { file: ${quoted()}, tone: T } }\n`;
    if (next() < 0.3) text = text.replace("Two halves", JSON.stringify(STOP).replace(/\u009b/g, "\\x9b"));
    if (next() < 0.2) text += `::stop-commands::t\n${STOP}: [\n`;
    put(name, text);
  }
  put(
    "a.order.yaml",
    `order: 1\nshop: ${quoted()}\nprints: { front: { recipe: ${next() < 0.5 ? "a.sep.yaml" : quoted()}, place: front } }\nlines: [{ garment: black, sizes: { M: 1 }, prints: [front] }]\n`,
  );
  spawnSync("git", [...who, "add", "."]);
  spawnSync("git", [...who, "commit", "-q", "-m", "x"]);
  writeFileSync(join(tree, ".git", "config"), config);
  // A ledger and a manifest that call the user's files their own.
  const digest = createHash("sha256")
    .update(await artPng())
    .digest("hex");
  mkdirSync(join(tree, "made"));
  for (const name of ["base.png", "old.png"]) put(`made/${name}`, await artPng());
  put(
    "made/.platewright-made.json",
    JSON.stringify({ folder: "0".repeat(16), files: { "base.png": digest, "old.png": digest } }),
  );
  put("made/manifest.json", JSON.stringify({ plates: [{ file: "old.png" }, { file: "../art.png" }] }));
  return recipes;
}

function commandsOn(recipes: readonly string[], next: () => number): string[][] {
  const recipe = recipes[Math.floor(next() * recipes.length)]!;
  const format = ["text", "json", "sarif", "github"][Math.floor(next() * 4)]!;
  return [
    ["check", ".", "--format", format, "--within", "."],
    ["check", recipe, "--full", "--within", "."],
    ["words", recipe, "--within", "."],
    ["plates", recipe, "--out", "made", "--within", "."],
    ["proof", recipe, "--garment", "black", "--out", "made/proof.png", "--within", "."],
    ["films", recipe, "--setup", "dark", "--out", "out", "--ppi", "40", "--within", "."],
    ["ticket", recipe, "--setup", "dark", "--out", "out/t.html", "--within", "."],
    ["review", `HEAD:${recipe}`, recipe, "--within", "."],
    ["order", "a.order.yaml", "--out", "out", "--no-films", "--within", "."],
    ["run", recipe, "--setup", "dark", "--printed", "1", "--within", "."],
    ["propose", "linked.png", "--out", "out/p.sep.yaml", "--within", "."],
  ];
}

/** One command, its processes and calls of the network written down where strace is there. */
async function run(top: string, tree: string, args: readonly string[]) {
  const log = join(tmpdir(), `platewright-trace-${process.pid}`);
  const traced = [
    "-f",
    "-qq",
    "-e",
    "trace=execve,connect,sendto",
    "-e",
    "signal=none",
    "-o",
    log,
    process.execPath,
  ];
  const [program, before] = hasStrace ? ["strace", traced] : [process.execPath, []];
  const child = spawn(program, [...before, PROGRAM, ...args], {
    cwd: tree,
    env: { ...process.env, HOME: join(top, "home"), PATH: `.:${tree}:${process.env.PATH}` },
    stdio: ["ignore", "pipe", "pipe"],
    timeout: 120_000,
    killSignal: "SIGKILL",
  });
  let [out, err] = ["", ""];
  child.stdout.setEncoding("utf8").on("data", (text: string) => {
    out += text;
  });
  child.stderr.setEncoding("utf8").on("data", (text: string) => {
    err += text;
  });
  const status = await new Promise<number | null>((done) => child.on("close", done));
  const trace = hasStrace ? readFileSync(log, "utf8") : "";
  if (hasStrace) rmSync(log);
  const started = [...trace.matchAll(/execve\("([^"]*)".*\) = 0/g)]
    .map(([, file = ""]) => file)
    .filter(
      (file) =>
        file !== process.execPath &&
        !/^\/(?:usr\/)?(?:local\/)?(?:bin|lib\/git-core|libexec\/git-core)\/git$/.test(file),
    );
  const calls = trace.split("\n").filter((line) => /AF_INET|sin_port/.test(line));
  return { out, err, status, started, calls };
}

/** All that lies around the tree, and what in it is the stranger's or the user's rather than made: name to state. */
function snapshot(top: string, tree: string): Record<string, string> {
  const found: Record<string, string> = {};
  const visit = (folder: string) => {
    for (const name of readdirSync(folder)) {
      const file = join(folder, name);
      const info = lstatSync(file);
      const shown = file.slice(top.length);
      if (info.isSymbolicLink()) found[shown] = `→ ${readlinkSync(file)}`;
      else if (info.isDirectory()) {
        if (file !== join(tree, "out")) visit(file);
      } else if (info.isFile()) found[shown] = createHash("sha256").update(readFileSync(file)).digest("hex");
    }
  };
  visit(top);
  for (const made of ["proof.png", ".platewright-made.json"]) delete found[`/tree/made/${made}`];
  // What `run` is asked to write.
  for (const name of Object.keys(found)) if (name.endsWith(".runs.yaml")) delete found[name];
  return found;
}
