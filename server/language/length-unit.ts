import type { LengthUnit } from "../engine/units.ts";
import type { SourceDocument } from "./document.ts";
import { fieldsOf } from "./partial-data.ts";

/** The unit in which a recipe's width is written: all lengths of the job are told in it. */
export function lengthUnitOf({ value }: SourceDocument): LengthUnit {
  const { width } = fieldsOf(fieldsOf(value).artwork);
  const unit = typeof width === "string" ? /(in|cm|mm)\s*$/.exec(width)?.[1] : undefined;
  return unit === "in" || unit === "cm" ? unit : "mm";
}
