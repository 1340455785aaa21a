import { readdir } from "node:fs/promises";
import { basename, dirname, join } from "node:path";
import { setImmediate } from "node:timers/promises";
import { pathToFileURL } from "node:url";
import { type NearFiles, NO_FILES } from "../features/code-actions/file-fixes.ts";
import type { CheckedModel, Model, OpenDocument } from "../features/model.ts";
import { Boundary, isInside, type Within } from "../files/boundary.ts";
import { unreadableArtwork } from "../jobs/open.ts";
import { BlockCache } from "../language/blocks.ts";
import { type DocumentKind, kindOf, parseDocument } from "../language/document.ts";
import { byPlace, type Finding } from "../language/finding.ts";
import { OUTSIDE } from "../language/outside.ts";
import { asKind, assembleProject, FileError, filesOf, type Project } from "../language/project.ts";
import { readReadings } from "../language/readings/reading-files.ts";
import type { Recipe } from "../language/recipe.ts";
import { allNearest } from "../language/suggest.ts";
import { symbolsOf } from "../language/symbols.ts";
import { type CheckOptions, checkInSteps, isReadable } from "../rules/check.ts";
import { DEFAULT_LEVELS, type RuleLevels } from "../rules/levels.ts";
import type { NamedFile } from "../wire/panel.ts";
import { diskKey, diskText, isThere } from "./disk.ts";
import { pathOfUri, resolveUri, uriFrom } from "./uris.ts";
import type { Measured } from "./work-messages.ts";

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

/** A model, and all that it was made from. */
interface Made {
  readonly model: Model;
  /** What the rules say of it: asked when first wanted, and then being asked, or known. */
  check(): Check;
  readonly source: OpenDocument["source"];
  /** The shop file as it was read, or why it could not be. */
  readonly shop: OpenDocument["source"] | string | undefined;
  /** Whether each picture is there, or why it is not looked for, as text. */
  readonly pictures: string;
  readonly measured: Measured | undefined;
  readonly levels: RuleLevels;
  /** An order's recipes as they were read, or why they could not be. */
  readonly recipes: readonly (OpenDocument["source"] | string)[];
  /** Texts of the files of readings, by URI; undefined where one could not be read. */
  readonly beside: ReadonlyMap<string, string | undefined>;
}

/**
 * Every document that the server knows: those open in the editor first, else as they are on disk. Parsed documents
 * are kept until their text changes. Holds no connection.
 */
export class Workspace {
  readonly #editorText: (uri: string) => EditorText | undefined;
  readonly #parsed = new Map<string, { readonly key: string; readonly doc: OpenDocument }>();
  readonly #blocks = new Map<string, BlockCache>();
  readonly #beside = new Map<string, { readonly key: string; readonly text: string }>();
  readonly #measured = new Map<string, Measured>();
  readonly #models = new Map<string, Made>();
  /** The user's own levels of rules. */
  levels: RuleLevels = DEFAULT_LEVELS;
  folders: readonly string[] = [];
  /** How far the files that recipes name may lie. */
  readonly boundary = new Boundary(() => this.folders);

  constructor(editorText: (uri: string) => EditorText | undefined) {
    this.#editorText = editorText;
  }

  /** Forgets what was read from disk of this file. */
  forget(uri: string): void {
    this.#parsed.delete(uri);
    this.#models.delete(uri);
  }

  close(uri: string): void {
    this.#parsed.delete(uri);
    this.#blocks.delete(uri);
    this.#measured.delete(uri);
    this.#models.delete(uri);
  }

  setMeasured(uri: string, measured: Measured): void {
    this.#measured.set(uri, measured);
  }

