import type { SourceDocument } from "../document.ts";
import type { Path } from "../finding.ts";
import { blocksOf, fieldsOf } from "../partial-data.ts";
import { type Cgats, parseCgats } from "./cgats.ts";

/** A file of readings that a recipe or shop file names: read, or why it could not be. */
export type ReadingFile = { readonly table: Cgats } | { readonly unreadable: string };

/** The files of readings of a project, each under `readingKey`. */
export type ReadingFiles = ReadonlyMap<string, ReadingFile>;

/** Files are known by the document that names them, since each counts paths from its own folder. */
export function readingKey(doc: SourceDocument, path: string): string {
  return `${doc.kind} ${path}`;
}

/** A place that names a file of readings. */
export interface ReadingPlace {
  /** Of the block that holds `file`. */
  readonly path: Path;
  readonly kind: "wedge" | "readings";
  readonly block: Readonly<Record<string, unknown>>;
  readonly file: string;
}

/** Every place of a document that names a file of readings. Works on half-written documents. */
export function readingPlaces({ value }: SourceDocument): ReadingPlace[] {
  const owners: [Path, Readonly<Record<string, unknown>>][] = [
    ...blocksOf(value, "inks").map(([name, ink]): [Path, typeof ink] => [["inks", name], ink]),
    [["screening"], fieldsOf(fieldsOf(value).screening)],
  ];
  return owners.flatMap(([path, fields]) =>
    (["readings", "wedge"] as const).flatMap((kind) => {
      const block = fieldsOf(fields[kind]);
      const { file } = block;
      return typeof file === "string" && file !== "" ? [{ path: [...path, kind], kind, block, file }] : [];
    }),
  );
}

/** Reads the files that the documents name. `read` gives a file's text, or throws an error whose message says why not. */
export async function readReadings(
  docs: readonly SourceDocument[],
  read: (doc: SourceDocument, path: string) => Promise<string>,
): Promise<ReadingFiles> {
  const files = new Map<string, ReadingFile>();
  for (const doc of docs) {
    for (const { file } of readingPlaces(doc)) {
      const key = readingKey(doc, file);
      if (!files.has(key)) files.set(key, await readOne(() => read(doc, file)));
    }
  }
  return files;
}

async function readOne(read: () => Promise<string>): Promise<ReadingFile> {
  try {
    return { table: parseCgats(await read()) };
  } catch (error) {
    if (error instanceof Error) return { unreadable: error.message };
    throw error;
  }
}
