import { distance } from "fastest-levenshtein";

/** The known name nearest to a misspelt one, if it is near enough to be meant. */
export function nearest(name: string, known: Iterable<string>): string | undefined {
  return allNearest(name, known)[0];
}

/** All the known names that come equally near to a misspelt one. */
export function allNearest(name: string, known: Iterable<string>): string[] {
  const limit = Math.max(1, Math.floor(name.length * 0.4));
  let best: string[] = [];
  let least = limit + 1;
  for (const candidate of known) {
    const d = distance(name.toLowerCase(), candidate.toLowerCase());
    if (d < least) [best, least] = [[candidate], d];
    else if (d === least && best.length > 0 && !best.includes(candidate)) best.push(candidate);
  }
  return best;
}

/** `; did you mean "ember"?`, or else what there is to choose from. */
export function suggestion(name: string, known: readonly string[], what: string): string {
  const near = nearest(name, known);
  if (near !== undefined) return `; did you mean "${near}"?`;
  return known.length > 0 ? `; ${what}: ${known.join(", ")}` : "";
}
