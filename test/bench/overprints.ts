import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { deltaE00 } from "../../server/engine/colour/ciede2000.ts";
import { type LinearRgb, labFromLinear, linearFromLab } from "../../server/engine/colour/cielab.ts";
import { LINEAR_OF_BYTE } from "../../server/engine/colour/srgb.ts";
import { preparePrint } from "../../server/engine/print/model.ts";
import { MM_PER_INCH } from "../../server/engine/units.ts";
import { disk } from "../../server/jobs/disk.ts";
import { openProject } from "../../server/language/project.ts";
import type { Recipe } from "../../server/language/recipe.ts";
import { resolveRecipe } from "../../server/language/resolve-recipe.ts";
import { misregistrationOf, printConditions, printStations } from "../../server/render/plan/print-plan.ts";
import { type Print, previewPrint } from "../../server/render/print.ts";
import { StageCache } from "../../server/render/stage-cache.ts";
import { colourOfShares, draws, filmWindow, overprintShares } from "../engine/print/rasterised.ts";
import { random } from "../property.ts";
import type { Row } from "./measure.ts";

/** How near three pictures of one job come to one another, ΔE00: mean, and what 95 % of the places keep within. */
export interface Truth {
  readonly proofToArtwork: Figures;
  readonly filmsToArtwork: Figures;
  readonly proofToFilms: Figures;
  /** Halftones a pixel, and share of the pixels that have three or more, where anything prints. */
  readonly halftones: number;
  readonly three: number;
  readonly seconds: number;
}
type Figures = readonly [mean: number, p95: number];

/** Inches along a place, eight cells at 45 lpi, and film pixels that plates may lie off. */
const PLACE = 0.18;
const ROOM = 40;
const PRINTS = 60;

export async function recipeOfFile(file: string): Promise<{ recipe: Recipe; artworkFile: string }> {
  const { main, shop, readings, findings } = await openProject(file, disk);
  const error = findings.find(({ level }) => level === "error");
  if (error) throw new Error(error.message);
  const recipe = resolveRecipe(main, shop, readings);
  return { recipe, artworkFile: disk.resolve(file, recipe.artwork.file) };
}

/** The same job, counted on as if dots of any two plates fell independently of one another. */
export function independently(recipe: Recipe): Recipe {
  const press = recipe.press ?? {
    stations: 99,
    flashes: 9,
    areaMm: undefined,
    screenMm: undefined,
    wetLayers: 9,
    darkPlate: "first" as const,
  };
  return { ...recipe, press: { ...press, misregistrationMm: 100 } };
}

/** The job's first setup on its first garment, at `places` of the print, each about eight cells of 45 lpi wide. */
export async function truthOf(
  counted: Recipe,
  real: Recipe,
  artworkFile: string,
  places: number,
): Promise<Truth> {
  const start = performance.now();
  const print = await previewPrint(counted, { file: artworkFile }, new StageCache(1e9));
  const seconds = (performance.now() - start) / 1000;
  const [setupName, setup] = [...counted.setups][0]!;
  const garment = setup.garments[0]!;
  const proof = print.proof(garment, setupName);
  const conditions = printConditions(real, setup, garment);
  const stations = printStations(real, setup);
  const { areas } = preparePrint(conditions, stations);
  const dpi = real.screening.filmDpi;
  const size = (mm: number) => Math.round((mm * dpi) / MM_PER_INCH);
  const film = { dpi, width: size(real.artwork.widthMm), height: size(print.artwork.info.heightMm) };
  const { width, height, data } = print.picture;
  const next = random(17);
  const scale = film.width / width;
  const pixels = Math.round((PLACE * dpi) / scale);
  const side = Math.round(pixels * scale);
  const edge = Math.ceil(ROOM / scale) + 1;
  const misses: [number[], number[], number[]] = [[], [], []];
  for (let place = 0; place < places; ) {
    // Whole pixels of the plates, and where they lie on the film.
    const x0 = edge + Math.floor(next() * (width - pixels - 2 * edge));
    const y0 = edge + Math.floor(next() * (height - pixels - 2 * edge));
    const box = { x0, x1: x0 + pixels, y0, y1: y0 + pixels };
    const x = Math.round(x0 * scale);
    const y = Math.round(y0 * scale);
    if (!covered(print, box)) continue;
    const films = stations.map(({ plate, screen }, s) =>
      filmWindow(
        { tones: print.plates.get(plate)!.tones, width, height, curve: Float64Array.from(areas[s]!) },
        screen!,
        film,
        {
          x: x - ROOM,
          y: y - ROOM,
          width: side + 2 * ROOM,
          height: side + 2 * ROOM,
        },
      ),
    );
    const shifts = draws(films.length, PRINTS, misregistrationOf(real), place + 1, dpi);
    const shares = overprintShares(films, shifts, { x: ROOM, y: ROOM, width: side, height: side });
    const printed = colourOfShares(shares, conditions, stations);
    const proofed = meanOf(box, width, (i) => [0, 1, 2].map((k) => LINEAR_OF_BYTE[proof[3 * i + k]!]!));
    const garment = linearFromLab(conditions.garment);
    const artwork = meanOf(box, width, (i) => {
      const alpha = data[4 * i + 3]! / 255;
      return [garment.r, garment.g, garment.b].map(
        (v, k) => alpha * LINEAR_OF_BYTE[data[4 * i + k]!]! + (1 - alpha) * v,
      );
    });
    misses[0].push(apart(proofed, artwork));
    misses[1].push(apart(printed, artwork));
    misses[2].push(apart(proofed, printed));
    place++;
  }
  const [proofToArtwork, filmsToArtwork, proofToFilms] = misses.map(figuresOf) as [Figures, Figures, Figures];
  return {
    proofToArtwork,
    filmsToArtwork,
    proofToFilms,
    ...halftonesOf(
      print,
      stations.map(({ plate }) => plate),
    ),
    seconds,
  };
}

