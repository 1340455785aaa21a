import { dirname } from "node:path";
import type { Within } from "../files/boundary.ts";
import { filesOfCommit } from "../jobs/commit.ts";
import { openJob } from "../jobs/open.ts";
import { FileError } from "../language/project.ts";
import type { Recipe } from "../language/recipe.ts";
import { Revision, RevisionError } from "../revisions/git.ts";
import { pathOfUri } from "./uris.ts";

/** Git is asked for the last commit no more often than this. */
const AGAIN_MS = 2000;

interface Known {
  readonly commit: string | undefined;
  /** Undefined where the last commit has no such recipe, or one with errors. */
  readonly recipe: Recipe | undefined;
}

/**
 * Recipes as the last commit has them, for those who must not wait: what is asked for is given as far as it is known
 * already, and looked up behind the asker's back.
 */
export class CommittedRecipes {
  readonly #known = new Map<string, Known>();
  readonly #asked = new Map<string, number>();
  readonly #came: () => void;
  readonly #within: (uri: string) => Promise<Within>;

  /** `came` is called when there is another answer than the one last given; `within` says how far files may lie. */
  constructor(came: () => void, within: (uri: string) => Promise<Within> = async () => undefined) {
    this.#came = came;
    this.#within = within;
  }

  of(uri: string): Recipe | undefined {
    const now = performance.now();
    if (now - (this.#asked.get(uri) ?? Number.NEGATIVE_INFINITY) > AGAIN_MS) {
      this.#asked.set(uri, now);
      void this.#look(uri);
    }
    return this.#known.get(uri)?.recipe;
  }

  close(uri: string): void {
    this.#known.delete(uri);
    this.#asked.delete(uri);
  }

  async #look(uri: string): Promise<void> {
    const before = this.#known.get(uri);
    const found = await committed(uri, before, await this.#within(uri));
    if (found === before || !this.#asked.has(uri)) return;
    this.#known.set(uri, found);
    if (found.recipe || before?.recipe) this.#came();
  }
}

async function committed(uri: string, known: Known | undefined, within: Within): Promise<Known> {
  const file = pathOfUri(uri);
  if (file === undefined) return known ?? { commit: undefined, recipe: undefined };
  try {
    const revision = await Revision.open(dirname(file), "HEAD", within);
    const { commit } = revision;
    if (known && known.commit === commit) return known;
    try {
      return { commit, recipe: (await openJob(file, filesOfCommit(revision, within))).recipe };
    } catch (error) {
      if (error instanceof FileError) return { commit, recipe: undefined };
      throw error;
    }
  } catch (error) {
    if (error instanceof RevisionError) return known ?? { commit: undefined, recipe: undefined };
    throw error;
  }
}
