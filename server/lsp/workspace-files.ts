import { readdir } from "node:fs/promises";
import { basename, dirname, join } from "node:path";
import { pathToFileURL } from "node:url";
import type { OpenDocument } from "../features/model.ts";
import { Boundary, isInside, type Within } from "../files/boundary.ts";
import { BlockCache } from "../language/blocks.ts";
import { type DocumentKind, kindOf, parseDocument } from "../language/document.ts";
import { OUTSIDE } from "../language/outside.ts";
import { asKind, FileError } from "../language/project.ts";
import { allNearest } from "../language/suggest.ts";
import { symbolsOf } from "../language/symbols.ts";
import { diskKey, diskText, isThere } from "./disk.ts";
import { pathOfUri, resolveUri } from "./uris.ts";

/** A text that the editor holds. */
export interface EditorText {
  readonly version: number;
  /** What the editor takes it for, which may go before its name. */
  readonly languageId: string;
  getText(): string;
}

const KINDS: ReadonlyMap<string, DocumentKind> = new Map([
  ["separation-recipe", "recipe"],
  ["separation-shop", "shop"],
  ["separation-order", "order"],
]);

/** Recipes looked for in the folders of a workspace, at most. */
const MOST_RECIPES = 2000;
const NOT_SEARCHED = /^(?:\..*|node_modules|dist|build)$/;

/**
 * Files as the editor holds them, else as they are on disk, each as far as who names it may have it read. Parsed documents
 * and texts are kept until they change. Holds no connection.
 */
export class WorkspaceFiles {
  readonly #editorText: (uri: string) => EditorText | undefined;
  readonly #parsed = new Map<string, { readonly key: string; readonly doc: OpenDocument }>();
  readonly #blocks = new Map<string, BlockCache>();
  readonly #beside = new Map<string, { readonly key: string; readonly text: string }>();
  folders: readonly string[] = [];
  /** How far the files that recipes name may lie. */
  readonly boundary = new Boundary(() => this.folders);

  constructor(editorText: (uri: string) => EditorText | undefined) {
    this.#editorText = editorText;
  }

  /** Forgets what was read from disk of this file. */
  forget(uri: string): void {
    this.#parsed.delete(uri);
  }

  close(uri: string): void {
    this.forget(uri);
    this.#blocks.delete(uri);
  }

  /** Whether a recipe or shop file may have this file read. */
  async mayRead(from: string, uri: string): Promise<boolean> {
    const file = pathOfUri(uri);
    return file === undefined || isInside(file, await this.within(from));
  }

  /** How far the files may lie that a recipe or shop file names. One that is on no disk names none that is. */
  async within(from: string): Promise<Within> {
    const path = pathOfUri(from);
    return path === undefined ? [] : this.boundary.of(path);
  }

  /** The text of a file of readings, kept until the file changes. Throws FileError. */
  async textBeside(from: string, uri: string): Promise<string> {
    if (!(await this.mayRead(from, uri))) throw outside(uri);
    const key = await diskKey(uri);
    const known = this.#beside.get(uri);
    if (known?.key === key) return known.text;
    const text = await diskText(uri, await this.within(from));
    this.#beside.set(uri, { key, text });
    return text;
  }

  /** A document by itself. What a recipe names as its shop file is one, whatever its name; else the editor knows. */
  async document(uri: string, named?: "shop" | "recipe", within?: Within): Promise<OpenDocument | FileError> {
    const open = this.#editorText(uri);
    const kind = named ?? KINDS.get(open?.languageId ?? "") ?? kindOf(uri);
    try {
      const key = `${kind} ${open ? `v${open.version}` : await diskKey(uri)}`;
      const known = this.#parsed.get(uri);
      if (known?.key === key) return known.doc;
      const text = open ? open.getText() : await diskText(uri, within);
      const blocks = this.#blocks.get(uri) ?? new BlockCache();
      this.#blocks.set(uri, blocks);
      const source = parseDocument(uri, text, kind, blocks);
      const doc = { uri, source, symbols: symbolsOf(source) };
      this.#parsed.set(uri, { key, doc });
      return doc;
    } catch (error) {
      if (error instanceof FileError) return error;
      throw error;
    }
  }

  /** A document that another names, which must be of that kind, or why it is not read. */
  async documentNamed(
    from: string,
    path: string,
    kind: "shop" | "recipe",
  ): Promise<OpenDocument | FileError> {
    const uri = await this.#named(from, path);
    if (uri instanceof FileError) return uri;
    const doc = await this.document(uri, kind, await this.within(from));
    if (doc instanceof FileError) return doc;
    const source = asKind(doc.source);
    return source instanceof FileError ? source : doc;
  }

  /** Whether a file that a recipe names is there, or why it is not looked for. */
  async isThere(recipe: string, path: string): Promise<boolean | FileError> {
    const uri = await this.#named(recipe, path);
    return uri instanceof FileError ? uri : isThere(uri);
  }

  /** What a recipe names, where it may be read. */
  async #named(recipe: string, path: string): Promise<string | FileError> {
    try {
      const uri = resolveUri(recipe, path);
      return (await this.mayRead(recipe, uri)) ? uri : outside(uri);
    } catch (error) {
      if (error instanceof FileError) return error;
      throw error;
    }
  }

  /** Names of files that stand near where a recipe looks for one, as it would write them. */
  async filesNear(recipe: string, path: string): Promise<string[]> {
    const uri = await this.#named(recipe, path);
    const file = uri instanceof FileError ? undefined : pathOfUri(uri);
    if (file === undefined || !(await isInside(dirname(file), await this.within(recipe)))) return [];
    const entries = await readdir(dirname(file), { withFileTypes: true }).catch(() => []);
    const names = entries.filter((entry) => entry.isFile()).map(({ name }) => name);
    const folder = path.slice(0, path.length - basename(path).length);
    return allNearest(basename(path), names.sort()).map((name) => folder + name);
  }

  /** Every recipe in the folders of the workspace. */
  async recipes(): Promise<OpenDocument[]> {
    const uris = new Set<string>();
    for (const folder of this.folders)
      for await (const file of recipesIn(folder)) uris.add(pathToFileURL(file).href);
    const docs = await Promise.all([...uris].slice(0, MOST_RECIPES).map((uri) => this.document(uri)));
    return docs.filter((doc): doc is OpenDocument => !(doc instanceof FileError));
  }
}

function outside(uri: string): FileError {
  return new FileError(pathOfUri(uri) ?? uri, OUTSIDE);
}

async function* recipesIn(folder: string): AsyncGenerator<string> {
  const entries = await readdir(folder, { withFileTypes: true }).catch(() => []);
  for (const entry of entries) {
    const path = join(folder, entry.name);
    if (entry.isDirectory() && !NOT_SEARCHED.test(entry.name)) yield* recipesIn(path);
    else if (entry.isFile() && /\.sep\.ya?ml$/i.test(entry.name)) yield path;
  }
}