/** How many halftones meet at a pixel where ink prints at all. */
export function halftonesOf(print: Print, plates: readonly string[]): Pick<Truth, "halftones" | "three"> {
  let pixels = 0;
  let halftones = 0;
  let three = 0;
  const tones = plates.map((plate) => print.plates.get(plate)!.tones);
  for (let i = 0; i < print.pixels; i++) {
    let here = 0;
    let ink = false;
    for (const plate of tones) {
      const t = plate[i]!;
      if (t > 0) ink = true;
      if (t > 0 && t < 255) here++;
    }
    if (!ink) continue;
    pixels++;
    halftones += here;
    if (here >= 3) three++;
  }
  return { halftones: halftones / pixels, three: three / pixels };
}

interface Box {
  readonly x0: number;
  readonly x1: number;
  readonly y0: number;
  readonly y1: number;
}

function covered({ picture: { data, width } }: Print, { x0, x1, y0, y1 }: Box): boolean {
  for (let y = y0; y < y1; y++)
    for (let x = x0; x < x1; x++) if (data[4 * (y * width + x) + 3]! < 128) return false;
  return true;
}

function meanOf({ x0, x1, y0, y1 }: Box, width: number, at: (i: number) => number[]): LinearRgb {
  const sum = [0, 0, 0];
  for (let y = y0; y < y1; y++)
    for (let x = x0; x < x1; x++) for (const [k, v] of at(y * width + x).entries()) sum[k]! += v;
  const [r, g, b] = sum.map((v) => v / ((x1 - x0) * (y1 - y0))) as [number, number, number];
  return { r, g, b };
}

function apart(one: LinearRgb, other: LinearRgb): number {
  const [p, q] = [labFromLinear(one), labFromLinear(other)];
  return deltaE00(p.L, p.a, p.b, q.L, q.a, q.b);
}

function figuresOf(values: number[]): Figures {
  values.sort((a, b) => a - b);
  return [values.reduce((a, b) => a + b) / values.length, values[Math.ceil(0.95 * values.length) - 1]!];
}

const samples = fileURLToPath(new URL("../../samples/night-garden/", import.meta.url));

/** How near proof, films and artwork come, and how many halftones meet: the sample's two recipes. */
export async function overprintRows(): Promise<Row[]> {
  return Promise.all(
    ["night-garden", "night-garden-solved"].map(async (name): Promise<Row> => {
      const { recipe, artworkFile } = await recipeOfFile(join(samples, `${name}.sep.yaml`));
      const truth = await truthOf(recipe, recipe, artworkFile, 200);
      return {
        what: `${name}: its films laid over one another in ${PRINTS} draws of the register, at 200 places, and halftones a pixel`,
        measured: said(truth),
        target: "proof to films ≤ 1.0; at most 1.8 halftones",
        met: truth.proofToFilms[0] <= 1 && truth.halftones <= 1.8,
      };
    }),
  );
}

function said({ proofToArtwork, filmsToArtwork, proofToFilms, halftones, three, seconds }: Truth): string {
  const text = ([mean, p95]: Figures) => `${mean.toFixed(2)} (${p95.toFixed(1)})`;
  return (
    `proof to artwork ${text(proofToArtwork)}, films to artwork ${text(filmsToArtwork)}, ` +
    `proof to films ${text(proofToFilms)}; ${halftones.toFixed(2)} halftones a pixel, ` +
    `${(100 * three).toFixed(0)} % three or more; ${seconds.toFixed(1)} s`
  );
}

/** `tsx test/bench/overprints.ts RECIPE…`: counted on independent dots, and on dots as they nest. */
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  for (const file of process.argv.slice(2)) {
    const { recipe, artworkFile } = await recipeOfFile(file);
    for (const [how, counted] of [
      ["independent", independently(recipe)],
      ["nested", recipe],
    ] as const)
      console.log(`${file} ${how}: ${said(await truthOf(counted, recipe, artworkFile, 200))}`);
  }
}
