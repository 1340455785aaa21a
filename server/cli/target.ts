import packageInfo from "../../package.json" with { type: "json" };
import { filmPage } from "../engine/screen/film-page.ts";
import { shopScreening } from "../language/resolve-shop.ts";
import type { FilmFormat } from "../output/films/setup-films.ts";
import { Staging } from "../output/staging.ts";
import { targetPage } from "../output/target/page.ts";
import { emptyReadings } from "../output/target/readings-file.ts";
import { targetFiles, writeTargetFilms } from "../output/target/target-films.ts";
import { type Command, oneOf, onlyPath, requiredText, UsageError } from "./command.ts";
import { openShop } from "./open-shop.ts";
import { startProgress } from "./progress.ts";
import { SHEET_OPTIONS, sheetOf } from "./target-sheet.ts";

const FORMATS: readonly FilmFormat[] = ["pdf", "tiff", "png"];
const READINGS = "target-readings.txt";
const PAGE = "target.html";

export const target: Command = {
  name: "target",
  usage:
    "SHOP --out DIR [--ink NAME]… [--base NAME] [--format pdf|tiff|png] [--mirror] [--date DATE] [--force]",
  does: "write the films of a target sheet, which is printed and measured to calibrate the shop file",
  options: {
    out: { type: "string" },
    ...SHEET_OPTIONS,
    format: { type: "string", default: "pdf" },
    mirror: { type: "boolean", default: false },
    date: { type: "string" },
    force: { type: "boolean", default: false },
  },
  async run(positionals, values, console, disk) {
    const file = onlyPath(positionals, "shop file");
    const folder = requiredText(values, "out");
    const format = values.format as FilmFormat;
    if (!FORMATS.includes(format)) throw new UsageError(`--format takes ${oneOf(FORMATS)}, not "${format}"`);
    const opened = await openShop(file, console, disk);
    if (typeof opened === "number") return opened;
    const { shop } = opened;
    const title = shop.title ?? file;
    const sheet = sheetOf(shop, title, values);
    const { inks } = sheet;
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
      const command = `platewright calibrate ${file} ${folder}/${READINGS}${sheet.base === undefined ? "" : ` --base ${sheet.base}`}`;
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
