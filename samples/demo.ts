/** The main job on the sample, as a user would run it. Run by `npm run demo`. */
import { spawnSync } from "node:child_process";
import { rmSync } from "node:fs";

const program = "dist/platewright.js";
const recipe = "samples/night-garden/night-garden.sep.yaml";
const out = "build/demo";

rmSync(out, { recursive: true, force: true });
run("check", "samples");
run("plates", recipe, "--out", `${out}/plates`);
for (const garment of ["black", "brick", "white"]) {
  run("proof", recipe, "--garment", garment, "--out", `${out}/on-${garment}.png`);
}
console.log(`\nThe proofs are in ${out}/, the plates in ${out}/plates/.`);

function run(...args: string[]): void {
  console.log(`\n$ platewright ${args.join(" ")}`);
  const { status } = spawnSync(process.execPath, [program, ...args], { stdio: "inherit" });
  if (status !== 0) process.exit(status ?? 2);
}
