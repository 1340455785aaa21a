import { execFileSync, spawnSync } from "node:child_process";

/** Whether a program from outside of npm can be run here. */
export function has(...programs: readonly string[]): boolean {
  return programs.every((program) => spawnSync(program, ["--version"]).error === undefined);
}

export function run(program: string, args: readonly string[], cwd: string): string {
  return execFileSync(program, args, { cwd, encoding: "utf8", stdio: ["ignore", "pipe", "pipe"] });
}
