import { excerpt } from "./printable.ts";

/** How bad a finding is, worst first. */
export const LEVELS = ["error", "warning", "note"] as const;
export type Level = (typeof LEVELS)[number];

/** A place in a recipe's structure: keys and list indexes from the root. */
export type Path = readonly (string | number)[];

/** Characters of the text: offsets in UTF-16 units, end exclusive. */
export interface TextRange {
  readonly start: number;
  readonly end: number;
}

/** Something to tell the separator. A value: only the outermost layer turns it into a line, a squiggle or JSON. */
export interface Finding {
  /** Stable id, such as "unknown-name". */
  readonly rule: string;
  readonly level: Level;
  /** File that holds the characters of `range`. */
  readonly file: string;
  readonly range: TextRange;
  readonly path: Path;
  /** What is wrong, what it will do, what to write instead. */
  readonly message: string;
  readonly data?: FixData;
  /** Why the recipe allows it, where a comment says so. It is told, but counts no more. */
  readonly allowed?: string;
}

/** What an obvious fix would write. */
export interface FixData {
  /** In place of the finding's characters, as YAML. */
  readonly replacement?: string;
  /** Key to add to the block at the finding's path. */
  readonly missing?: string;
  /** Colour that a # made a comment of, to be put in quotes behind the key. */
  readonly swallowed?: string;
  /** Key or entry that can be taken out. */
  readonly redundant?: Path;
  /** A plate that can be folded into another. */
  readonly fold?: { readonly plate: string; readonly into: string };
  /** An entry to add to a list, as YAML on one line; at its end where no place is given. */
  readonly add?: { readonly list: Path; readonly index?: number; readonly text: string };
  /** A screen angle for a plate, in degrees. */
  readonly angle?: { readonly plate: string; readonly angle: number };
  /** A mesh of the shop for a plate. */
  readonly mesh?: { readonly plate: string; readonly mesh: string };
  /** A plate that could print a colour, given as hex, in an ink that there is. */
  readonly plate?: { readonly ink: string; readonly colour: string };
  /** A colour that the finding is about, as hex. */
  readonly colour?: string;
}

/** `plates.ember.curve[2]`; a key that holds other signs is quoted. */
export function formatPath(path: Path): string {
  return path
    .map((step, i) => {
      if (typeof step === "number") return `[${step}]`;
      const shown = excerpt(step);
      const key = /^[\p{L}\p{N}_-]+…?$/u.test(shown) ? shown : JSON.stringify(shown);
      return i === 0 ? key : `.${key}`;
    })
    .join("");
}

/** By file, place, level and wording: the order in which findings are shown, the same on any machine. */
export function byPlace(a: Finding, b: Finding): number {
  return (
    compare(a.file, b.file) ||
    a.range.start - b.range.start ||
    LEVELS.indexOf(a.level) - LEVELS.indexOf(b.level) ||
    compare(a.message, b.message)
  );
}

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** What is to be mended: no finding that a comment allows. */
export function standing(findings: readonly Finding[]): Finding[] {
  return findings.filter(({ allowed }) => allowed === undefined);
}

export function atLeast(level: Level, limit: Level): boolean {
  return LEVELS.indexOf(level) <= LEVELS.indexOf(limit);
}
