import { type NearFiles, NO_FILES } from "../features/code-actions/file-fixes.ts";
import type { CheckedModel, Model, OpenDocument } from "../features/model.ts";
import { assembleProject, FileError, filesOf } from "../language/project.ts";
import { readReadings } from "../language/readings/reading-files.ts";
import { DEFAULT_LEVELS, type RuleLevels } from "../rules/levels.ts";
import type { NamedFile } from "../wire/panel.ts";
import { type Check, checkInTurns } from "./check-in-turns.ts";
import { resolveUri, uriFrom } from "./uris.ts";
import type { Measured } from "./work-messages.ts";
import { type EditorText, WorkspaceFiles } from "./workspace-files.ts";

/** What a model is made from, besides files of readings: told apart by identity. */
interface Sources {
  readonly source: OpenDocument["source"];
  /** The shop file as it was read, or why it could not be. */
  readonly shop: OpenDocument["source"] | string | undefined;
  /** Whether each picture is there, or why it is not looked for, as text. */
  readonly pictures: string;
  readonly measured: Measured | undefined;
  readonly levels: RuleLevels;
  /** An order's recipes as they were read, or why they could not be. */
  readonly recipes: readonly (OpenDocument["source"] | string)[];
}

/** A model, and all that it was made from. */
interface Made {
  readonly model: Model;
  /** What the rules say of it: asked when first wanted, and then being asked, or known. */
  check(): Check;
  readonly sources: Sources;
  /** Texts of the files of readings, by URI; undefined where one could not be read. */
  readonly beside: ReadonlyMap<string, string | undefined>;
}

/**
 * Models of documents, with what the rules say of them: made again where the text, or a file or figure that belongs to it,
 * has changed.
 */
export class Workspace {
  readonly #measured = new Map<string, Measured>();
  readonly #models = new Map<string, Made>();
  /** The user's own levels of rules. */
  levels: RuleLevels = DEFAULT_LEVELS;
  readonly files: WorkspaceFiles;

  constructor(editorText: (uri: string) => EditorText | undefined) {
    this.files = new WorkspaceFiles(editorText);
  }

  /** Forgets what was read from disk of this file. */
  forget(uri: string): void {
    this.files.forget(uri);
    this.#models.delete(uri);
  }

  close(uri: string): void {
    this.files.close(uri);
    this.#measured.delete(uri);
    this.#models.delete(uri);
  }

  setMeasured(uri: string, measured: Measured): void {
    this.#measured.set(uri, measured);
  }

  /** A document with what belongs to it; undefined where it cannot be read. */
  async model(uri: string): Promise<Model | undefined> {
    const doc = await this.files.document(uri);
    return doc instanceof FileError ? undefined : (await this.#made(doc)).model;
  }

  /** The same with what the rules say of it. */
  async checked(uri: string): Promise<CheckedModel | undefined> {
    const doc = await this.files.document(uri);
    return doc instanceof FileError ? undefined : (await this.#made(doc)).check().checked;
  }

  /** The same, for who has something to do with the recipe before all rules have spoken. */
  async check(uri: string): Promise<Check | undefined> {
    const doc = await this.files.document(uri);
    return doc instanceof FileError ? undefined : (await this.#made(doc)).check();
  }

  /** The same with all recipes of the workspace that use the same shop file: for names that reach across files. */
  async wideModel(uri: string): Promise<Model | undefined> {
    const model = await this.model(uri);
    if (!model) return undefined;
    const shopUri = model.source.kind === "shop" ? uri : model.shop?.uri;
    if (shopUri === undefined) return model;
    const recipes: OpenDocument[] = [];
    for (const doc of await this.files.recipes()) {
      const { shop } = filesOf(doc.source);
      if (uriFrom(doc.uri, shop) === shopUri) recipes.push(doc);
    }
    if (model.source.kind === "recipe" && !recipes.some((doc) => doc.uri === uri)) recipes.push(model);
    return { ...model, recipes };
  }

  /** One keystroke brings several questions: the model is made for the first of them. */
  async #made(doc: OpenDocument): Promise<Made> {
    const { shop: shopPath, pictures, recipes: recipePaths } = filesOf(doc.source);
    const { files } = this;
    const [shop, recipes, ...there] = await Promise.all([
      shopPath === undefined ? undefined : files.documentNamed(doc.uri, shopPath, "shop"),
      Promise.all(recipePaths.map((path) => files.documentNamed(doc.uri, path, "recipe"))),
      ...pictures.map(({ file }) => files.isThere(doc.uri, file)),
    ]);
    const measured = this.#measured.get(doc.uri);
    const textOrReason = (it: OpenDocument | FileError) => (it instanceof FileError ? it.message : it.source);
    const sources: Sources = {
      source: doc.source,
      shop: shop && textOrReason(shop),
      pictures: JSON.stringify(there.map((one) => (one instanceof FileError ? one.message : one))),
      measured,
      levels: this.levels,
      recipes: recipes.map(textOrReason),
    };
    const known = () => {
      const made = this.#models.get(doc.uri);
      return made && areSame(made.sources, sources) ? made : undefined;
    };
    const made = known();
    if (made && (await this.#stands(doc.uri, made.beside))) return made;

    const docs = shop === undefined || shop instanceof FileError ? [doc.source] : [doc.source, shop.source];
    const beside = new Map<string, string | undefined>();
    const readings = await readReadings(docs, async (source, path) => {
      const uri = resolveUri(source.file, path);
      beside.set(uri, undefined);
      const text = await files.textBeside(doc.uri, uri);
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
      recipes:
        doc.source.kind === "recipe"
          ? [doc]
          : recipes.filter((it): it is OpenDocument => !(it instanceof FileError)),
      readings,
      measurements: measured?.measurements,
    };
    const named = new Map(
      recipePaths.map((path, i) => {
        const recipe = recipes[i]!;
        return [path, recipe instanceof FileError ? recipe : recipe.source];
      }),
    );
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
        sources.levels,
        measured,
      );
      return checking;
    };
    const making: Made = { model, check, sources, beside };
    this.#models.set(doc.uri, making);
    return making;
  }

  /** Whether files of readings are as they were. */
  async #stands(from: string, beside: Made["beside"]): Promise<boolean> {
    for (const [uri, text] of beside)
      if ((await this.files.textBeside(from, uri).catch(() => undefined)) !== text) return false;
    return true;
  }

  /** Files that stand near where a recipe's artwork or shop file was looked for and is not. */
  async nearFilesOf(recipe: string): Promise<NearFiles> {
    const checked = await this.checked(recipe);
    const missing = checked?.findings.filter(({ rule }) => rule === "missing-file") ?? [];
    if (!checked || missing.length === 0) return NO_FILES;
    const named = filesOf(checked.source);
    const near = async (of: NamedFile) => {
      const path = missing.some((finding) => finding.path[0] === of) ? named[of] : undefined;
      return path === undefined ? [] : this.files.filesNear(recipe, path);
    };
    return { artwork: await near("artwork"), shop: await near("shop") };
  }
}

function areSame({ recipes, ...rest }: Sources, other: Sources): boolean {
  return (
    Object.entries(rest).every(([key, value]) => other[key as keyof typeof rest] === value) &&
    recipes.length === other.recipes.length &&
    recipes.every((recipe, i) => recipe === other.recipes[i])
  );
}
