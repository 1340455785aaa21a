import { filmPage } from "../../engine/screen/film-page.ts";
import { MM_PER_INCH } from "../../engine/units.ts";
import type { OrderPrint } from "../../language/order.ts";
import { type FilmData, type FilmRequest, makeFilm } from "../../output/films/film.ts";
import { type Ganged, gangFilms } from "../../output/films/gang.ts";
import { type FilmOfPdf, gangedPdf } from "../../output/films/gang-pdf.ts";
import type { FilmsMade, LeftOut } from "../../output/films/left-out.ts";
import { type FilmSource, filmedPlates, writeFilms } from "../../output/films/setup-films.ts";
import { jobFingerprint } from "../../output/fingerprint.ts";
import type { Counts } from "../../output/order/counts.ts";
import { OutputError } from "../../output/staging.ts";
import { readForPlates } from "../../render/artworks.ts";
import type { OnProgress } from "../../render/progress.ts";
import { makePlates } from "../../render/separation.ts";
import { builtProgram, WorkerPool } from "../../render/worker-pool.ts";
import { filmDots } from "../film-dots.ts";
import { pictureFiles, type ReadableJob, sourceOf } from "../open.ts";
import type { OpenOrder } from "./open-order.ts";

/** Films stay so far apart, so that a knife gets between their marks. Common practice, no source. */
const GAP_MM = 5;
/** Of a PDF's page (ISO 32000-1, annex C): 200 in. */
const LONGEST_MM = 5080;

export interface OrderFilms {
  /** All films of the order on lengths of the roll, a page each. */
  readonly pdf: Uint8Array;
  readonly lengths: readonly Ganged[];
  readonly count: number;
  /** What is known of each print's. */
  readonly made: ReadonlyMap<string, FilmsMade>;
}

export interface OrderFilmsRequest {
  /** Name of the order's files. */
  readonly jobName: string;
  readonly counts: Counts;
  readonly mirror: boolean;
  /** Film pixels to a drawing's pixel. */
  readonly filmPixels: number;
  readonly ppi: number | undefined;
  readonly date: string;
  readonly producer: string;
}

/**
 * Every screen's film once, ganged on the roll with the least film, or, where the shop says no roll, a page each. Throws
 * PageError, ArtworkError, and OutputError where a film is wider than the roll either way.
 */
export async function orderFilms(
  { order, jobs }: OpenOrder,
  request: OrderFilmsRequest,
  onProgress: OnProgress,
): Promise<OrderFilms> {
  const films: FilmOfPdf[] = [];
  const prints = new Map<string, FilmsMade>();
  for (const [i, [name, job]] of [...jobs].entries()) {
    // Threads of its own for each print, so that what they hold goes with them.
    const pool = new WorkerPool<FilmRequest, FilmData>(builtProgram("film-worker.js"), makeFilm);
    try {
      const made = await filmsOf(job, name, order.prints.get(name)!, request, pool, (done) =>
        onProgress((i + done) / jobs.size),
      );
      films.push(...made.films);
      prints.set(name, made);
    } finally {
      await pool.close();
    }
  }
  const lengths = order.rollMm === undefined ? apart(films) : onRoll(films, order.rollMm);
  const title = [order.title || request.jobName, "films"].join(", ");
  const pdf = await gangedPdf(films, lengths, { title, producer: request.producer });
  return { pdf, lengths, count: films.length, made: prints };
}

async function filmsOf(
  job: ReadableJob,
  name: string,
  { width }: OrderPrint,
  { jobName, counts, mirror, filmPixels, ppi, date, producer }: OrderFilmsRequest,
  pool: WorkerPool<FilmRequest, FilmData>,
  onProgress: OnProgress,
): Promise<FilmsMade & { readonly films: FilmOfPdf[] }> {
  const { recipe, files, project } = job;
  const artwork = await readForPlates(recipe, await sourceOf(job), {
    ppi,
    drawingPpi: recipe.screening.filmDpi / filmPixels,
  });
  const page = filmPage(recipe.artwork.widthMm, artwork.info.heightMm, recipe.screening.filmDpi);
  const plates = new Map<string, FilmSource>();
  for await (const plate of makePlates(recipe, artwork, (done) => onProgress(done * PLATES_SHARE)))
    plates.set(plate.name, plate);
  const fingerprint = await jobFingerprint(project, pictureFiles(job), files.within);
  const films: FilmOfPdf[] = [];
  const leftOut = new Map<string, LeftOut>();
  for (const { setup } of counts.setUps.filter(({ print }) => print === name)) {
    const only = filmedPlates(recipe, recipe.setups.get(setup)!)
      .map((plate) => plate.name)
      .filter((plate) => !leftOut.has(plate));
    if (only.length === 0) continue;
    const written: Uint8Array[] = [];
    const made = await writeFilms(
      {
        write: async (_, bytes) => {
          written.push(bytes as Uint8Array);
          return { sha256: "" };
        },
      },
      pool,
      {
        recipe: {
          ...recipe,
          title: [recipe.title || jobName, `${name}${width ? ` ${width}` : ""}`].join(", "),
        },
        setupName: setup,
        page,
        jobName,
        format: "pdf",
        contone: false,
        together: false,
        mirror,
        only,
        colorant: "Film",
        date,
        fingerprint,
        producer,
      },
      artwork.picture,
      (plate) => plates.get(plate)!,
      (share) => onProgress(PLATES_SHARE + share * (1 - PLATES_SHARE)),
      (plate) => filmDots(job, plate, page.art),
    );
    const mm = (pixels: number) => (pixels * MM_PER_INCH) / page.dpi;
    for (const [at, film] of made.entries()) {
      leftOut.set(film.plate, film.leftOut);
      films.push({ pdf: written[0]!, page: at, widthMm: mm(page.width), heightMm: mm(page.height) });
    }
  }
  return { films, dpi: page.dpi, platePpi: artwork.ppi, leftOut };
}

/** Making plates takes about this share of the time. */
const PLATES_SHARE = 0.65;

function onRoll(films: readonly FilmOfPdf[], rollMm: number): Ganged[] {
  const ganged = gangFilms(films, { rollMm, gapMm: GAP_MM, longestMm: LONGEST_MM });
  if (ganged) return ganged;
  const widest = Math.max(...films.map(({ widthMm, heightMm }) => Math.min(widthMm, heightMm)));
  throw new OutputError(
    `a film of ${widest.toFixed(0)} mm, marks included, is wider than the shop's roll of ${rollMm.toFixed(0)} mm either way; print it smaller, or write the roll that it goes on`,
  );
}

function apart(films: readonly FilmOfPdf[]): Ganged[] {
  return films.map(({ widthMm, heightMm }, index) => ({
    widthMm,
    lengthMm: heightMm,
    lying: [{ index, xMm: 0, yMm: 0, turned: false }],
  }));
}
