import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { expect, it } from "vitest";
import { sheetSamples, targetSheet } from "../../server/engine/target/sheet.ts";
import { targetScreens } from "../../server/jobs/target.ts";
import { parseCgats } from "../../server/language/readings/cgats.ts";
import { printOf, scanned } from "../engine/target/scanned.ts";
import { pdfPages } from "../output/films/read-film.ts";
import { scratch } from "../output/folders.ts";
import { platewright, put } from "./program.ts";

const { fresh } = scratch();
const SHOP = `shop: 1 # ours
title: Back Lane
press: { stations: 6 }
meshes: { colour: { count: 225/in } }
inks:
  ember: { colour: "#d8431f", opacity: 70% } # lot 7
  rose: { colour: lab(52 58 -4), opacity: 70% }
screening: { ruling: 40 lpi, film: 600 dpi, smallest-dot: 4% }
`;
function shop(): string {
  const folder = fresh();
  put(folder, "a.shop.yaml", SHOP);
  return folder;
}
const sheet = targetSheet({
  title: "Back Lane",
  inks: ["ember", "rose"],
  base: undefined,
  screens: targetScreens({ shop: 1, screening: { ruling: "40 lpi" } }),
});

it("target writes films of every format, the page and empty readings, the same again each time", async () => {
  const folder = shop();
  const made = async (format: string, out: string) => {
    const args = ["--format", format, "--date", "2026-01-02"];
    const {
      status,
      out: said,
      err,
    } = await platewright(folder, "target", "a.shop.yaml", "--out", out, ...args);
    expect([status, err.replace(/.*\r/s, "").trim()]).toEqual([0, ""]);
    expect(said).toContain("target sheet of 2 inks");
    return (name: string) => readFileSync(join(folder, out, name));
  };
  const png = await made("png", "png");
  const again = await made("png", "again");
  expect(png("target-ember.png").equals(again("target-ember.png"))).toBe(true);
  const tiff = await made("tiff", "tiff");
  const pdf = await made("pdf", "pdf");
  // One film is the same picture in each.
  const pixels = (file: Buffer) =>
    sharp(file, { limitInputPixels: false }).toColourspace("b-w").raw().toBuffer();
  expect((await pixels(png("target-rose.png"))).equals(await pixels(tiff("target-rose.tif")))).toBe(true);
  expect(await pdfPages(pdf("target.pdf"))).toHaveLength(2);
  const table = parseCgats(png("target-readings.txt").toString());
  expect(table.problems).toEqual([]);
  expect(table.rows.map(({ values }) => values[1]!.text)).toEqual(
    sheetSamples(sheet).map(({ name }) => name),
  );
  expect(png("target.html").toString()).toMatch(
    /platewright calibrate a\.shop\.yaml \S*png\/target-readings\.txt/,
  );
});

it("target says what it cannot print, in a line", async () => {
  const folder = shop();
  const failed = async (...args: string[]) => {
    const { status, err } = await platewright(folder, "target", "a.shop.yaml", "--out", "out", ...args);
    return [status, err.split("\n")[0]];
  };
  expect(await failed("--ink", "embre")).toEqual([
    2,
    'platewright: there is no ink "embre" in the ink library; did you mean "ember"?',
  ]);
  expect(await failed("--base", "white")).toEqual([
    2,
    "platewright: --base white is none of the sheet's inks (ember, rose)",
  ]);
  put(
    folder,
    "a.shop.yaml",
    SHOP.replace("stations: 6", "stations: 6, area: { width: 20 cm, height: 30 cm }"),
  );
  expect((await failed())[1]).toMatch(
    /^platewright: the sheet is \d+ × \d+ mm, the press prints 200 × 300 mm/,
  );
  expect(readdirSync(folder)).toEqual(["a.shop.yaml"]);
});

const READINGS = `CGATS.17
BEGIN_DATA_FORMAT
SAMPLE_NAME LAB_L LAB_A LAB_B VALUE_MM
END_DATA_FORMAT
BEGIN_DATA
"ember 40lpi 0 over garment" 95 0 0 -
"ember 40lpi 50 over garment" 60 0 0 -
"ember 40lpi 100 over garment" 20 0 0 -
"ember solid over white card" 52 58 34 -
"ember solid over black card" 45 50 28 -
"rose 40lpi 0 over garment" - - - -
"rose register x" - - - 0.1
"ember line across" - - - 0.15
"rose line across" - - - 0.2
END_DATA
`;

it("calibrate shows what readings change, and writes it only when told to", async () => {
  const folder = shop();
  put(folder, "r.txt", READINGS);
  const run = (...args: string[]) =>
    platewright(folder, "calibrate", "a.shop.yaml", "r.txt", "--date", "2026-03-14", ...args);
  const shown = await run();
  expect(shown.status).toBe(0);
  expect(shown.out).toContain("inks.ember.gain: none → [[0, 0], [50, ");
  expect(shown.out).toContain("nothing is written yet");
  const asJson = JSON.parse((await run("--format", "json")).out);
  expect(asJson.changes).toContainEqual(expect.stringContaining("inks.ember.gain: none → [[0, 0], [50, "));
  expect(shown.out).toContain([...asJson.notes, ...asJson.changes].join("\n"));
  expect((await run("--format", "json", "--write")).err).toContain("--format json writes nothing");
  expect(readFileSync(join(folder, "a.shop.yaml"), "utf8")).toBe(SHOP);
  const written = await run("--mesh", "colour", "--write");
  expect(written.status).toBe(0);
  const text = readFileSync(join(folder, "a.shop.yaml"), "utf8");
  expect(text).toMatch(
    /ember: \{ over-white: lab\(52 58 34\), over-black: lab\(45 50 28\), gain: \[\[0, 0\], \[50, [\d.]+\], \[100, 100\]\], measured: \{ date: "2026-03-14", from: r.txt, mesh: colour, screen: 40lpi \} \} # lot 7/,
  );
  expect(text).toContain("misregistration: 0.1 mm");
  // One tint of 50 % says nothing of the smallest dot.
  expect(text).toContain("smallest-dot: 4%, smallest-line: 0.2 mm }");
  expect(text).toContain("shop: 1 # ours");
  expect((await platewright(folder, "check", "a.shop.yaml")).status).toBe(0);
  expect((await run("--mesh", "colour")).out).toContain("nothing changes in a.shop.yaml");
  expect(JSON.parse((await run("--mesh", "colour", "--format", "json")).out).changes).toEqual([]);
  expect(readdirSync(folder).sort()).toEqual(["a.shop.yaml", "r.txt"]);
});

