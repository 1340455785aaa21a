import type { SourceDocument } from "../language/document.ts";
import type { FixData, Level, Path } from "../language/finding.ts";
import type { Symbols } from "../language/symbols.ts";

/** One thing that an experienced separator checks. A rule is a value; `rules/all.ts` lists them. */
export interface Rule {
  /** Stable: shops refer to it. */
  readonly id: string;
  readonly level: Level;
  /** What goes wrong otherwise, in a sentence. */
  readonly why: string;
  /** Looks at a recipe that may be half-written: anything may be missing or of the wrong kind. */
  check(context: RuleContext): Iterable<Mark>;
}

export interface RuleContext {
  readonly doc: SourceDocument;
  readonly symbols: Symbols;
  readonly shop: { readonly doc: SourceDocument; readonly symbols: Symbols } | undefined;
}

/** Where a rule points, and what it says. */
export interface Mark {
  readonly path: Path;
  /** The key instead of the value, for blocks. */
  readonly part?: "key" | "value";
  readonly message: string;
  readonly data?: FixData;
}
