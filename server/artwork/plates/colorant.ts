import { listed } from "../../language/words.ts";
import { ArtworkError } from "../artwork-error.ts";

/** Number, from 0, of the ink of a name: as it is written, else without regard to capitals where one alone fits. */
export function channelNamed(file: string, wanted: string, names: readonly string[]): number {
  const exact = names.indexOf(wanted);
  if (exact >= 0) return exact;
  const same = names.flatMap((name, i) => (name.toLowerCase() === wanted.toLowerCase() ? [i] : []));
  if (same.length === 1) return same[0]!;
  const has = names.length > 0 ? `it has ${listed(names.slice(0, 20))}` : "its inks have no names";
  throw new ArtworkError(file, "format", `there is no ink "${wanted}" in the file; ${has}`);
}