  /** A document with what belongs to it; undefined where it cannot be read. */
  async model(uri: string): Promise<Model | undefined> {
    const doc = await this.document(uri);
    return doc instanceof FileError ? undefined : (await this.#made(doc)).model;
  }

  /** The same with what the rules say of it. */
  async checked(uri: string): Promise<CheckedModel | undefined> {
    const doc = await this.document(uri);
    return doc instanceof FileError ? undefined : (await this.#made(doc)).check().checked;
  }

  /** The same, for who has something to do with the recipe before all rules have spoken. */
  async check(uri: string): Promise<Check | undefined> {
    const doc = await this.document(uri);
    return doc instanceof FileError ? undefined : (await this.#made(doc)).check();
  }

  /** The same with all recipes of the workspace that use the same shop file: for names that reach across files. */
  async wideModel(uri: string): Promise<Model | undefined> {
    const model = await this.model(uri);
    if (!model) return undefined;
    const shopUri = model.source.kind === "shop" ? uri : model.shop?.uri;
    if (shopUri === undefined) return model;
    const recipes: OpenDocument[] = [];
    for (const doc of await this.recipes()) {
      const { shop } = filesOf(doc.source);
      if (uriFrom(doc.uri, shop) === shopUri) recipes.push(doc);
    }
    if (model.source.kind === "recipe" && !recipes.some((doc) => doc.uri === uri)) recipes.push(model);
    return { ...model, recipes };
  }

  /** Every recipe in the folders of the workspace. */
  async recipes(): Promise<OpenDocument[]> {
    const uris = new Set<string>();
    for (const folder of this.folders)
      for await (const file of recipesIn(folder)) uris.add(pathToFileURL(file).href);
    const docs = await Promise.all([...uris].slice(0, MOST_RECIPES).map((uri) => this.document(uri)));
    return docs.filter((doc): doc is OpenDocument => !(doc instanceof FileError));
  }

  /** One keystroke brings several questions: the model is made for the first of them. */
  async #made(doc: OpenDocument): Promise<Made> {
    const { shop: shopPath, pictures, recipes: recipePaths } = filesOf(doc.source);
    const [shop, recipes, ...there] = await Promise.all([
      shopPath === undefined ? undefined : this.#shopOf(doc.uri, shopPath),
      this.#recipesOf(doc.uri, recipePaths),
      ...pictures.map(({ file }) => this.#isThere(doc.uri, file)),
    ]);
    const read = [...recipes.values()].filter((it): it is OpenDocument => !(it instanceof FileError));
    const named = new Map([...recipes].map(([path, it]) => [path, it instanceof FileError ? it : it.source]));
    const measured = this.#measured.get(doc.uri);
    const from = {
      source: doc.source,
      shop: shop instanceof FileError ? shop.message : shop?.source,
      pictures: JSON.stringify(there.map((one) => (one instanceof FileError ? one.message : one))),
      measured,
      levels: this.levels,
      recipes: [...named.values()].map((it) => (it instanceof FileError ? it.message : it)),
    };
    const known = () => {
      const made = this.#models.get(doc.uri);
      const { recipes: own, ...rest } = from;
      return made &&
        Object.entries(rest).every(([key, value]) => made[key as keyof typeof rest] === value) &&
        made.recipes.length === own.length &&
        made.recipes.every((recipe, i) => recipe === own[i])
        ? made
        : undefined;
    };
    const made = known();
    if (made && (await this.#stands(doc.uri, made.beside))) return made;

    const docs = shop === undefined || shop instanceof FileError ? [doc.source] : [doc.source, shop.source];
    const beside = new Map<string, string | undefined>();
    const readings = await readReadings(docs, async (source, path) => {
      const uri = resolveUri(source.file, path);
      beside.set(uri, undefined);
      const text = await this.#textBeside(doc.uri, uri);
      beside.set(uri, text);
      return text;
    });
    // Another question may have made it while this one read.
    const other = known();
    if (
      other &&
      beside.size === other.beside.size &&
      [...beside].every(([uri, text]) => other.beside.get(uri) === text)
    )
      return other;
    const model: Model = {
      ...doc,
      shop: shop instanceof FileError ? undefined : shop,
      recipes: doc.source.kind === "recipe" ? [doc] : read,
      readings,
      measurements: measured?.measurements,
    };
    let checking: Check | undefined;
    const check = () => {
      checking ??= checkInTurns(
        model,
        () =>
          assembleProject(
            doc.source,
            shop instanceof FileError ? shop : shop?.source,
            there,
            readings,
            named,
          ),
        from.levels,
        measured,
      );
      return checking;
    };
    const making: Made = { model, check, ...from, beside };
    this.#models.set(doc.uri, making);
    return making;
  }

  /** Whether files of readings are as they were. */
  async #stands(from: string, beside: Made["beside"]): Promise<boolean> {
    for (const [uri, text] of beside)
      if ((await this.#textBeside(from, uri).catch(() => undefined)) !== text) return false;
    return true;
  }

  /** A shop file that a recipe names, or why it is not read. */
  async #shopOf(recipe: string, path: string): Promise<OpenDocument | FileError> {
    const uri = await this.#named(recipe, path);
    if (uri instanceof FileError) return uri;
    const doc = await this.document(uri, "shop", await this.within(recipe));
    return doc instanceof FileError ? doc : claimed(doc);
  }

  /** The recipes that an order names, by their paths as it writes them, or why they are not read. */
  async #recipesOf(order: string, paths: readonly string[]): Promise<Map<string, OpenDocument | FileError>> {
    const within = await this.within(order);
    const read = paths.map(async (path) => {
      const uri = await this.#named(order, path);
      if (uri instanceof FileError) return [path, uri] as const;
      const doc = await this.document(uri, "recipe", within);
      return [path, doc instanceof FileError ? doc : claimed(doc)] as const;
    });
    return new Map(await Promise.all(read));
  }

  async #isThere(recipe: string, path: string): Promise<boolean | FileError> {
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

  /** Files that stand near where a recipe's artwork or shop file was looked for and is not. */
  async nearFilesOf(recipe: string): Promise<NearFiles> {
    const checked = await this.checked(recipe);
    const missing = checked?.findings.filter(({ rule }) => rule === "missing-file") ?? [];
    if (!checked || missing.length === 0) return NO_FILES;
    const named = filesOf(checked.source);
    const near = async (of: NamedFile) => {
      const path = missing.some((finding) => finding.path[0] === of) ? named[of] : undefined;
      return path === undefined ? [] : this.#nearFiles(recipe, path);
    };
    return { artwork: await near("artwork"), shop: await near("shop") };
  }

  async #nearFiles(recipe: string, path: string): Promise<string[]> {
    const uri = await this.#named(recipe, path);
    const file = uri instanceof FileError ? undefined : pathOfUri(uri);
    if (file === undefined || !(await isInside(dirname(file), await this.within(recipe)))) return [];
    const entries = await readdir(dirname(file), { withFileTypes: true }).catch(() => []);
    const names = entries.filter((entry) => entry.isFile()).map(({ name }) => name);
    const folder = path.slice(0, path.length - basename(path).length);
    return allNearest(basename(path), names.sort()).map((name) => folder + name);
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

  /** The text of a file of readings, kept until the file changes. */
  async #textBeside(from: string, uri: string): Promise<string> {
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
}

/** A document that says that it is of the kind that it was asked for. */
function claimed(doc: OpenDocument): OpenDocument | FileError {
  const source = asKind(doc.source);
  return source instanceof FileError ? source : doc;
}

function outside(uri: string): FileError {
  return new FileError(pathOfUri(uri) ?? uri, OUTSIDE);
}
