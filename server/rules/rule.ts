import type { SourceDocument } from "../language/document.ts";
import type { FixData, Level, Path } from "../language/finding.ts";
import type { Recipe } from "../language/recipe.ts";
import type { Symbols } from "../language/symbols.ts";
import type { Print } from "../render/print.ts";

/** One thing that an experienced separator checks. A rule is a value; `rules/all.ts` lists them. */
export type Rule = RecipeRule | ShopRule | OrderRule | JobRule | PixelRule;

/** What is known of a rule without running it: the rules' reference is made of it. */
export interface AboutRule {
  /** Stable: shops and recipes refer to it. */
  readonly id: string;
  readonly level: Level;
  /** What goes wrong on press otherwise, in a sentence. */
  readonly why: string;
  /** Where the bounds come from: a publication, or "Common practice, no source." */
  readonly source: string;
  /** YAML that trips the rule, and a near twin that does not. A comment says what cannot be written, as of pixels. */
  readonly example: { readonly fails: string; readonly passes: string };
  /** The recipe cannot be read where this is found, so no level can be set and nothing be allowed. */
  readonly fixed?: true;
}

/** Looks at a recipe that may be half-written: anything may be missing or of the wrong kind. */
export interface RecipeRule extends AboutRule {
  readonly looksAt: "recipe";
  check(context: RuleContext): Iterable<Mark>;
}

/** Looks at a shop file that may be half-written; its marks lie there. */
export interface ShopRule extends AboutRule {
  readonly looksAt: "shop";
  check(shop: NamedDocument): Iterable<Mark>;
}

/** Looks at an order that may be half-written, with its recipes and its shop file. */
export interface OrderRule extends AboutRule {
  readonly looksAt: "order";
  check(context: OrderContext): Iterable<Mark>;
}

/** Looks at a whole job: a recipe free of errors with its shop file. */
export interface JobRule extends AboutRule {
  readonly looksAt: "job";
  /** `today` as year, month and day; undefined where nobody asks on a day, as when two commits are compared. */
  check(recipe: Recipe, today?: string): Iterable<Mark>;
}

/** Looks at the plates and at what they print. */
export interface PixelRule extends AboutRule {
  readonly looksAt: "pixels";
  check(print: Print): Iterable<Mark>;
}

export interface NamedDocument {
  readonly doc: SourceDocument;
  readonly symbols: Symbols;
}

export interface RuleContext extends NamedDocument {
  readonly shop: NamedDocument | undefined;
}

export interface OrderContext extends RuleContext {
  /** By their paths as the order writes them; those that can be read. */
  readonly recipes: ReadonlyMap<string, NamedDocument>;
}

/** Where a rule points, and what it says. */
export interface Mark {
  readonly path: Path;
  /** The key instead of the value, for blocks. */
  readonly part?: "key" | "value";
  readonly message: string;
  readonly data?: FixData;
}

/** A mark of a pixel rule on its way from the process that holds the pixels. */
export interface PixelMark extends Mark {
  readonly rule: string;
}
