import { type Finding, formatPath, LEVELS } from "../../language/finding.ts";

export interface PlacedFinding extends Finding {
  readonly line: number;
}

export interface FindingChanges {
  readonly come: readonly PlacedFinding[];
  readonly gone: readonly PlacedFinding[];
}

/**
 * Which findings are new and which are gone. A finding is the same where its rule says the same of the same place; else
 * where it speaks of the same place, since figures in a message move with every edit; else where it says the same of
 * another place, since entries of a list move. One that a comment allows is as good as gone.
 */
export function findingChanges(
  before: readonly PlacedFinding[],
  after: readonly PlacedFinding[],
): FindingChanges {
  let gone = before.filter(({ allowed }) => allowed === undefined);
  let come = after.filter(({ allowed }) => allowed === undefined);
  const keys: ((finding: Finding) => string)[] = [
    ({ rule, level, path, message }) => JSON.stringify([rule, level, formatPath(path), message]),
    ({ rule, level, path }) => JSON.stringify([rule, level, formatPath(path)]),
    ({ rule, level, message }) => JSON.stringify([rule, level, message]),
  ];
  for (const key of keys) {
    const left = new Map<string, number>();
    for (const one of gone) left.set(key(one), (left.get(key(one)) ?? 0) + 1);
    const paired = new Map<string, number>();
    come = come.filter((one) => {
      const count = left.get(key(one)) ?? 0;
      if (count === 0) return true;
      left.set(key(one), count - 1);
      paired.set(key(one), (paired.get(key(one)) ?? 0) + 1);
      return false;
    });
    gone = gone.filter((one) => {
      const count = paired.get(key(one)) ?? 0;
      if (count === 0) return true;
      paired.set(key(one), count - 1);
      return false;
    });
  }
  return { come: byLevel(come), gone: byLevel(gone) };
}

function byLevel(findings: readonly PlacedFinding[]): PlacedFinding[] {
  return [...findings].sort((a, b) => LEVELS.indexOf(a.level) - LEVELS.indexOf(b.level));
}
