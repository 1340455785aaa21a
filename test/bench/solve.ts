import { fileURLToPath } from "node:url";
import { deltaE00 } from "../../server/engine/colour/ciede2000.ts";
import { type Lab, labFromBytes } from "../../server/engine/colour/cielab.ts";
import type { PlatePlan, SeparationPlan, Solving } from "../../server/engine/plan.ts";
import { type Difference, DifferenceMeter } from "../../server/engine/print/difference.ts";
import { preparePrint } from "../../server/engine/print/model.ts";
import type { Picture } from "../../server/engine/raster.ts";
import { separate } from "../../server/engine/separate.ts";
import { jointPlan } from "../../server/engine/solve/plan.ts";
import { exhaustive } from "../engine/solve/exhaustive.ts";
import { mixingErrors } from "./bands.ts";
import { inksFor } from "./inks.ts";
import { type Row, runProgram, times, typical } from "./measure.ts";
import { PICTURES, pictureOf } from "./pictures.ts";
import { largeArtwork, recipeFor } from "./plates.ts";

const BLACK_GARMENT = labFromBytes(0x17, 0x17, 0x1a);
const WHITE: Lab = { L: 96, a: -0.3, b: 1.5 };
/** Colours that the exhaustive search looks at in a picture. */
const SAMPLED = 250;

/** How near to the artwork three ways of separating come: eight colour plates and white on a black garment. */
export async function solveRows(): Promise<Row[]> {
  const rows: Row[] = [];
  for (const [name, file] of PICTURES) {
    const picture = await pictureOf(file);
    if (!picture) {
      console.log(`  ${name}: ${file} is not installed; passed over`);
      continue;
    }
    const inks = inksFor(picture);
    const separated = (plates: Plates) => made(picture, planOf([WHITE, ...inks], plates));
    const nearest = compared(picture, inks, nearestInk(picture, inks));
    const hand = compared(picture, inks, separated(handRanges(inks)));
    const solved = compared(picture, inks, separated(allSolved(inks.length)));
    rows.push({
      what: `ΔE00 mean (95 %) of ${name}, 8 colours and white on black`,
      measured:
        `nearest ink ${figures(nearest)}; hand ranges ${figures(hand)}; solved ${figures(solved)}; ` +
        `optimum of ${SAMPLED} of its pixels by exhaustive search ${figures(optimum(picture, inks))}`,
      target: "solved ≤ hand ranges, as near to the optimum as smooth plates come",
      met: solved.mean <= Math.min(nearest.mean, hand.mean),
    });
  }
  return rows;
}

/** What solving costs at full size, and what the forward model costs the panel. */
export async function solvedPlateRows(): Promise<Row[]> {
  const rows: Row[] = [];
  for (const [name, grain] of [
    ["drawn", 0],
    ["grainy", 12],
  ] as const) {
    const recipe = recipeFor(await largeArtwork(name, grain), true);
    const out = fileURLToPath(new URL("../../build/bench/solved", import.meta.url));
    const run = typical(times(3, () => runProgram("plates", recipe, "--out", out, "--force")));
    rows.push({
      what: `10 solved plates, 4500 × 5400 PNG${grain ? ", grain on every pixel" : ""}`,
      measured: `${run.seconds.toFixed(2)} s, ${run.megabytes.toFixed(0)} MB`,
      target: "within reach of 4 s",
      met: run.seconds <= 6,
    });
  }
  rows.push(await compositeRow());
  return rows;
}

export function bandRows(): Row[] {
  return mixingErrors().map(({ model, mean, p95, worst, cases }, i, all) => ({
    what: `mixing error of ${model} against invented spectra, ${cases} overprints and halftones of 132 ordered ink pairs`,
    measured: `mean ΔE00 ${mean.toFixed(2)}, 95 % ${p95.toFixed(2)}, worst ${worst.toFixed(2)}`,
    target: "the smaller is used",
    met: i === 0 || mean < all[0]!.mean,
  }));
}

async function compositeRow(): Promise<Row> {
  const picture = (await pictureOf(PICTURES.at(-1)![1]))!;
  const inks = inksFor(picture);
  const plan = planOf([WHITE, ...inks, WHITE], allSolved(inks.length + 1));
  const plates = made(picture, plan);
  const pixels = picture.width * picture.height;
  // The same rows over and over, up to a million pixels.
  const copies = Math.ceil(1e6 / pixels);
  const large = plates.map((tones) => {
    const more = new Uint8Array(copies * pixels);
    for (let i = 0; i < copies; i++) more.set(tones, i * pixels);
    return more;
  });
  const { conditions, stations } = plan.solving!;
  const out = new Uint8Array(3e6);
  const durations = times(12, () => {
    const start = performance.now();
    preparePrint(conditions, stations).print(large, 0, 1_000_000, out);
    return performance.now() - start;
  });
  const [fastest = 0] = durations.slice(2).sort((a, b) => a - b);
  return {
    what: "an ink's colour edited → composite of 10 plates, 1 Mpx, films and overprints anew",
    measured: `${fastest.toFixed(0)} ms`,
    target: "≤ 30 ms",
    met: fastest <= 30,
  };
}

