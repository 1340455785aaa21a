import { deflateSync } from "node:zlib";
import { countLost } from "../../engine/lost-parts.ts";
import type { Tones } from "../../engine/raster.ts";
import type { Dropped } from "../../engine/screen/clean.ts";
import type { FilmPage } from "../../engine/screen/film-page.ts";
import type { FinishedPlate } from "../../engine/separate.ts";
import { MM_PER_INCH } from "../../engine/units.ts";
import type { Plate, Recipe, Setup } from "../../language/recipe.ts";
import { filmCurve, filmSmallestMarkPixels, plateScreening } from "../../render/film-curve.ts";
import type { WorkerPool } from "../../render/worker-pool.ts";
import type { Staging } from "../staging.ts";
import type { Bits, Coding, FilmData, FilmRequest } from "./film.ts";
import { STRIP_ROWS, wedgeTones } from "./film.ts";
import { type InksTiff, inksTiff } from "./inks-tiff.ts";
import { type LeftOut, leftOutOf } from "./left-out.ts";
import type { FilmLabel } from "./marks.ts";
import { type PdfFilm, pdfOf } from "./pdf.ts";
import { BLACK, type PdfImage } from "./pdf-inks.ts";
import { filmPng } from "./png.ts";
import { tiffOf } from "./tiff.ts";

export type FilmFormat = "pdf" | "tiff" | "png";

export interface FilmsRequest {
  readonly recipe: Recipe;
  readonly setupName: string;
  readonly page: FilmPage;
  /** Name of the job's files, without an ending. */
  readonly jobName: string;
  readonly format: FilmFormat;
  /** Contone plates in a PDF, for a device that screens by itself. */
  readonly contone: boolean;
  /** All plates on one page of a PDF. */
  readonly together: boolean;
  readonly mirror: boolean;
  /** These plates alone, where a setup's others are on film already. */
  readonly only?: readonly string[];
  /** Name of the colorant of all films of a PDF, for films that share a page; without it each plate has its own. */
  readonly colorant?: string;
  /** As it stands on the label. */
  readonly date: string;
  readonly fingerprint: string;
  readonly producer: string;
}

/** One film as it was written. */
export interface WrittenFilm {
  readonly plate: string;
  readonly file: string;
}

/** With what its screen does not hold. */
export interface MadeFilm extends WrittenFilm {
  readonly leftOut: LeftOut;
}

/** The plates that the setup prints, in its order, each once. */
export function filmedPlates(recipe: Recipe, setup: Setup): Plate[] {
  const names = new Set(setup.order.flatMap((step) => (typeof step === "string" ? [] : [step.plate])));
  return [...names].map((name) => recipe.plates.get(name)!);
}

function wantedPlates(recipe: Recipe, setupName: string, only: FilmsRequest["only"]): Plate[] {
  const plates = filmedPlates(recipe, recipe.setups.get(setupName)!);
  return only ? plates.filter(({ name }) => only.includes(name)) : plates;
}

/** The files that the films of a setup become. */
export function filmFiles({
  recipe,
  setupName,
  jobName,
  format,
  contone = false,
  only,
}: Pick<FilmsRequest, "recipe" | "setupName" | "jobName" | "format" | "only"> &
  Partial<Pick<FilmsRequest, "contone">>): WrittenFilm[] {
  const plates = wantedPlates(recipe, setupName, only);
  return plates.map(({ name }) => ({
    plate: name,
    file:
      format === "pdf"
        ? `${jobName}-${setupName}.pdf`
        : format === "tiff" && contone
          ? `${jobName}-${setupName}.tif`
          : `${jobName}-${setupName}-${name}.${format === "tiff" ? "tif" : "png"}`,
  }));
}

/** A finished plate, and what limits took off it. */
export type FilmSource = Pick<FinishedPlate, "tones" | "lost">;

/**
 * Makes and stages the films of a setup. `plateOf` gives a finished plate of `picture` size, `dotsOf` the dots of one that
 * came as a film, in the page's pixels.
 */