it("calibrate lets no control character of a file's name or text through", async () => {
  const folder = shop();
  put(
    folder,
    "r\u001b[31m.txt",
    READINGS.replace("ember 40lpi 100 over garment", "ember\u001b[31m 40lpi 100 over garment"),
  );
  const { out, err } = await platewright(
    folder,
    "calibrate",
    "a.shop.yaml",
    "r\u001b[31m.txt",
    "--date",
    "2026-03-14",
  );
  expect(out + err).toContain("[31m");
  expect(out + err).not.toContain("\u001b");
});

it("calibrate takes each ink for printed through its usual mesh, the underbase through another", async () => {
  const folder = shop();
  const meshes =
    "meshes: { base: { count: 122/in }, colour: { count: 225/in } }\nusual-mesh: { underbase: base, colour: colour }\n";
  put(folder, "a.shop.yaml", SHOP.replace("meshes: { colour: { count: 225/in } }\n", meshes));
  put(
    folder,
    "r.txt",
    READINGS.replaceAll(
      /"rose 40lpi.*\n/g,
      '"rose solid over white card" 60 50 0 -\n"rose solid over black card" 50 50 0 -\n',
    ),
  );
  const run = (...args: string[]) =>
    platewright(folder, "calibrate", "a.shop.yaml", "r.txt", "--date", "2026-03-14", ...args);
  const { out } = await run("--base", "rose");
  expect(out).toContain(
    'inks.ember.measured: none → { date: "2026-03-14", from: r.txt, mesh: colour, screen: 40lpi }',
  );
  expect(out).toContain('inks.rose.measured: none → { date: "2026-03-14", from: r.txt, mesh: base }');
  // The names of the readings tell it too.
  put(
    folder,
    "r.txt",
    readFileSync(join(folder, "r.txt"), "utf8").replace(
      "END_DATA\n",
      '"ember solid over base" 50 55 30 -\nEND_DATA\n',
    ),
  );
  expect((await run()).out).toContain("from: r.txt, mesh: base }");
  expect((await run("--base", "rsoe")).err).toMatch(/^platewright: --base rsoe is none of the shop's inks\n/);
});

it("calibrate says each contradiction with its line, and changes nothing", async () => {
  const folder = shop();
  put(folder, "r.txt", READINGS.replace('white card" 52', 'white card" 42'));
  const { status, out, err } = await platewright(folder, "calibrate", "a.shop.yaml", "r.txt", "--write");
  expect([status, out]).toEqual([1, ""]);
  expect(err).toBe(
    "r.txt:10: error: over black reads L* 45.0, lighter than over white, 42.0; are the two swapped?\n",
  );
  expect(readFileSync(join(folder, "a.shop.yaml"), "utf8")).toBe(SHOP);
});

it("calibrate reads a scan by what an instrument has read of it, and tells how well that fits", async () => {
  const folder = shop();
  const { data, width, height } = scanned(sheet, 3, 4);
  const png = await sharp(data, { raw: { width, height, channels: 4 } })
    .png()
    .toBuffer();
  put(folder, "scan.png", png);
  const rows = sheetSamples(sheet).flatMap(({ name, sample }) => {
    if (sample.kind !== "patch" || !/40lpi (?:0|20|50|80) over/.test(name)) return [];
    const { L, a, b } = printOf(sample.ink, sample.tone / 100);
    return [`"${name}" ${L.toFixed(2)} ${a.toFixed(2)} ${b.toFixed(2)} -`];
  });
  put(
    folder,
    "known.txt",
    READINGS.replace(/BEGIN_DATA\n"[\s\S]+END_DATA/, `BEGIN_DATA\n${rows.join("\n")}\nEND_DATA`),
  );
  const run = (...args: string[]) => platewright(folder, "calibrate", "a.shop.yaml", "scan.png", ...args);
  const { status, out, err } = await run("known.txt");
  expect([status, err]).toEqual([0, ""]);
  expect(out).toMatch(
    /scan\.png: \d+ patches read; fitted to 8 patches read by instrument, ΔE00 0\.\d\d off on average/,
  );
  expect(out).toContain("scan.png: lines, gaps and register need a scan of 300 ppi; this one has 102\n");
  expect(out).toMatch(/inks\.ember\.gain: none → \[\[0, 0\], \[1, /);
  expect(out).toContain("inks.rose.over-white: none → lab(");
  const alone = await run();
  expect([alone.status, alone.err]).toEqual([
    1,
    "scan.png:1: error: 0 patches of the sheet are of known colour; a scan needs 6 that an instrument has read, solids and light tints among them\n",
  ]);
});
