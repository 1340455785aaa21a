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
// The same drawing with plates that are solved, for black shirts alone, at half the size.
const solved = "samples/night-garden/night-garden-solved.sep.yaml";
run("proof", solved, "--garment", "black", "--ppi", "150", "--out", `${out}/solved-on-black.png`);
// What the volunteers ordered; its films take a minute more without --no-films.
run("order", "samples/night-garden/night-garden.order.yaml", "--out", `${out}/order`, "--no-films");
console.log(`\nThe proofs are in ${out}/, the plates in ${out}/plates/.`);

function run(...args: string[]): void {
  console.log(`\n$ platewright ${args.join(" ")}`);
  const { status } = spawnSync(process.execPath, [program, ...args], { stdio: "inherit" });
  if (status !== 0) process.exit(status ?? 2);
}