export async function writeFilms(
  staging: Pick<Staging, "write">,
  pool: WorkerPool<FilmRequest, FilmData>,
  request: FilmsRequest,
  picture: { readonly width: number; readonly height: number },
  plateOf: (plate: string) => FilmSource,
  progress: (done: number) => void | Promise<void>,
  dotsOf: (plate: Plate) => Promise<Bits>,
): Promise<MadeFilm[]> {
  const { recipe, page, format } = request;
  const plates = wantedPlates(recipe, request.setupName, request.only);
  const files = filmFiles(request);
  const shares = new Float64Array(plates.length);
  const tell = () => progress(shares.reduce((sum, share) => sum + share, 0) / plates.length);
  const pdfFilms = new Array<PdfFilm>(plates.length);
  const dropped = new Array<Dropped | undefined>(plates.length);

  const isSet = format === "tiff" && request.contone;
  const inks = new Array<InksTiff["inks"][number]>(plates.length);

  const makeOne = async (plate: Plate, i: number) => {
    const label = labelOf(request, plate, i, plates.length);
    const curve = filmCurve(recipe, plate);
    const { tones } = plateOf(plate.name);
    const screened = plate.given?.screened === true;
    if (isSet) {
      inks[i] = { name: plate.name, tones: compensated(tones, picture, curve, request.mirror) };
    } else if (format === "pdf" && request.contone && !screened) {
      pdfFilms[i] = pdfFilm(request, plate, label, contoneOf(tones, picture, curve, request));
    } else {
      const order: FilmRequest = {
        plate: { tones, ...picture, curve },
        screening: plateScreening(recipe, plate),
        dots: screened ? await dotsOf(plate) : undefined,
        smallestMark: filmSmallestMarkPixels(plate, page.dpi),
        page,
        label,
        mirror: request.mirror,
        coding: CODINGS[format],
      };
      const film = await pool.make(order, (done) => {
        shares[i] = done * 0.98;
        void tell();
      });
      dropped[i] = film.dropped;
      const bytes = await fileOf(film, request, plate, label, (part) => {
        pdfFilms[i] = part;
      });
      if (bytes) await staging.write(files[i]!.file, bytes);
    }
    shares[i] = 1;
    await tell();
  };

  // As many at once as there are threads; each holds its plate and one strip.
  const queue = plates.map((plate, i) => ({ plate, i }));
  const hand = async () => {
    for (let next = queue.shift(); next; next = queue.shift()) await makeOne(next.plate, next.i);
  };
  const hands = Array.from({ length: pool.places }, hand);
  try {
    await Promise.all(hands);
  } finally {
    // Where one failed no more are begun, and nothing may still be written when the caller takes the folder away.
    queue.length = 0;
    await Promise.allSettled(hands);
  }
  if (format === "pdf") {
    const title = [recipe.title || request.jobName, request.setupName].join(", ");
    const { producer, mirror, together } = request;
    await staging.write(files[0]!.file, await pdfOf(page, pdfFilms, { title, producer, mirror, together }));
  }
  if (isSet) {
    const title = [recipe.title || request.jobName, request.setupName].join(", ");
    const { width } = picture;
    const ppi = (width * MM_PER_INCH) / recipe.artwork.widthMm;
    const set = { ...picture, ppi, inks, description: title, software: request.producer };
    await staging.write(files[0]!.file, inksTiff(set));
  }
  const { width } = picture;
  const filmMm = MM_PER_INCH / page.dpi;
  const plateMm = recipe.artwork.widthMm / width;
  return files.map((film, i) => {
    const { lost } = plateOf(film.plate);
    return { ...film, leftOut: leftOutOf(dropped[i], filmMm, lost && countLost(lost, width), plateMm) };
  });
}

const CODINGS: Readonly<Record<FilmFormat, Coding>> = { pdf: "image", tiff: "strips", png: "rows" };

