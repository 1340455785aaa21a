import { excerpt } from "./printable.ts";

/** A longer name is no slip of the pen, and comparing it takes the square of its length. */
const LONGEST = 80;
/** Among more names than these nothing is guessed, and of more no list is told. */
const MOST_LOOKED_AT = 300;
const MOST_LISTED = 40;

/** The known name nearest to a misspelt one, if it is near enough to be meant. */
export function nearest(name: string, known: Iterable<string>): string | undefined {
  return allNearest(name, known)[0];
}

/** All the known names that come equally near to a misspelt one. */
export function allNearest(name: string, known: Iterable<string>): string[] {
  if (name.length > LONGEST) return [];
  const limit = Math.max(1, Math.floor(name.length * 0.4));
  let best: string[] = [];
  let least = limit + 1;
  let looked = 0;
  for (const candidate of known) {
    if (++looked > MOST_LOOKED_AT) break;
    if (Math.abs(candidate.length - name.length) > limit) continue;
    const d = distance(name.toLowerCase(), candidate.toLowerCase(), Math.min(least, limit));
    if (d < least) [best, least] = [[candidate], d];
    else if (d === least && best.length > 0 && !best.includes(candidate)) best.push(candidate);
  }
  return best;
}

/** `; did you mean "ember"?`, or else what there is to choose from. */
export function suggestion(
  name: string,
  known: readonly string[],
  what: string,
  near = nearest(name, known),
): string {
  if (near !== undefined) return `; did you mean "${near}"?`;
  if (known.length === 0) return "";
  const more = known.length > MOST_LISTED ? ` and ${known.length - MOST_LISTED} more` : "";
  return `; ${what}: ${known.slice(0, MOST_LISTED).map(excerpt).join(", ")}${more}`;
}

/**
 * Slips between two words: letters too many, missing or wrong, and neighbours that changed places (optimal string
 * alignment). Two letters swapped are the commonest slip of all and count as one. Of words that lie more than `most`
 * apart it says only that they do.
 */
export function distance(a: string, b: string, most = Number.POSITIVE_INFINITY): number {
  const beyond = most + 1;
  let before: number[] = [];
  let above = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    // Places further from the diagonal are further apart than that.
    const row: number[] = new Array(b.length + 1).fill(beyond);
    row[0] = i;
    let least = i;
    for (let j = Math.max(1, i - most); j <= Math.min(b.length, i + most); j++) {
      const wrong = a[i - 1] === b[j - 1] ? 0 : 1;
      let slips = Math.min(above[j]! + 1, row[j - 1]! + 1, above[j - 1]! + wrong);
      const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      if (swapped) slips = Math.min(slips, before[j - 2]! + 1);
      row[j] = slips;
      if (slips < least) least = slips;
    }
    if (least > beyond) return beyond;
    [before, above] = [above, row];
  }
  return above[b.length]!;
}
