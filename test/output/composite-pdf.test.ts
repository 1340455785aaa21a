import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { PDFDict, PDFDocument, PDFName } from "@cantoo/pdf-lib";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { openPlates } from "../../server/artwork/plates/plate-file.ts";
import type { PlateView } from "../../server/artwork/plates/plates.ts";
import { type CompositePdf, compositePdf } from "../../server/output/composite-pdf.ts";
import { inksTiff } from "../../server/output/films/inks-tiff.ts";
import { has, run } from "./films/tools.ts";
import { scratch } from "./folders.ts";
import { psdChannels } from "./read-psd.ts";

const { fresh } = scratch();

const [WIDTH, HEIGHT] = [72, 36];
const NAMES = ["base", "ember", "Grün", "black"];
const INKS = [
  { L: 96, a: 0, b: 2 },
  { L: 48, a: 60, b: 50 },
  { L: 50, a: -50, b: 30 },
  { L: 8, a: 0, b: 0 },
];
const tonesOf = (k: number) =>
  Uint8Array.from({ length: WIDTH * HEIGHT }, (_, i) =>
    k === 0 ? Math.round(((i % WIDTH) * 255) / (WIDTH - 1)) : (i * (5 + k) + 40 * k) % 256,
  );
const JOB: CompositePdf = {
  title: "A job, coal",
  producer: "test",
  widthMm: 25.4,
  heightMm: 12.7,
  width: WIDTH,
  height: HEIGHT,
  garment: { name: "coal", colour: { L: 8, a: 0, b: 0 } },
  plates: NAMES.map((name, k) => ({ name, ink: INKS[k]!, tones: tonesOf(k) })),
};

const view = (colorant: string): PlateView => ({
  page: undefined,
  channel: undefined,
  colorant,
  solid: undefined,
  screened: false,
});

async function readBack(file: string, names: readonly string[]) {
  const opened = await openPlates(file, undefined);
  return { info: opened.info, ...(await opened.tones(names.map(view), undefined)) };
}

async function written(): Promise<{ folder: string; file: string }> {
  const folder = fresh();
  const file = join(folder, "job.pdf");
  writeFileSync(file, await compositePdf(JOB));
  return { folder, file };
}

