import { MOST_INKS, type Sheet, targetSheet } from "../engine/target/sheet.ts";
import { targetScreens, tooLarge, usualMesh } from "../jobs/target.ts";
import type * as Formats from "../language/generated/formats.ts";
import { suggestion } from "../language/suggest.ts";
import { type Options, UsageError, type Values } from "./command.ts";

/** The options that say which sheet is meant, alike for the command that makes it and the one that reads it. */
export const SHEET_OPTIONS: Options = {
  ink: { type: "string", multiple: true },
  base: { type: "string" },
};

/** The target sheet of a shop, for the inks that the options name. Throws UsageError where it cannot be printed. */
export function sheetOf(shop: Formats.Shop, title: string, values: Values): Sheet {
  const shelf = Object.keys(shop.inks ?? {});
  const inks = [...new Set((values.ink as unknown as string[] | undefined) ?? shelf)];
  for (const ink of inks)
    if (!shelf.includes(ink))
      throw new UsageError(
        `there is no ink "${ink}" in the ink library${suggestion(ink, shelf, "inks are")}`,
      );
  if (inks.length === 0) throw new UsageError("the shop file has no inks; a target sheet prints them");
  if (inks.length > MOST_INKS)
    throw new UsageError(
      `a target sheet takes up to ${MOST_INKS} inks, in print order; name them with --ink (${shelf.join(", ")})`,
    );
  const base = typeof values.base === "string" ? values.base : undefined;
  if (base !== undefined && !inks.includes(base))
    throw new UsageError(`--base ${base} is none of the sheet's inks (${inks.join(", ")})`);
  const meshes = new Map(inks.map((ink) => [ink, usualMesh(shop, ink === base)]));
  const sheet = targetSheet({ title, inks, base, meshes, screens: targetScreens(shop) });
  const problem = tooLarge(shop, sheet.width, sheet.height);
  if (problem) throw new UsageError(problem);
  return sheet;
}
