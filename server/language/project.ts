import { type DocumentKind, KIND_WORDS, parseDocument, rangeAt, type SourceDocument } from "./document.ts";
import type { Finding, Path } from "./finding.ts";
import { blocksOf, fieldsOf } from "./partial-data.ts";
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

/** A recipe, shop file or order with what belongs to it. */
export interface Project {
  readonly main: SourceDocument;
  /** The shop file of a recipe or order, if it names one that can be read. */
  readonly shop: SourceDocument | undefined;
  /** The recipes that an order names, by their paths as it writes them; those that can be read. */
  readonly recipes?: ReadonlyMap<string, SourceDocument>;
  /** The measurements that either names. */
  readonly readings?: ReadingFiles | undefined;
  /** What can be said without trade knowledge: YAML, schema, files that are not there. */
  readonly findings: readonly Finding[];
}

/** Opens a recipe with its shop file, a shop file, or an order with its recipes. Throws FileError where `file` itself cannot be read. */
export async function openProject(file: string, access: FileAccess): Promise<Project> {
  const main = parseDocument(file, await access.readText(file));
  const { shop: shopPath, pictures, recipes: recipePaths } = filesOf(main);
  const shop =
    shopPath === undefined
      ? undefined
      : await orFileError(async () => {
          const shopFile = access.resolve(file, shopPath);
          return asKind(parseDocument(shopFile, await access.readText(shopFile), "shop"));
        });
  const there = await Promise.all(
    pictures.map((picture) => orFileError(() => access.exists(access.resolve(file, picture.file)))),
  );
  const recipes = new Map<string, SourceDocument | FileError>();
  for (const path of recipePaths)
    recipes.set(
      path,
      await orFileError(async () => {
        const recipeFile = access.resolve(file, path);
        return asKind(parseDocument(recipeFile, await access.readText(recipeFile), "recipe"));
      }),
    );
  const docs = shop === undefined || shop instanceof FileError ? [main] : [main, shop];
  const readings = await readReadings(docs, (doc, path) => access.readText(access.resolve(doc.file, path)));
  return assembleProject(main, shop, there, readings, recipes);
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
 * What is named as a shop file or a recipe may be any file, a password's too. Nothing of it is quoted unless it says that
 * it is one.
 */
export function asKind(doc: SourceDocument): SourceDocument | FileError {
  const { kind } = doc;
  if (claims(doc, kind)) return doc;
  return new FileError(doc.file, `it is no ${KIND_WORDS[kind]}: it does not say "${kind}: 1"`);
}

/** Whether a text has the key that says what it is, half-written as it may be. */
function claims({ text, value }: SourceDocument, kind: DocumentKind): boolean {
  return (
    Object.hasOwn(fieldsOf(value), kind) ||
    new RegExp(`^(?:\\{\\s*)?["']?${kind}["']?[ \\t]*:`, "m").test(text)
  );
}

/** A picture that a recipe names, as it is written, and where. */
export interface NamedPicture {
  readonly path: Path;
  readonly file: string;
}

/**
 * The paths of other files that a recipe or order names, as they are written; of pictures, the first gives the print its
 * size; of readings none.
 */
export function filesOf(doc: SourceDocument): {
  readonly shop: string | undefined;
  readonly artwork: string | undefined;
  readonly pictures: readonly NamedPicture[];
  /** Each once. */
  readonly recipes: readonly string[];
} {
  if (doc.kind === "shop") return { shop: undefined, artwork: undefined, pictures: [], recipes: [] };
  const shop = textAt(doc, "shop");
  if (doc.kind === "order") {
    const recipes = [...new Set(recipePlaces(doc).map(([, path]) => path))];
    return { shop, artwork: undefined, pictures: [], recipes };
  }
  const plates = blocksOf(doc.value, "plates").map(([name]) => ["plates", name, "extract", "plate"]);
  const pictures = [["artwork", "file"], ...plates].flatMap((path): NamedPicture[] => {
    const file = textAt(doc, ...path);
    return file === undefined ? [] : [{ path, file }];
  });
  return { shop, artwork: textAt(doc, "artwork", "file"), pictures, recipes: [] };
}

/** An order's prints with the paths of their recipes. */
export function recipePlaces({ value }: SourceDocument): [print: string, path: string][] {
  return blocksOf(value, "prints").flatMap(([print, { recipe }]): [string, string][] =>
    typeof recipe === "string" && recipe !== "" ? [[print, recipe]] : [],
  );
}

/**
 * Puts together what was read: the shop file or why it could not be, whether each picture is there (`true`: all) or why it
 * may not be read, measurements, an order's recipes.
 */
export function assembleProject(
  main: SourceDocument,
  shop: SourceDocument | FileError | undefined,
  there: true | readonly (boolean | FileError)[],
  readings: ReadingFiles = new Map(),
  named: ReadonlyMap<string, SourceDocument | FileError> = new Map(),
): Project {
  const findings = [...main.findings, ...validate(main), ...checkReadings(main, readings)];
  const readable = shop instanceof FileError ? undefined : shop;
  if (readable)
    findings.push(...readable.findings, ...validate(readable), ...checkReadings(readable, readings));
  if (shop instanceof FileError) {
    findings.push(missing(main, ["shop"], `the shop file cannot be read: ${shop.message}`, shop));
  }
  for (const [i, { path, file }] of filesOf(main).pictures.entries()) {
    const found = there === true || there[i];
    if (found === true) continue;
    const isPlate = path[0] === "plates";
    if (found instanceof FileError) {
      const message = `the ${isPlate ? "plate" : "artwork"} cannot be read: ${found.message}`;
      findings.push(missing(main, path, message, found));
      continue;
    }
    const lacks = isPlate ? "the plate comes from it" : "plates and proofs need the artwork";
    findings.push(missing(main, path, `there is no file "${file}" beside this recipe; ${lacks}`));
  }
  const recipes = new Map<string, SourceDocument>();
  for (const [path, recipe] of named) if (!(recipe instanceof FileError)) recipes.set(path, recipe);
  for (const [print, path] of recipePlaces(main)) {
    const recipe = named.get(path);
    if (recipe instanceof FileError)
      findings.push(
        missing(main, ["prints", print, "recipe"], `the recipe cannot be read: ${recipe.message}`),
      );
  }
  return { main, shop: readable, recipes, readings, findings };
}

function missing(doc: SourceDocument, path: Path, message: string, unread?: FileError): Finding {
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

function textAt(doc: SourceDocument, ...path: Path): string | undefined {
  const value = path.reduce<unknown>(
    (at, key) =>
      typeof at === "object" && at !== null ? (at as Record<string | number, unknown>)[key] : undefined,
    doc.value,
  );
  return typeof value === "string" && value !== "" ? value : undefined;
}
