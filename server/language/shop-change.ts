import { isAlias, isMap, parseDocument } from "yaml";
import type { Path } from "./finding.ts";
import { flowText } from "./flow-text.ts";

/** One value of a file that becomes another; `value` undefined takes the key away. */
export interface ValueChange {
  readonly path: Path;
  readonly value: unknown;
}

/**
 * A file's text with values changed, comments and all else kept; new lists and maps are written on one line. Lines that
 * are not touched stay as they are, but for runs of blanks. The text must be sound YAML, without aliases on the paths.
 */
export function withChanges(text: string, changes: readonly ValueChange[]): string {
  const doc = parseDocument(text);
  // A plain word that the text does not hold stands for each value, so that the values are laid out as everywhere here.
  let mark = "changed-value";
  while (text.includes(mark)) mark += "-";
  const values: string[] = [];
  for (const { path, value } of changes) {
    if (value === undefined) {
      doc.deleteIn(path);
      continue;
    }
    for (let depth = 1; depth < path.length; depth++) {
      const above = path.slice(0, depth);
      if (!isMap(doc.getIn(above, true))) doc.setIn(above, doc.createNode({}));
    }
    doc.setIn(path, doc.createNode(`${mark}${values.length}.`));
    values.push(flowText(value));
  }
  const pattern = new RegExp(`${mark}(\\d+)\\.`, "g");
  return doc.toString({ lineWidth: 0 }).replace(pattern, (_, i) => values[Number(i)]!);
}

/** The first part of a path at which the text has an alias; undefined where there is none. */
export function aliasOn(text: string, path: Path): Path | undefined {
  const doc = parseDocument(text);
  for (let depth = 1; depth <= path.length; depth++)
    if (isAlias(doc.getIn(path.slice(0, depth), true))) return path.slice(0, depth);
  return undefined;
}

/** The value at a path of plain data. */
export function valueAt(data: unknown, path: Path): unknown {
  return path.reduce<unknown>(
    (at, key) =>
      typeof at === "object" && at !== null && Object.hasOwn(at, key)
        ? (at as Record<string | number, unknown>)[key]
        : undefined,
    data,
  );
}
