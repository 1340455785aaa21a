import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { WAYS } from "../logos/sent.ts";
import { type Tried, trials, tryOut } from "../logos/trial.ts";
import type { Row } from "./measure.ts";

/** What most customers send: how many of their colours a proposal finds, and how cleanly. */
export async function logoRows(): Promise<Row[]> {
  const folder = mkdtempSync(join(tmpdir(), "platewright-logos-"));
  try {
    const tried: Tried[] = [];
    for (const trial of trials()) {
      const one = await tryOut(trial, folder);
      tried.push(one);
      if (process.env.PLATEWRIGHT_LOGOS) console.log(line(one));
    }
    const noisy = tried.filter(({ way }) => way.startsWith("JPEG") || way === "scan");
    return [
      ...WAYS.map((way) => {
        const of = tried.filter((one) => one.way === way);
        return row(way, of, ["clear PNG", "white PNG", "SVG page"].includes(way));
      }),
      { ...row("JPEG and scans", noisy, false), target: "80 % complete", met: share(noisy) >= 0.8 },
      { ...row("all", tried, false), target: "85 % complete", met: share(tried) >= 0.85 },
      whites(tried),
    ];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function row(way: string, of: readonly Tried[], clean: boolean): Row {
  const scores = of.flatMap(({ score }) => score ?? []);
  const ious = scores.flatMap((score) => score.ious.map(({ iou }) => iou));
  const p95 = of.map(({ made }) => made?.proofs[0]?.p95 ?? Number.POSITIVE_INFINITY);
  const most = (values: readonly number[]) => Math.max(0, ...values);
  const spill = most(scores.map((score) => score.spill));
  const specks = most(scores.map((score) => score.specks));
  const seconds = most(of.map((one) => one.seconds));
  const inTime = seconds <= 3;
  return {
    what: `logos sent as ${way}: complete, mean and least IoU; most spill, specks, ΔE00 (95 %), processor time`,
    measured: `${of.filter(({ score }) => score?.complete).length} of ${of.length}, ${mean(ious).toFixed(3)} and ${Math.min(1, ...ious).toFixed(2)}; ${(100 * spill).toFixed(2)} %, ${specks}, ${most(p95).toFixed(1)}, ${seconds.toFixed(1)} s`,
    target: `spill 0.1 %, ${clean ? "10 specks, ΔE00 5" : "50 specks"}, 3 s`,
    met: inTime && spill < 0.001 && specks < (clean ? 10 : 50) && (!clean || most(p95) < 5),
  };
}

/** White of the drawing on a white page, where it prints. */
function whites(tried: readonly Tried[]): Row {
  const of = tried.filter(
    ({ logo, way, garment }) =>
      logo.colours.includes("#ffffff") && way !== "clear PNG" && garment === "black",
  );
  const kept = of.filter(
    ({ score }) =>
      score?.ious.some(({ colour, iou }) => colour === "#ffffff" && iou >= 0.8) && score.spill < 0.001,
  );
  return {
    what: "white inside of a drawing on a white page, on black: kept without spill",
    measured: `${kept.length} of ${of.length}`,
    target: "all",
    met: kept.length === of.length,
  };
}

function share(of: readonly Tried[]): number {
  return of.filter(({ score }) => score?.complete).length / of.length;
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / Math.max(1, values.length);
}

function line({ logo, way, pixels, garment, made, score, failed, seconds }: Tried): string {
  const head = `${score?.complete ? "ok " : "-- "} ${logo.name.slice(0, 24).padEnd(24)} ${way.padEnd(9)} ${String(pixels).padStart(4)} ${garment}`;
  if (!score || !made) return `${head} ${failed}`;
  const ious = score.ious.map(({ colour, iou, far }) => `${colour} ${iou.toFixed(2)} (${far.toFixed(1)})`);
  const { mean: average, p95 } = made.proofs[0]!;
  return `${head} ${made.kind} ${score.plates}/${score.wanted} ${ious.join(" ")} spill ${(100 * score.spill).toFixed(2)} specks ${score.specks} ΔE ${average.toFixed(1)} (${p95.toFixed(1)}) ${seconds.toFixed(1)} s`;
}
