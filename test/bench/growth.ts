import { readFileSync, writeFileSync } from "node:fs";
import { measureInProcess } from "./language.ts";
import { quantile, type Row, type Run, runProgram, times, typical } from "./measure.ts";
import { largeArtwork, recipeFor, work } from "./plates.ts";

/** A little more than linear is measuring noise. */
const LINEAR = 1.1;

/** How time and memory grow with pixels, plates and the recipe's length: exponents fitted to three sizes each. */
export async function growthRows(): Promise<Row[]> {
  // What the program takes to start is no growth.
  const start = runs("--version");
  const beyond = ({ seconds, megabytes }: Run) => ({
    seconds: seconds - start.seconds,
    megabytes: megabytes - start.megabytes,
  });
  const separated = (recipe: string) => beyond(runs("plates", recipe, "--out", `${work}/plates`, "--force"));

  const sizes: [number, Run][] = [];
  for (const smaller of [4, 2, 1]) {
    const name = smaller === 1 ? "drawn" : `drawn-${smaller}`;
    sizes.push([1 / smaller ** 2, separated(recipeFor(await largeArtwork(name, 0, smaller)))]);
  }
  const half = recipeFor(await largeArtwork("drawn-2", 0, 2));
  const counts = [10, 20, 40].map((count): [number, Run] => [count, separated(withPlates(half, count))]);
  const lengths: [number, number][] = [];
  for (const plates of [78, 178, 378, 778])
    lengths.push([plates * 5 + 110, quantile(await measureInProcess(plates), 0.5)]);
  return [
    ...grown("plates of a picture of 1.5, 6 and 24 Mpx: growth with pixels", sizes),
    ...grown("10, 20 and 40 plates of 6 Mpx: growth with plates", counts),
    row(
      `keystroke → findings on ${lengths.map(([lines]) => lines).join(", ")} lines (${lengths.map(([, ms]) => ms.toFixed(1)).join(", ")} ms): growth with length`,
      exponent(lengths),
    ),
  ];
}

function runs(...args: string[]): Run {
  return typical(times(3, () => runProgram(...args)));
}

function grown(what: string, points: readonly [number, Run][]): Row[] {
  const list = (of: (run: Run) => string) => points.map(([, run]) => of(run)).join(", ");
  return [
    row(
      `${what}, in time (${list(({ seconds }) => seconds.toFixed(2))} s)`,
      exponent(points.map(([n, run]) => [n, run.seconds])),
    ),
    row(
      `${what}, in memory (${list(({ megabytes }) => megabytes.toFixed(0))} MB)`,
      exponent(points.map(([n, run]) => [n, run.megabytes])),
    ),
  ];
}

function row(what: string, measured: number): Row {
  return {
    what,
    measured: `exponent ${measured.toFixed(2)}`,
    target: `≤ ${LINEAR}, linear`,
    met: measured <= LINEAR,
  };
}

/** The slope of the straight line that fits best, by least squares, in double logarithms. */
function exponent(points: readonly (readonly [number, number])[]): number {
  const logs = points.map(([x, y]) => [Math.log(x), Math.log(y)] as const);
  const mean = (of: (point: readonly [number, number]) => number) =>
    logs.reduce((sum, point) => sum + of(point), 0) / logs.length;
  const [mx, my] = [mean(([x]) => x), mean(([, y]) => y)];
  return mean(([x, y]) => (x - mx) * (y - my)) / mean(([x]) => (x - mx) ** 2);
}

/** The recipe with plates added until it has `count`, each with a range of its own. */
function withPlates(file: string, count: number): string {
  const text = readFileSync(file, "utf8");
  const more = Array.from(
    { length: count - 10 },
    (_, i) =>
      `  more-${i}: { ink: violet, extract: { hue: [${(i * 11) % 360}, ${(i * 11 + 30) % 360}], fade: 12 } }\n`,
  );
  const out = file.replace(".sep.yaml", `-${count}.sep.yaml`);
  writeFileSync(out, text.replace("adjust:\n", `${more.join("")}adjust:\n`));
  return out;
}
