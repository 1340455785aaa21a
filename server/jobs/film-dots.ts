import { type FilmBits, readFilmBits } from "../artwork/plates/given-plates.ts";
import type { Plate, Size } from "../language/recipe.ts";
import { type ReadableJob, sourceOf } from "./open.ts";

/** The dots of a plate that came as a film, at the size of the print on film. Throws ArtworkError and FileError. */
export async function filmDots(job: ReadableJob, { name }: Plate, size: Size): Promise<FilmBits> {
  const { plates = [], within } = await sourceOf(job);
  const { file, view, stored } = plates.find((plate) => plate.name === name)!;
  return readFilmBits(file, view, size, { within, bytes: await stored?.read() });
}
