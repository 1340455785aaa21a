import { stringify } from "yaml";
import { parseDocument } from "./document.ts";
import { fieldsOf } from "./partial-data.ts";

/** What a shop keeps of one run on press, beside the recipe. */
export interface Run {
  /** As year, month and day. */
  readonly date: string;
  readonly setup: string;
  readonly garments: readonly string[];
  /** Sound garments, and those that were spoiled. */
  readonly printed: number;
  readonly spoiled: number;
  /** The shop's number of the order. */
  readonly order?: string | undefined;
  /** Digest of all that decided what it printed. */
  readonly recipe: string;
  /** The commit that holds the recipe as it was printed. */
  readonly commit?: string | undefined;
  /** Digests of the films, by their files' names. */
  readonly films?: Readonly<Record<string, string>> | undefined;
  /** What was changed on press, in words. */
  readonly changed?: string | undefined;
  /** File of the test print's readings, and its digest. */
  readonly readings?: { readonly file: string; readonly digest: string } | undefined;
}

/** A run as the text that is added to the file of runs: an entry of its list. */
export function runText(run: Run): string {
  const said = Object.fromEntries(Object.entries(run).filter(([, value]) => value !== undefined));
  return stringify([said], { lineWidth: 0 });
}

/** What a new file of runs begins with. */
export function runsHead(recipe: string): string {
  return `# Runs of ${recipe}, written by platewright run: one entry each, the latest last.\n`;
}

/** The runs in a file's text, as far as they can be read; undefined where it holds something else. */
export function readRuns(file: string, text: string): Run[] | undefined {
  const { value, findings } = parseDocument(file, text);
  if (findings.length > 0) return undefined;
  if (value === null || value === undefined) return [];
  if (!Array.isArray(value)) return undefined;
  const runs = value.map(readRun);
  return runs.includes(undefined) ? undefined : (runs as Run[]);
}

function readRun(entry: unknown): Run | undefined {
  const { date, setup, garments, printed, spoiled, order, recipe, commit, films, changed, readings } =
    fieldsOf(entry);
  if (typeof date !== "string" || typeof setup !== "string" || typeof recipe !== "string") return undefined;
  if (typeof printed !== "number" || typeof spoiled !== "number" || !Array.isArray(garments))
    return undefined;
  const { file, digest } = fieldsOf(readings);
  return {
    date,
    setup,
    garments: garments.map(String),
    printed,
    spoiled,
    recipe,
    order: typeof order === "string" ? order : undefined,
    // It goes to git, so it is a commit's name or nothing.
    commit: typeof commit === "string" && /^[0-9a-f]{40,64}$/.test(commit) ? commit : undefined,
    films: Object.fromEntries(Object.entries(fieldsOf(films)).map(([name, one]) => [name, String(one)])),
    changed: typeof changed === "string" ? changed : undefined,
    readings: typeof file === "string" && typeof digest === "string" ? { file, digest } : undefined,
  };
}
