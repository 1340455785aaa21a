import type { Thirds } from "../engine/inspect/thirds.ts";

/** "upper left", "on the right", "at the top" where most of it lies there, else "in several places". */
export function placeWords({ column, row }: Pick<Thirds, "column" | "row">): string {
  if (column !== undefined && row !== undefined)
    return row === 1 && column === 1 ? "in the middle" : `${ROWS[row]} ${COLUMNS[column]}`;
  if (column !== undefined) return ["on the left", "down the middle", "on the right"][column]!;
  if (row !== undefined) return ["at the top", "across the middle", "at the bottom"][row]!;
  return "in several places";
}

const ROWS = ["upper", "middle", "lower"] as const;
const COLUMNS = ["left", "middle", "right"] as const;