describe("a composite PDF", () => {
  it("gives every plate's tones back, and its size, colorants and colours", async () => {
    const { file } = await written();
    const { info, size, tones } = await readBack(file, NAMES);
    expect(size).toEqual({ width: WIDTH, height: HEIGHT });
    expect(tones).toEqual(JOB.plates.map((plate) => plate.tones));
    expect(info.colorants).toEqual(["Garment coal", ...NAMES]);
    expect(info.sizeMm!.width).toBeCloseTo(25.4, 3);
    expect(info.sizeMm!.height).toBeCloseTo(12.7, 3);
    // L* 96 and a little yellow.
    expect(info.looks.get("base")!.every((v) => v > 235)).toBe(true);
  });

  it("names its colorants on its page, which is as large as the print, and overprints", async () => {
    const doc = await PDFDocument.load(await compositePdf(JOB), { updateMetadata: false });
    const [page] = doc.getPages();
    expect([doc.getTitle(), doc.getProducer(), doc.getCreationDate()]).toEqual([
      "A job, coal",
      "test",
      undefined,
    ]);
    // 25.4 × 12.7 mm in points.
    expect(page!.getSize()).toEqual({ width: expect.closeTo(72, 6), height: expect.closeTo(36, 6) });
    expect(page!.getTrimBox()).toMatchObject({ x: 0, y: 0, width: 72, height: 36 });
    const dict = (key: string) => page!.node.Resources()!.lookup(PDFName.of(key), PDFDict);
    const names = (key: string) =>
      dict(key)
        .keys()
        .map((name) => name.decodeText());
    expect(names("ColorSpace")).toEqual(["Garment", ...NAMES.map((_, i) => `Plate${i}`)]);
    expect(names("XObject")).toEqual(NAMES.map((_, i) => `Print${i}`));
    const state = dict("ExtGState").lookup(PDFName.of("Overprint"), PDFDict);
    expect(["OP", "op", "OPM"].map((key) => String(state.get(PDFName.of(key))))).toEqual([
      "true",
      "true",
      "1",
    ]);
  });

  it("is the same bytes each time", async () => {
    expect(await compositePdf(JOB)).toEqual(await compositePdf(JOB));
  });

  it.skipIf(!has("gs"))(
    "has the same tones for Ghostscript, which shows inks on garments (needs Ghostscript)",
    async () => {
      const { folder } = await written();
      const gs = (device: string, out: string) =>
        run(
          "gs",
          ["-q", "-dSAFER", "-dBATCH", "-dNOPAUSE", `-sDEVICE=${device}`, "-r72", "-o", out, "job.pdf"],
          folder,
        );
      gs("tiffsep", "s.tif");
      for (const [k, name] of NAMES.entries()) {
        // Ghostscript numbers names that differ in capitals from another's.
        const own = readdirSync(folder).find((file) =>
          new RegExp(`^s\\(${encodeURIComponent(name)}\\d*\\)\\.tif$`).test(file),
        )!;
        const ink = await sharp(join(folder, own)).toColourspace("b-w").raw().toBuffer();
        const wanted = tonesOf(k);
        expect(Math.max(...ink.map((v, i) => Math.abs(255 - v - wanted[i]!))), name).toBeLessThanOrEqual(1);
      }
      gs("png16m", "s.png");
      const { data } = await sharp(join(folder, "s.png")).raw().toBuffer({ resolveWithObject: true });
      // Where base is solid and nothing else prints, white; at the left end of the base, garment.
      const clear = Array.from({ length: WIDTH * HEIGHT }, (_, i) => i).filter((i) =>
        [1, 2, 3].every((k) => tonesOf(k)[i]! < 8),
      );
      for (const i of clear)
        expect(Math.abs(data[3 * i]! - (24 + (220 * tonesOf(0)[i]!) / 255))).toBeLessThan(40);
    },
  );

  it.skipIf(!has("mutool"))("has the same tones for MuPDF (needs mupdf-tools)", async () => {
    const { folder } = await written();
    run("mutool", ["draw", "-F", "psd", "-O", "2", "-r", "72", "-o", "s%d.psd", "job.pdf"], folder);
    const { width, height, channels } = psdChannels(readFileSync(join(folder, "s1.psd")));
    expect([width, height]).toEqual([WIDTH, HEIGHT]);
    const near = (k: number) => (channel: Uint8Array) =>
      channel.every((v, i) => Math.abs(255 - v - tonesOf(k)[i]!) <= 1);
    for (const [k, name] of NAMES.entries()) expect(channels.filter(near(k)), name).toHaveLength(1);
  });
});

describe("a TIFF of all inks", () => {
  const INKS_TIFF = {
    width: WIDTH,
    height: HEIGHT,
    ppi: 72,
    inks: NAMES.map((name, k) => ({ name, tones: tonesOf(k) })),
    description: "A job, dark",
    software: "test",
  };

  it.each([1, 2, 4])("of %d gives every ink's tones back by its name", async (count) => {
    const file = join(fresh(), "job.tif");
    writeFileSync(file, inksTiff({ ...INKS_TIFF, inks: INKS_TIFF.inks.slice(0, count) }));
    const { info, tones } = await readBack(file, NAMES.slice(0, count));
    expect(tones).toEqual(NAMES.slice(0, count).map((_, k) => tonesOf(k)));
    expect(info.colorants).toEqual(NAMES.slice(0, count));
    expect(info.sizeMm!.width).toBeCloseTo(25.4, 6);
  });

  it.skipIf(!has("tiffinfo", "tiffcp"))(
    "is read by libtiff, byte for byte (needs libtiff's tools)",
    async () => {
      const folder = fresh();
      writeFileSync(join(folder, "job.tif"), inksTiff(INKS_TIFF));
      const said = run("tiffinfo", ["job.tif"], folder);
      expect(said).toContain("Photometric Interpretation: separated");
      expect(said).toMatch(/Ink Names: base, ember, Gr.*n, black/);
      expect(said).toContain("Resolution: 72, 72 pixels/inch");
      run("tiffcp", ["-c", "none", "-r", String(HEIGHT), "job.tif", "plain.tif"], folder);
      const plain = readFileSync(join(folder, "plain.tif"));
      const samples = Buffer.from(
        Uint8Array.from({ length: WIDTH * HEIGHT * 4 }, (_, i) => tonesOf(i % 4)[i >> 2]!),
      );
      expect(plain.indexOf(samples)).toBeGreaterThan(0);
    },
  );
});
