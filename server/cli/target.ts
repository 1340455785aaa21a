import packageInfo from "../../package.json" with { type: "json" };
import { filmPage } from "../engine/screen/film-page.ts";
import { MOST_INKS, targetSheet } from "../engine/target/sheet.ts";
import { targetScreens, tooLarge } from "../jobs/target.ts";
import { shopScreening } from "../language/recipe.ts";
import { suggestion } from "../language/suggest.ts";
import type { FilmFormat } from "../output/films/setup-films.ts";
import { Staging } from "../output/staging.ts";
import { targetPage } from "../output/target/page.ts";
import { emptyReadings } from "../output/target/readings-file.ts";
import { targetFiles, writeTargetFilms } from "../output/target/target-films.ts";
import { type Command, oneOf, onlyPath, requiredText, UsageError, type Values } from "./command.ts";
import { openShop } from "./open-shop.ts";
import { startProgress } from "./progress.ts";

const FORMATS: readonly FilmFormat[] = ["pdf", "tiff", "png"];
const READINGS = "target-readings.txt";
const PAGE = "target.html";

export const target: Command = {
  name: "target",
  usage:
    "SHOP --out DIR [--ink NAME]… [--base NAME] [--format pdf|tiff|png] [--mirror] [--date DATE] [--force]",
  does: "write the films of a target sheet, from whose print the shop's figures are measured",
  options: {
    out: { type: "string" },
    ink: { type: "string", multiple: true },
    base: { type: "string" },
    format: { type: "string", default: "pdf" },
    mirror: { type: "boolean", default: false },
    date: { type: "string" },
    force: { type: "boolean", default: false },
  },
  async run(positionals, values, console) {
    const file = onlyPath(positionals, "shop file");
    const folder = requiredText(values, "out");
    const format = values.format as FilmFormat;
    if (!FORMATS.includes(format)) throw new UsageError(`--format takes ${oneOf(FORMATS)}, not "${format}"`);
    const opened = await openShop(file, console);
    if (typeof opened === "number") return opened;
    const { shop } = opened;
    const inks = inksOf(Object.keys(shop.inks ?? {}), values);
    const base = typeof values.base === "string" ? values.base : undefined;
    if (base !== undefined && !inks.includes(base))
      throw new UsageError(`--base ${base} is none of the sheet's inks (${inks.join(", ")})`);
    const title = shop.title ?? file;
    const sheet = targetSheet({ title, inks, base, screens: targetScreens(shop) });
    const problem = tooLarge(shop, sheet.width, sheet.height);
    if (problem) throw new UsageError(problem);
    const page = filmPage(sheet.width, sheet.height, shopScreening(shop).filmDpi);
    const date = typeof values.date === "string" ? values.date : new Date().toISOString().slice(0, 10);
    const producer = `Platewright ${packageInfo.version}`;
    const files = targetFiles(inks, format);
    const names = [...new Set(files), PAGE, READINGS];
    const progress = startProgress(console);
    const staging = await Staging.open(folder, { force: values.force === true });
    try {
      await staging.claim(names);
      const request = { sheet, page, format, mirror: values.mirror === true, title, date, producer };
      await writeTargetFilms(staging, request, progress.part("films", 0, 1));
      const command = `platewright calibrate ${file} ${READINGS}`;
      await staging.write(
        PAGE,
        targetPage({ sheet, title, files, readingsFile: READINGS, command, date, producer }),
      );
      await staging.write(READINGS, emptyReadings(sheet, title, producer));
      await staging.commit();
      progress.end();
    } catch (error) {
      progress.end();
      staging.discard();
      throw error;
    }
    console.out.write(
      [
        `target sheet of ${inks.length} ${inks.length === 1 ? "ink" : "inks"}, ${sheet.width.toFixed(0)} × ${sheet.height.toFixed(0)} mm at ${page.dpi} dpi, ${sheet.screens.map(({ name }) => name).join(", ")}`,
        ...names.map((name) => `  ${folder}/${name}`),
        "",
      ].join("\n"),
    );
    return 0;
  },
};

function inksOf(shelf: readonly string[], values: Values): string[] {
  const asked = (values.ink as unknown as string[] | undefined) ?? shelf;
  for (const ink of asked)
    if (!shelf.includes(ink))
      throw new UsageError(`there is no ink "${ink}" on the shelf${suggestion(ink, shelf, "inks are")}`);
  if (asked.length === 0) throw new UsageError("the shop file has no inks; a target sheet prints them");
  if (asked.length > MOST_INKS)
    throw new UsageError(
      `a target sheet takes up to ${MOST_INKS} inks, in print order; name them with --ink (${shelf.join(", ")})`,
    );
  return [...new Set(asked)];
}
