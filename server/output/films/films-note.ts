import type { LeftOut } from "./left-out.ts";

/** What stands in `JOB-SETUP-films.json`, beside the films: what they are, and what they leave out. */
export interface FilmsNote {
  readonly platewright: { readonly films: 1 };
  readonly title: string;
  readonly setup: string;
  /** Fingerprint of recipe, shop file, readings and artwork, as on the labels. */
  readonly recipe: string;
  readonly dpi: number;
  /** Resolution of the plates that were screened. */
  readonly platePpi: number;
  readonly mirror: boolean;
  readonly films: readonly NotedFilm[];
}

export interface NotedFilm {
  readonly plate: string;
  readonly file: string;
  readonly ink: string;
  readonly leftOut: LeftOut;
}

export function filmsNoteName(jobName: string, setupName: string): string {
  return `${jobName}-${setupName}-films.json`;
}

export function filmsNoteText(note: FilmsNote): string {
  return `${JSON.stringify(note, null, 2)}\n`;
}

/** A note that tells of this setup of this very recipe; undefined of any other text. */
export function readFilmsNote(
  text: string,
  { setup, recipe }: Pick<FilmsNote, "setup" | "recipe">,
): FilmsNote | undefined {
  let note: unknown;
  try {
    note = JSON.parse(text);
  } catch {
    return undefined;
  }
  if (!isObject(note) || !isObject(note.platewright) || note.platewright.films !== 1) return undefined;
  if (note.setup !== setup || note.recipe !== recipe || !Array.isArray(note.films)) return undefined;
  if (!Number.isFinite(note.dpi) || !Number.isFinite(note.platePpi)) return undefined;
  return note.films.every(isNotedFilm) ? (note as unknown as FilmsNote) : undefined;
}

function isNotedFilm(film: unknown): film is NotedFilm {
  if (!isObject(film) || !isObject(film.leftOut)) return false;
  const { plate, file, ink, leftOut } = film;
  if (![plate, file, ink].every((name) => typeof name === "string")) return false;
  return (["marks", "holes", "lines", "gaps"] as const).every((kind) => {
    const counted = leftOut[kind];
    return isObject(counted) && Number.isFinite(counted.count) && Number.isFinite(counted.mm2);
  });
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null;
}
