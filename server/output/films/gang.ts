/** A film to be put on a roll. */
export interface Piece {
  readonly widthMm: number;
  readonly heightMm: number;
}

/** Where it lies: its upper left corner across and along the roll. */
export interface Lying {
  /** Its place in the list of pieces. */
  readonly index: number;
  readonly xMm: number;
  readonly yMm: number;
  /** Whether it lies on its side, turned a quarter to the left. */
  readonly turned: boolean;
}

/** One length of film. */
export interface Ganged {
  /** Of the roll. */
  readonly widthMm: number;
  readonly lengthMm: number;
  readonly lying: readonly Lying[];
}

interface Shelf {
  readonly yMm: number;
  readonly heightMm: number;
  usedMm: number;
}

/** Kinds of sizes of which every way to turn them is tried: a thousand packings. More are turned to be as low as may be. */
const MOST_TRIED = 10;

/**
 * Films on a roll with the least film: rows of films across the roll, the highest first, each film in the first row with
 * room for it (first fit by decreasing height); films of one size are turned alike, and all ways to turn the sizes are
 * tried. `gapMm` stays between films. A length ends before `longestMm`. Undefined where a film fits no way.
 */
export function gangFilms(
  pieces: readonly Piece[],
  {
    rollMm,
    gapMm,
    longestMm,
  }: { readonly rollMm: number; readonly gapMm: number; readonly longestMm: number },
): Ganged[] | undefined {
  const fits = ({ widthMm, heightMm }: Piece, turned: boolean) =>
    turned ? heightMm <= rollMm && widthMm <= longestMm : widthMm <= rollMm && heightMm <= longestMm;
  if (pieces.some((piece) => !fits(piece, false) && !fits(piece, true))) return undefined;
  const key = ({ widthMm, heightMm }: Piece) => `${widthMm.toFixed(3)} ${heightMm.toFixed(3)}`;
  const kinds = [...new Set(pieces.map(key))];
  const first = kinds.map((kind) => pieces.find((piece) => key(piece) === kind)!);
  const choices = first.map((piece, i) => {
    const ways = [false, true].filter((turned) => fits(piece, turned));
    // Beyond those that are tried: the way that takes less of the roll's length.
    return i < MOST_TRIED || ways.length === 1 ? ways : [piece.heightMm > piece.widthMm];
  });
  let best: Ganged[] | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const turns of combinations(choices)) {
    const packed = pack(pieces.map((piece) => turns[kinds.indexOf(key(piece))]!));
    const length = packed.reduce((sum, { lengthMm }) => sum + lengthMm, 0);
    if (length < least - 1e-6) [best, least] = [packed, length];
  }
  return best;

  function pack(turned: readonly boolean[]): Ganged[] {
    const across = (i: number) => (turned[i] ? pieces[i]!.heightMm : pieces[i]!.widthMm);
    const along = (i: number) => (turned[i] ? pieces[i]!.widthMm : pieces[i]!.heightMm);
    const order = pieces
      .map((_, i) => i)
      .sort((a, b) => along(b) - along(a) || across(b) - across(a) || a - b);
    const lengths: { lengthMm: number; lying: Lying[]; shelves: Shelf[] }[] = [];
    for (const index of order) {
      const need = across(index);
      const at = lengths
        .flatMap((length) => length.shelves.map((shelf) => ({ length, shelf })))
        .find(({ shelf }) => shelf.usedMm + (shelf.usedMm > 0 ? gapMm : 0) + need <= rollMm + 1e-6);
      const { length, shelf } = at ?? newShelf(lengths, along(index));
      const xMm = shelf.usedMm === 0 ? 0 : shelf.usedMm + gapMm;
      length.lying.push({ index, xMm, yMm: shelf.yMm, turned: turned[index]! });
      shelf.usedMm = xMm + need;
    }
    return lengths.map(({ lengthMm, lying }) => ({ widthMm: rollMm, lengthMm, lying }));
  }

  function newShelf(lengths: { lengthMm: number; lying: Lying[]; shelves: Shelf[] }[], heightMm: number) {
    const open = lengths.find(({ lengthMm }) => lengthMm + gapMm + heightMm <= longestMm);
    const length = open ?? { lengthMm: 0, lying: [], shelves: [] };
    if (!open) lengths.push(length);
    const shelf: Shelf = { yMm: length.lengthMm === 0 ? 0 : length.lengthMm + gapMm, heightMm, usedMm: 0 };
    length.shelves.push(shelf);
    length.lengthMm = shelf.yMm + heightMm;
    return { length, shelf };
  }
}

function* combinations<T>(choices: readonly (readonly T[])[]): Iterable<T[]> {
  const [first, ...rest] = choices;
  if (!first) yield [];
  else for (const head of first) for (const tail of combinations(rest)) yield [head, ...tail];
}
