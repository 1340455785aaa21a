import { readdirSync, readFileSync, statSync } from "node:fs";
import { dirname, join, relative } from "node:path";

/** Imports of a file of the project that are there when it runs. Types are not. */
const IMPORT = /^(?:import|export)\s+(?!type\b)(?:[^"';]*?\sfrom\s+)?"(\.[^"]*\.ts)"/gm;

/** Who imports whom, by files named from the project's folder. */
export class Imports {
  readonly #root: string;
  readonly #known = new Map<string, readonly string[]>();

  constructor(root: string) {
    this.#root = root;
  }

  /** How many imports lie between a file and another; undefined where it does not reach it. */
  distance(from: string, to: string): number | undefined {
    const seen = new Set([from]);
    let front = [from];
    for (let far = 0; front.length > 0; far++) {
      if (front.includes(to)) return far;
      front = front.flatMap((file) => this.#of(file)).filter((file) => !seen.has(file) && seen.add(file));
    }
    return undefined;
  }

  #of(file: string): readonly string[] {
    const known = this.#known.get(file);
    if (known) return known;
    let text = "";
    try {
      text = readFileSync(join(this.#root, file), "utf8");
    } catch {
      // What is generated may not be there yet.
    }
    const found = [...text.matchAll(IMPORT)].map(([, name = ""]) => join(dirname(file), name));
    this.#known.set(file, found);
    return found;
  }
}

/**
 * The tests of a source file, the nearest first: those in the folder that mirrors its own, if they reach it, and all
 * others that import it themselves. Tests of the packaged extension in its editor are none of them.
 */
export function testsOf(root: string, file: string, imports = new Imports(root)): string[] {
  const mirror = join("test", dirname(file).replace(/^server(?:\/|$)/, ""));
  return filesUnder(join(root, "test"), ".test.ts")
    .map((test) => relative(root, test))
    .filter((test) => !test.startsWith("test/editor/"))
    .flatMap((test) => {
      const far = imports.distance(test, file);
      return far === 1 || (far !== undefined && dirname(test) === mirror) ? [{ test, far }] : [];
    })
    .sort((a, b) => a.far - b.far || (a.test < b.test ? -1 : 1))
    .map(({ test }) => test);
}

export function filesUnder(folder: string, ending: string): string[] {
  return readdirSync(folder)
    .sort()
    .map((name) => join(folder, name))
    .flatMap((file) =>
      statSync(file).isDirectory() ? filesUnder(file, ending) : file.endsWith(ending) ? [file] : [],
    );
}
