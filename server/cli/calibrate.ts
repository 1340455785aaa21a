import { basename } from "node:path";
import { readArtwork } from "../artwork/artwork.ts";
import { calibrate } from "../jobs/calibrate.ts";
import { printable } from "../language/printable.ts";
import { parseDay } from "../language/values/day.ts";
import { replaceFile } from "../output/replace-file.ts";
import { type Command, UsageError } from "./command.ts";
import { openShop } from "./open-shop.ts";
import { SHEET_OPTIONS, sheetOf } from "./target-sheet.ts";

const PICTURE = /\.(?:png|jpe?g|tiff?|webp)$/i;

export const calibration: Command = {
  name: "calibrate",
  usage: "SHOP READINGS… [--ink NAME]… [--base NAME] [--date DATE] [--mesh NAME] [--write | --format json]",
  does: "show what the readings of a target sheet (CGATS, CxF3, a scan) change in the shop file; --write writes it",
  options: {
    ...SHEET_OPTIONS,
    date: { type: "string" },
    mesh: { type: "string" },
    write: { type: "boolean", default: false },
    format: { type: "string", default: "text" },
  },
  async run(positionals, values, console, disk) {
    const [file, ...readings] = positionals;
    if (file === undefined) throw new UsageError("shop file is missing");
    if (values.format !== "text" && values.format !== "json")
      throw new UsageError(`--format takes text or json, not "${values.format}"`);
    if (values.format === "json" && values.write === true)
      throw new UsageError("--format json writes nothing; leave --write away");
    if (readings.length === 0)
      throw new UsageError("readings are missing; name a file of readings (CGATS or CxF3)");
    const opened = await openShop(file, console, disk);
    if (typeof opened === "number") return opened;
    const { shop, text } = opened;
    const date = typeof values.date === "string" ? values.date : new Date().toISOString().slice(0, 10);
    const day = parseDay(date);
    if (!day.ok) throw new UsageError(`--date: ${day.problem}`);
    const mesh = typeof values.mesh === "string" ? values.mesh : undefined;
    if (mesh !== undefined && !shop.meshes?.[mesh])
      throw new UsageError(
        `--mesh: the shop has no mesh "${mesh}" (${Object.keys(shop.meshes ?? {}).join(", ")})`,
      );
    const base = typeof values.base === "string" ? values.base : undefined;
    if (base !== undefined && !shop.inks?.[base])
      throw new UsageError(`--base ${base} is none of the shop's inks`);
    const pictures = readings.filter((path) => PICTURE.test(path));
    const sheet = pictures.length > 0 ? sheetOf(shop, "", values) : undefined;
    const files = await Promise.all(
      readings
        .filter((path) => !PICTURE.test(path))
        .map(async (path) => ({ name: basename(path), text: await disk.readText(path) })),
    );
    const scans = [];
    for (const path of pictures) {
      const { picture } = await readArtwork(path, {
        widthMm: sheet!.width,
        ...(disk.within && { within: disk.within }),
      });
      scans.push({ name: basename(path), scan: picture });
    }
    const request = { text, shop, files, scans, ...(sheet && { sheet }), date, mesh, base };
    const { calibration: found, problems } = calibrate(request);
    for (const { file: where, line, level, message } of problems)
      console.err.write(`${printable(`${where}:${line}: ${level}: ${message}`)}\n`);
    if (!found) return 1;
    const changes = found.changes.map(({ said }) => said);
    if (values.format === "json") {
      console.out.write(`${JSON.stringify({ notes: found.notes, changes }, null, 2)}\n`);
      return 0;
    }
    // Names of samples are the file's own.
    for (const line of [...found.notes, ...changes]) console.out.write(`${printable(line)}\n`);
    if (changes.length === 0) console.out.write(`nothing changes in ${printable(file)}\n`);
    else if (values.write === true) {
      await replaceFile(file, found.text);
      console.out.write(`written to ${printable(file)}\n`);
    } else console.out.write(`nothing is written yet; add --write to change ${printable(file)}\n`);
    return 0;
  },
};
