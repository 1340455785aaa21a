import { parseDocument, rangeAt, type SourceDocument } from "./document.ts";
import type { Finding } from "./finding.ts";
import { validate } from "./validate.ts";

/** How a project reaches its files: the disk for the command line, open editors first for the language server. */
export interface FileAccess {
  /** The text of a file; throws FileError. */
  readText(file: string): Promise<string>;
  exists(file: string): Promise<boolean>;
  /** The path that `relative` means in a file. */
  resolve(fromFile: string, relative: string): string;
}

/** A file that cannot be read, with the one line to say so. */
export class FileError extends Error {
  readonly file: string;

  constructor(file: string, reason: string) {
    super(`${file}: ${reason}`);
    this.name = "FileError";
    this.file = file;
  }
}

/** A recipe or shop file with what belongs to it. */
export interface Project {
  readonly main: SourceDocument;
  /** The recipe's shop file, if it names one that can be read. */
  readonly shop: SourceDocument | undefined;
  /** What can be said without trade knowledge: YAML, schema, files that are not there. */
  readonly findings: readonly Finding[];
}

/** Opens a recipe with its shop file, or a shop file. Throws FileError where `file` itself cannot be read. */
export async function openProject(file: string, access: FileAccess): Promise<Project> {
  const main = parseDocument(file, await access.readText(file));
  const findings = [...main.findings, ...validate(main)];
  let shop: SourceDocument | undefined;
  if (main.kind === "recipe") {
    const shopPath = textAt(main, "shop");
    if (shopPath !== undefined) {
      const shopFile = access.resolve(file, shopPath);
      try {
        shop = parseDocument(shopFile, await access.readText(shopFile), "shop");
        findings.push(...shop.findings, ...validate(shop));
      } catch (error) {
        if (!(error instanceof FileError)) throw error;
        findings.push(missing(main, ["shop"], `the shop file cannot be read: ${error.message}`));
      }
    }
    const artwork = textAt(main, "artwork", "file");
    if (artwork !== undefined && !(await access.exists(access.resolve(file, artwork)))) {
      const message = `there is no file "${artwork}" beside this recipe; plates and proofs need the artwork`;
      findings.push(missing(main, ["artwork", "file"], message));
    }
  }
  return { main, shop, findings };
}

function missing(doc: SourceDocument, path: string[], message: string): Finding {
  return { rule: "missing-file", level: "error", file: doc.file, range: rangeAt(doc, path), path, message };
}

function textAt(doc: SourceDocument, ...path: string[]): string | undefined {
  const value = path.reduce<unknown>(
    (at, key) => (typeof at === "object" && at !== null ? (at as Record<string, unknown>)[key] : undefined),
    doc.value,
  );
  return typeof value === "string" && value !== "" ? value : undefined;
}
