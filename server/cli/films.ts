import { basename } from "node:path";
import packageInfo from "../../package.json" with { type: "json" };
import { filmPage, PageError } from "../engine/screen/film-page.ts";
import { MM_PER_INCH } from "../engine/units.ts";
import { filmDots } from "../jobs/film-dots.ts";
import { pictureFiles } from "../jobs/open.ts";
import { parseLength } from "../language/values/length.ts";
import { type FilmData, type FilmRequest, makeFilm } from "../output/films/film.ts";
import { filmsNoteName, filmsNoteText } from "../output/films/films-note.ts";
import { leftOutText } from "../output/films/left-out.ts";
import {
  type FilmFormat,
  type FilmSource,
  type FilmsRequest,
  filmFiles,
  writeFilms,
} from "../output/films/setup-films.ts";
import { jobFingerprint } from "../output/fingerprint.ts";
import { makePlates } from "../render/separation.ts";
import { builtProgram, WorkerPool } from "../render/worker-pool.ts";
import {
  type Command,
  oneOf,
  onlyPath,
  optionalNumber,
  requiredText,
  UsageError,
  type Values,
} from "./command.ts";
import { openRecipe } from "./open-recipe.ts";
import { nth } from "./progress.ts";
import { setupNamed } from "./setup.ts";
import { LEAST_PPI, MOST_PPI, writing } from "./written.ts";

const FORMATS: readonly FilmFormat[] = ["pdf", "tiff", "png"];
/**
 * Film pixels to a drawing's pixel: its edges are shares of pixels, of which the film draws the contour, on average 0.16
 * film pixels off, 95 % within 0.40 (0.26 and 0.58 at four to one; a curved outline drawn by another renderer at the
 * film's resolution is the measure, test/cli/film-edges.test.ts). More of them would take more than a gigabyte for nine
 * plates of 12 × 14 in.
 */
export const FILM_PIXELS = 2.25;
/** Making plates takes about this share of the time. */
const PLATES_SHARE = 0.65;

export const films: Command = {
  name: "films",
  usage:
    "RECIPE --setup ID --out DIR [--format pdf|tiff|png] [--contone] [--together] [--mirror] [--wedge] [--page WxH] [--date DATE] [--ppi N] [--force]",
  does: "write a setup's films at print size, with marks and labels",
  options: {
    setup: { type: "string" },
    out: { type: "string" },
    format: { type: "string", default: "pdf" },
    contone: { type: "boolean", default: false },
    together: { type: "boolean", default: false },
    mirror: { type: "boolean", default: false },
    wedge: { type: "boolean", default: false },
    page: { type: "string" },
    date: { type: "string" },
    ppi: { type: "string" },
    force: { type: "boolean", default: false },
  },
  async run(positionals, values, console, files) {
    const file = onlyPath(positionals, "recipe");
    const folder = requiredText(values, "out");
    const ppi = optionalNumber(values, "ppi", LEAST_PPI, MOST_PPI);
    const format = formatOf(values);
    const page = pageSize(values);
    const opened = await openRecipe(file, console, files);
    if (typeof opened === "number") return opened;
    const { recipe } = opened;
    const setupName = setupNamed(recipe, values.setup);
    const request: Omit<FilmsRequest, "page"> = {
      recipe,
      setupName,
      jobName: basename(file).replace(/\.sep\.ya?ml$|\.ya?ml$/i, ""),
      format,
      contone: values.contone === true,
      together: values.together === true,
      mirror: values.mirror === true,
      date: typeof values.date === "string" ? values.date : new Date().toISOString().slice(0, 10),
      fingerprint: await jobFingerprint(opened.project, pictureFiles(opened), files.within),
      producer: `Platewright ${packageInfo.version}`,
    };
    const made = filmFiles(request);
    const count = made.length;
    const note = filmsNoteName(request.jobName, setupName);
    const names = [...new Set(made.map((film) => film.file)), note];
    const pool = new WorkerPool<FilmRequest, FilmData>(builtProgram("film-worker.js"), makeFilm);
    try {
      await writing(
        opened,
        { folder, names, ppi, drawingPpi: recipe.screening.filmDpi / FILM_PIXELS },
        values,
        console,
        async ({ artwork, staging, progress }) => {
          const size = sizeOf(() =>
            filmPage(recipe.artwork.widthMm, artwork.info.heightMm, recipe.screening.filmDpi, {
              ...(page ? { page } : {}),
              wedge: values.wedge === true,
            }),
          );
          const plates = new Map<string, FilmSource>();
          for await (const plate of makePlates(recipe, artwork, progress.part("plates", 0, PLATES_SHARE)))
            plates.set(plate.name, plate);
          const onProgress = progress.part(nth("film", count), PLATES_SHARE, 1);
          const { width, height } = artwork.picture;
          const written = await writeFilms(
            staging,
            pool,
            { ...request, page: size },
            { width, height },
            (name) => plates.get(name)!,
            onProgress,
            async (plate) => filmDots(opened, plate, size.art),
          );
          await staging.write(
            note,
            filmsNoteText({
              platewright: { films: 1 },
              title: recipe.title,
              setup: setupName,
              recipe: request.fingerprint,
              dpi: size.dpi,
              platePpi: Number(artwork.ppi.toFixed(3)),
              mirror: request.mirror,
              films: written.map((film) => ({ ...film, ink: recipe.plates.get(film.plate)!.ink })),
            }),
          );
          await staging.commit();
          const mm = (pixels: number) => ((pixels * MM_PER_INCH) / size.dpi).toFixed(1);
          return [
            `${written.length} films of setup ${setupName}, ${mm(size.width)} × ${mm(size.height)} mm at ${size.dpi} dpi`,
            ...written.map(({ plate, file: name, leftOut }) => {
              const said = leftOutText(leftOut);
              return `  ${plate.padEnd(12)} ${folder}/${name}${said === undefined ? "" : `; too small for the screen: ${said}`}`;
            }),
            `  ${folder}/${note}`,
            "",
          ].join("\n");
        },
      );
    } finally {
      await pool.close();
    }
    return 0;
  },
};

function sizeOf<T>(make: () => T): T {
  try {
    return make();
  } catch (error) {
    if (error instanceof PageError) throw new UsageError(error.message);
    throw error;
  }
}

function formatOf({ format, contone, together }: Values): FilmFormat {
  if (!FORMATS.includes(format as FilmFormat))
    throw new UsageError(`--format takes ${oneOf(FORMATS)}, not "${format}"`);
  // As a TIFF, plates that are not screened are one file of inks.
  if (format === "tiff" && contone && together) return format;
  for (const [name, given] of [
    ["--contone", contone],
    ["--together", together],
  ] as const)
    if (given && format !== "pdf")
      throw new UsageError(
        format === "tiff"
          ? `a TIFF takes --contone and --together only both: it is one file of all inks then`
          : `${name} is for PDF and TIFF only`,
      );
  return format as FilmFormat;
}

/** `330mmx480mm` or `13 in x 19 in`. */
function pageSize({ page }: Values): { width: number; height: number } | undefined {
  if (page === undefined) return undefined;
  const [width, height, ...more] = String(page)
    .split(/\s*x\s*/i)
    .map(parseLength);
  if (!width?.ok || !height?.ok || more.length > 0)
    throw new UsageError(`--page takes a width and a height, such as "13 in x 19 in", not "${page}"`);
  return { width: width.value, height: height.value };
}
