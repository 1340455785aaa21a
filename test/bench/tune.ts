import { existsSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { specksOf } from "../../server/engine/inspect/specks.ts";
import type { Difference } from "../../server/engine/print/difference.ts";
import { disk } from "../../server/jobs/disk.ts";
import { canBePrinted, type Job, openJob, withText } from "../../server/jobs/open.ts";
import { tuneRecipe } from "../../server/jobs/tune.ts";
import { parseColour } from "../../server/language/values/colour.ts";
import { read } from "../../server/language/values/parsed.ts";
import { propose } from "../../server/propose/propose.ts";
import type { Print } from "../../server/render/print.ts";
import type { Row } from "./measure.ts";
import { PICTURES } from "./pictures.ts";

const SAMPLE = fileURLToPath(new URL("../../samples/night-garden/night-garden.sep.yaml", import.meta.url));
const PROPOSED = join(fileURLToPath(new URL("../../build", import.meta.url)), "bench.sep.yaml");
const MOST_SECONDS = 25;

/** What tuning brings: the sample on all pixels at 150 ppi, and what proposed ranges come to. */
export async function tuneRows(): Promise<Row[]> {
  const rows = [await tunedRow("the sample", await openJob(SAMPLE, disk), false)];
  for (const [name, file] of PICTURES.filter(([name]) => name.endsWith(", gradients"))) {
    if (!existsSync(file)) continue;
    const start = process.cpuUsage();
    const made = await propose({
      artworkFile: file,
      recipeFile: PROPOSED,
      shopFile: undefined,
      garments: [{ name: "black", colour: "#17171a", lab: read(parseColour("#17171a")).lab }],
      plates: 8,
      style: "ranges",
      widthMm: undefined,
      freeInks: false,
      files: disk,
      onProgress: () => {},
    });
    const { mean, p95 } = made.proofs[0]!;
    rows.push({
      what: `proposal in tuned ranges for ${name}, on black: ΔE00 mean (95 %), processor time`,
      measured: `${mean.toFixed(2)} (${p95.toFixed(1)}), ${secondsSince(start).toFixed(1)} s`,
      target: "none",
      met: true,
    });
    const roughened = await openJob(PROPOSED, withText(disk, PROPOSED, byHand(made.text)));
    rows.push(await tunedRow(`ranges by hand for ${name}`, roughened, true));
  }
  return rows;
}

/** A recipe as somebody begins it: whole tens for ranges, one fade for all, no curves of strength. */
function byHand(text: string): string {
  const tens = (list: string) =>
    list.replace(/\d+(?:\.\d+)?/g, (n) => String(10 * Math.round(Number(n) / 10)));
  return text
    .replace(
      /((?:hue|lightness|chroma): )(\[\d[^[\]]*\])/g,
      (_, key: string, list: string) => key + tens(list),
    )
    .replace(/fade: (?:\{[^}]*\}|\d+)/g, "fade: 20")
    .replace(/,? ?strength: \{(?:[^{}]|\{[^}]*\})*\}/g, "")
    .replace(/\n +strength: .*/g, "");
}

async function tunedRow(subject: string, job: Job, strengths: boolean): Promise<Row> {
  if (!canBePrinted(job)) throw new Error(`${subject} cannot be printed`);
  const start = process.cpuUsage();
  const tuned = await tuneRecipe({ job, seconds: 20, numbers: 40, strengths });
  const seconds = secondsSince(start);
  const what = `${subject}, tuned: ΔE00 mean (95 %) on all pixels at 150 ppi, specks of all plates, processor time`;
  const target = `no worse, ${MOST_SECONDS} s`;
  const met = seconds <= MOST_SECONDS;
  if ("untouched" in tuned)
    return { what, measured: `left as it is: ${tuned.untouched}; ${seconds.toFixed(1)} s`, target, met };
  const figures = tuned.review.figures!;
  const figure = ({ mean, p95 }: Difference) => `${mean.toFixed(2)} (${p95.toFixed(1)})`;
  const nearer = figures.garments.map(
    ({ garment, before, after }) => `${garment} ${figure(before!)} → ${figure(after!)}`,
  );
  const { before, after } = figures.prints;
  const measured = `${nearer.join(", ")}; specks ${specksOfAll(before)} → ${specksOfAll(after)}; ${tuned.numbers} numbers, ${seconds.toFixed(1)} s`;
  return { what, measured, target, met };
}

/** Pieces under 1 mm² of all plates. */
function specksOfAll(print: Print): number {
  const most = 1 / print.pixelMm ** 2;
  return [...print.plates.values()].reduce((sum, { tones }) => sum + specksOf(tones, print.picture, most), 0);
}

/** Of the processor, since others may be at work on the machine. */
function secondsSince(start: NodeJS.CpuUsage): number {
  const { user, system } = process.cpuUsage(start);
  return (user + system) / 1e6;
}
