import { type DocumentKind, parseDocument, rangeAt, type SourceDocument } from "./document.ts";
import type { Finding } from "./finding.ts";
import { fieldsOf } from "./partial-data.ts";
import { checkReadings } from "./readings/check-readings.ts";
import { type ReadingFiles, readReadings } from "./readings/reading-files.ts";
import { validate } from "./validate.ts";

/** How a project reaches its files: the disk for the command line, open editors first for the language server. */
export interface FileAccess {
  /** The text of a file; throws FileError. */
  readText(file: string): Promise<string>;
  /** Throws FileError where it may not be asked for. */
  exists(file: string): Promise<boolean>;
  /** The path that `relative` means in a file; throws FileError where it is none. */
  resolve(fromFile: string, relative: string): string;
}

/** A file that cannot be read, with the one line to say so. */
export class FileError extends Error {
  readonly file: string;
  readonly reason: string;

  constructor(file: string, reason: string) {
    super(`${file}: ${reason}`);
    this.name = "FileError";
    this.file = file;
    this.reason = reason;
  }
}

/** A recipe or shop file with what belongs to it. */
export interface Project {
  readonly main: SourceDocument;
  /** The recipe's shop file, if it names one that can be read. */
  readonly shop: SourceDocument | undefined;
  /** The measurements that either names. */
  readonly readings?: ReadingFiles | undefined;
  /** What can be said without trade knowledge: YAML, schema, files that are not there. */
  readonly findings: readonly Finding[];
}

/** Opens a recipe with its shop file, or a shop file. Throws FileError where `file` itself cannot be read. */
export async function openProject(file: string, access: FileAccess): Promise<Project> {
  const main = parseDocument(file, await access.readText(file));
  const { shop: shopPath, artwork } = filesOf(main);
  const shop =
    shopPath === undefined
      ? undefined
      : await orFileError(async () => {
          const shopFile = access.resolve(file, shopPath);
          return asShop(parseDocument(shopFile, await access.readText(shopFile), "shop"));
        });
  const artworkThere =
    artwork === undefined || (await orFileError(() => access.exists(access.resolve(file, artwork))));
  const docs = shop === undefined || shop instanceof FileError ? [main] : [main, shop];
  const readings = await readReadings(docs, (doc, path) => access.readText(access.resolve(doc.file, path)));
  return assembleProject(main, shop, artworkThere, readings);
}

async function orFileError<T>(work: () => Promise<T>): Promise<T | FileError> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof FileError) return error;
    throw error;
  }
}

/**
 * What a recipe names as its shop file may be any file, a password's too. Nothing of it is quoted unless it says that it
 * is a shop file.
 */
export function asShop(doc: SourceDocument): SourceDocument | FileError {
  if (claims(doc, "shop")) return doc;
  return new FileError(doc.file, 'it is no shop file: it does not say "shop: 1"');
}

/** Whether a text has the key that says what it is, half-written as it may be. */
function claims({ text, value }: SourceDocument, kind: DocumentKind): boolean {
  return (
    Object.hasOwn(fieldsOf(value), kind) ||
    new RegExp(`^(?:\\{\\s*)?["']?${kind}["']?[ \\t]*:`, "m").test(text)
  );
}

/** The paths of other files that a recipe names, as they are written. */
export function filesOf(doc: SourceDocument): { shop: string | undefined; artwork: string | undefined } {
  if (doc.kind === "shop") return { shop: undefined, artwork: undefined };
  return { shop: textAt(doc, "shop"), artwork: textAt(doc, "artwork", "file") };
}

/**
 * Puts together what was read: the shop file or why it could not be, whether the artwork is there or why it may not be
 * read, measurements.
 */
export function assembleProject(
  main: SourceDocument,
  shop: SourceDocument | FileError | undefined,
  artworkThere: boolean | FileError,
  readings: ReadingFiles = new Map(),
): Project {
  const findings = [...main.findings, ...validate(main), ...checkReadings(main, readings)];
  const readable = shop instanceof FileError ? undefined : shop;
  if (readable)
    findings.push(...readable.findings, ...validate(readable), ...checkReadings(readable, readings));
  if (shop instanceof FileError) {
    findings.push(missing(main, ["shop"], `the shop file cannot be read: ${shop.message}`, shop));
  }
  if (artworkThere instanceof FileError) {
    const message = `the artwork cannot be read: ${artworkThere.message}`;
    findings.push(missing(main, ["artwork", "file"], message, artworkThere));
  } else if (!artworkThere) {
    const { artwork } = filesOf(main);
    const message = `there is no file "${artwork}" beside this recipe; plates and proofs need the artwork`;
    findings.push(missing(main, ["artwork", "file"], message));
  }
  return { main, shop: readable, readings, findings };
}

function missing(doc: SourceDocument, path: string[], message: string, unread?: FileError): Finding {
  return {
    rule: "missing-file",
    level: "error",
    file: doc.file,
    range: rangeAt(doc, path),
    path,
    message,
    ...(unread ? { data: { unread: { file: unread.file, reason: unread.reason } } } : {}),
  };
}

function textAt(doc: SourceDocument, ...path: string[]): string | undefined {
  const value = path.reduce<unknown>(
    (at, key) => (typeof at === "object" && at !== null ? (at as Record<string, unknown>)[key] : undefined),
    doc.value,
  );
  return typeof value === "string" && value !== "" ? value : undefined;
}