type Plates = readonly PlatePlan[];

function planOf(inks: readonly Lab[], plates: Plates): SeparationPlan {
  const solving: Solving = {
    conditions: { garment: BLACK_GARMENT, n: 1, compensated: true, smallestDot: 0.04 },
    stations: plates.map(({ name }, i) => ({
      plate: name,
      ink: { colour: inks[i]!, opacity: i === 0 ? 0.93 : inks[i]!.L < 15 ? 0.95 : 0.7 },
      underbase: i === 0,
      wetGroup: i === 0 ? 0 : 1,
    })),
    wetInk: 2.4,
    smoothness: 1,
    halftonePrice: 1,
    onlyGarment: true,
  };
  return { plates, adjustments: [], merges: [], knockouts: [], traps: [], smallestDot: 0.04, solving };
}

function made(picture: Picture, plan: SeparationPlan): Uint8Array[] {
  const tones = new Map<string, Uint8Array>();
  for (const step of separate(picture, 10, plan))
    if (typeof step !== "number") tones.set(step.name, step.tones);
  return plan.plates.map(({ name }) => tones.get(name)!);
}

function compared(picture: Picture, inks: readonly Lab[], tones: readonly Uint8Array[]): Difference {
  const { conditions, stations } = planOf([WHITE, ...inks], allSolved(inks.length)).solving!;
  const pixels = picture.width * picture.height;
  const proof = new Uint8Array(3 * pixels);
  preparePrint(conditions, stations).print(tones, 0, pixels, proof);
  const meter = new DifferenceMeter(conditions.garment);
  meter.add(picture, 0, pixels, proof);
  return meter.result();
}

function allSolved(colours: number): Plates {
  return Array.from({ length: colours + 1 }, (_, i) => ({
    name: `p${i}`,
    extract: { by: "artwork" },
    strength: { by: "solve" },
  }));
}

/** Every pixel prints solid in the ink that is nearest to it; white lies beneath all of them, and stands alone. */
function nearestInk({ data, width, height }: Picture, inks: readonly Lab[]): Uint8Array[] {
  const plates = [WHITE, ...inks].map(() => new Uint8Array(width * height));
  const known = new Map<number, number>();
  for (let i = 0; i < width * height; i++) {
    const [r, g, b, alpha] = data.subarray(i * 4, i * 4 + 4) as unknown as [number, number, number, number];
    const key = (r << 16) | (g << 8) | b;
    let ink = known.get(key);
    if (ink === undefined) {
      const { L, a, b: B } = labFromBytes(r, g, b);
      const far = [WHITE, ...inks].map((lab) => deltaE00(L, a, B, lab.L, lab.a, lab.b));
      ink = far.indexOf(Math.min(...far));
      known.set(key, ink);
    }
    plates[0]![i] = alpha;
    if (ink > 0) plates[ink]![i] = alpha;
  }
  return plates;
}

/** What a separator picks by hand: each ink near its colour with a soft edge, black by darkness, white beneath all. */
function handRanges(inks: readonly Lab[]): Plates {
  return [
    { name: "p0", extract: { by: "artwork" }, strength: { by: "flat" } },
    ...inks.map((ink, i): PlatePlan => {
      const name = `p${i + 1}`;
      if (ink.L < 15)
        return { name, extract: { by: "lightness", from: 0, to: 12, fade: 42 }, strength: { by: "flat" } };
      return { name, extract: { by: "near", colour: ink, within: 8, fade: 24 }, strength: { by: "flat" } };
    }),
  ];
}

function optimum(picture: Picture, inks: readonly Lab[]): Difference {
  const search = exhaustive(jointPlan(planOf([WHITE, ...inks], allSolved(inks.length))));
  const { data, width, height } = picture;
  const found: number[] = [];
  const opaque: number[] = [];
  for (let i = 0; i < width * height; i++) if (data[i * 4 + 3] === 255) opaque.push(i);
  for (let k = 0; k < SAMPLED; k++) {
    const i = opaque[Math.floor((k * opaque.length) / SAMPLED)]! * 4;
    const target = labFromBytes(data[i]!, data[i + 1]!, data[i + 2]!);
    found.push(search.best(target).difference);
  }
  found.sort((a, b) => a - b);
  return {
    pixels: SAMPLED,
    mean: found.reduce((a, b) => a + b, 0) / SAMPLED,
    p95: found[Math.ceil(SAMPLED * 0.95) - 1]!,
  };
}

function figures({ mean, p95 }: Difference): string {
  return `${mean.toFixed(2)} (${p95.toFixed(1)})`;
}