async function fileOf(
  film: FilmData,
  request: FilmsRequest,
  plate: Plate,
  label: FilmLabel,
  keep: (film: PdfFilm) => void,
): Promise<Uint8Array | undefined> {
  const description = `${label.title} | ${label.details} | ${label.side}`;
  const { page, producer } = request;
  const { width, height, dpi } = page;
  switch (film.coding) {
    case "strips":
      return tiffOf({
        width,
        height,
        dpi,
        rowsPerStrip: STRIP_ROWS,
        strips: film.strips,
        description,
        software: producer,
      });
    case "rows":
      return filmPng(width, height, dpi, film.rows, description);
    case "image": {
      const image: PdfImage = { width: page.art.width, height: page.art.height, bits: 1, data: film.image };
      const wedge: PdfImage | undefined = film.wedge &&
        page.wedge && { width: page.wedge.width, height: page.wedge.height, bits: 1, data: film.wedge };
      keep(pdfFilm(request, plate, label, { image, wedge }));
      return undefined;
    }
  }
}

function pdfFilm(
  { recipe, together, colorant }: FilmsRequest,
  plate: Plate,
  label: FilmLabel,
  { image, wedge }: Pick<PdfFilm, "image" | "wedge">,
): PdfFilm {
  // A film is black wherever its plate prints; together the plates show their inks.
  const ink = together ? recipe.inks.get(plate.ink)!.colour.lab : BLACK;
  return { name: colorant ?? plate.name, ink, label, image, wedge };
}

/** A plate's tones as its film must ask for them. */
function compensated(
  tones: Tones,
  { width, height }: { readonly width: number; readonly height: number },
  curve: Float64Array,
  mirror: boolean,
): Tones {
  const table = Uint8Array.from(curve, (tone) => Math.round(tone * 255));
  const out = new Uint8Array(tones.length);
  for (let y = 0, at = 0; y < height; y++) {
    const row = y * width;
    for (let x = 0; x < width; x++, at++) out[at] = table[tones[mirror ? row + width - 1 - x : row + x]!]!;
  }
  return out;
}

/** The plate as it is, compensated for dot gain; a device behind it makes the dots. */
function contoneOf(
  tones: Tones,
  { width, height }: { readonly width: number; readonly height: number },
  curve: Float64Array,
  { mirror, page }: FilmsRequest,
): Pick<PdfFilm, "image" | "wedge"> {
  const out = compensated(tones, { width, height }, curve, mirror);
  const wedge = page.wedge && wedgeTones(page.wedge.width);
  if (wedge && mirror) wedge.reverse();
  return {
    image: { width, height, bits: 8, data: deflateSync(out) },
    wedge: wedge && { width: wedge.length, height: 1, bits: 8, data: deflateSync(wedge) },
  };
}

/** Everything that whoever hangs, exposes or files the film wants to know. */
function labelOf(
  { recipe, setupName, mirror, date, fingerprint, contone, jobName }: FilmsRequest,
  plate: Plate,
  index: number,
  count: number,
): FilmLabel {
  const { order } = recipe.setups.get(setupName)!;
  const station = order.findIndex((step) => typeof step !== "string" && step.plate === plate.name) + 1;
  const { method, rulingLpi, angle, dot, grainMm } = plate.screening;
  const mesh = plate.mesh === undefined ? undefined : recipe.meshes.get(plate.mesh);
  const dots = plate.given?.screened
    ? `as it came in ${plate.given.file}`
    : contone
      ? "not screened"
      : method === "am"
        ? `${figure(rulingLpi)} lpi ${figure(angle)}° ${dot}`
        : `${method} ${figure(grainMm)} mm`;
  return {
    title: `${plate.name}   ${index + 1}/${count}`,
    side: mirror ? "right-reading, emulsion down" : "right-reading, emulsion up",
    details: [
      recipe.title || jobName,
      `ink ${plate.ink}`,
      `setup ${setupName}, station ${station} of ${order.length}`,
      ...(plate.mesh === undefined ? [] : [`mesh ${plate.mesh}${mesh ? ` ${figure(mesh.count)}/in` : ""}`]),
      dots,
      date,
      `recipe ${fingerprint}`,
    ].join(" · "),
  };
}

function figure(value: number): string {
  return String(Number(value.toFixed(2)));
}
