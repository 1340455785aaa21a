import type { Thirds } from "../engine/inspect/thirds.ts";

/** "upper left", "on the right", "at the top" where most of it lies there, else "in several places". */
export function placeWords({ column, row }: Pick<Thirds, "column" | "row">): string {
  if (column !== undefined && row !== undefined)
    return row === 1 && column === 1 ? "in the middle" : `${ROWS[row]} ${COLUMNS[column]}`;
  if (column !== undefined) return ["on the left", "down the middle", "on the right"][column]!;
  if (row !== undefined) return ["at the top", "across the middle", "at the bottom"][row]!;
  return SPREAD;
}

/** What has no place of its own. */
const SPREAD = "in several places";

/** "mostly upper left", and what is spread as it is. */
export function mostly(where: string): string {
  return where === SPREAD ? where : `mostly ${where}`;
}

/** "upper left, where", and of what is spread "where" alone: what follows tells the places apart. */
export function placeWhere(where: string): string {
  return where === SPREAD ? "where" : `${where}, where`;
}

const ROWS = ["upper", "middle", "lower"] as const;
const COLUMNS = ["left", "middle", "right"] as const;
