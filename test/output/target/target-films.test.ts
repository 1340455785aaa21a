import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { filmPage } from "../../../server/engine/screen/film-page.ts";
import type { Sheet } from "../../../server/engine/target/sheet.ts";
import type { Staging } from "../../../server/output/staging.ts";
import {
  type TargetFilms,
  targetFiles,
  writeTargetFilms,
} from "../../../server/output/target/target-films.ts";
import { inkIn, pdfPages, pictureOf, type Seen } from "../films/read-film.ts";

const DPI = 200;
const px = (mm: number) => Math.round((mm * DPI) / 25.4);
const solid = (plate: number, x: number) => ({
  plate,
  box: { x, y: 2, width: 8, height: 8 },
  tone: 100,
  screening: { method: "fm", grainMm: 0.3 } as const,
});
/** 60 × 30 mm; the first plate's square is on the left, the second's on the right. */
const sheet: Sheet = {
  width: 60,
  height: 30,
  inks: ["ember", "rose"],
  tested: ["ember"],
  base: undefined,
  screens: [],
  patches: [solid(0, 2), solid(1, 50)],
  fields: [],
  marks: [],
  bars: [],
  labels: [],
};
const page = filmPage(sheet.width, sheet.height, DPI);

/** What is written, by name and in order, and the progress that is told. */
async function made(options: Partial<TargetFilms>) {
  const files = new Map<string, Uint8Array>();
  const write = async (name: string, bytes: Uint8Array) => files.set(name, bytes);
  const told: number[] = [];
  await writeTargetFilms(
    { write } as unknown as Staging,
    {
      sheet,
      page,
      format: "png",
      mirror: false,
      title: "Shop",
      date: "2026-01-02",
      producer: "a test",
      ...options,
    },
    (done) => {
      told.push(done);
    },
  );
  return { files, told };
}

/** Ink on the left and on the right square of a picture whose art begins at x, y. */
const squares = (film: Seen, x: number, y: number) =>
  [2, 50].map((left) => inkIn(film, { x: x + px(left) + 3, y: y + px(2) + 3, width: 50, height: 50 }));

/** A TIFF's text is ASCII, with a question mark for any other sign (TIFF 6.0). */
const details = (ink: string, format: string) =>
  ["target sheet", "Shop", `ink ${ink}`, "not compensated", "2026-01-02"].join(
    format === "tiff" ? " ? " : " · ",
  );

it("a film of a target sheet is a file of its own, or a page of the one PDF", () => {
  expect(targetFiles(["ember", "rose"], "png")).toEqual(["target-ember.png", "target-rose.png"]);
  expect(targetFiles(["ember", "rose"], "tiff")).toEqual(["target-ember.tif", "target-rose.tif"]);
  expect(targetFiles(["ember", "rose"], "pdf")).toEqual(["target.pdf", "target.pdf"]);
});

describe.each(["png", "tiff"] as const)("films of a target sheet as %s", (format) => {
  it("have each its own plate's patches, and tell how far they are", async () => {
    const { files, told } = await made({ format });
    expect([...files.keys()]).toEqual(targetFiles(sheet.inks, format));
    expect(told).toEqual([0.5, 1]);
    const [ember, rose] = await Promise.all([...files.values()].map(pictureOf));
    for (const film of [ember!, rose!]) expect([film.width, film.height]).toEqual([page.width, page.height]);
    expect(squares(ember!, page.art.x, page.art.y)).toEqual([1, 0]);
    expect(squares(rose!, page.art.x, page.art.y)).toEqual([0, 1]);
    for (const file of files.values()) expect((await sharp(file).metadata()).density).toBeCloseTo(DPI, -0.5);
  });

  it("say what they are, and which side the emulsion is on", async () => {
    for (const [mirror, side] of [
      [false, "right-reading, emulsion up"],
      [true, "right-reading, emulsion down"],
    ] as const) {
      const { files } = await made({ format, mirror });
      for (const [i, file] of [...files.values()].entries())
        expect(Buffer.from(file).toString("utf8")).toContain(
          `${sheet.inks[i]}   ${i + 1}/2 | ${details(sheet.inks[i]!, format)} | ${side}`,
        );
      const [ember] = await Promise.all([...files.values()].map(pictureOf));
      // Turned left for right, as a whole page.
      const turned = { ...ember!, at: (x: number, y: number) => ember!.at(page.width - 1 - x, y) };
      expect(squares(mirror ? turned : ember!, page.art.x, page.art.y)).toEqual([1, 0]);
    }
  });

  it("bear their label", async () => {
    const { files } = await made({ format });
    const [ember] = await Promise.all([...files.values()].map(pictureOf));
    const { x, y, width, height } = page.art;
    const above = { x, y: y - px(12), width: Math.round(width / 2) - px(8), height: px(4) };
    const below = { x, y: y + height + px(16.5), width: Math.round(width / 2) - px(6), height: px(2) };
    expect(inkIn(ember!, above)).toBeGreaterThan(0.02);
    expect(inkIn(ember!, below)).toBeGreaterThan(0.02);
  });
});

it.each(["png", "tiff", "pdf"] as const)(
  "films of a target sheet that cannot be written are told: %s",
  async (format) => {
    const write = async () => {
      await new Promise((later) => setImmediate(later));
      throw new Error("the disk is full");
    };
    const request = { sheet, page, format, mirror: false, title: "", date: "", producer: "" };
    const told: number[] = [];
    const made = writeTargetFilms({ write } as unknown as Staging, request, (done) => {
      told.push(done);
    });
    await expect(made).rejects.toThrow("the disk is full");
    // The first film is not done before it is written.
    expect(told).toEqual(format === "pdf" ? [0.5, 1] : []);
  },
);

it("a TIFF's film names the program", async () => {
  const { files } = await made({ format: "tiff", producer: "a very special test" });
  expect(Buffer.from(files.get("target-rose.tif")!).toString("latin1")).toContain("a very special test");
});

describe("films of a target sheet as PDF", () => {
  it.each([false, true])("are a page each, mirrored: %s", async (mirror) => {
    const { files, told } = await made({ format: "pdf", mirror });
    expect([[...files.keys()], told]).toEqual([["target.pdf"], [0.5, 1]]);
    const bytes = files.get("target.pdf")!;
    const pages = await pdfPages(bytes);
    expect(pages.map(({ images }) => [...images.keys()])).toEqual([["Print0"], ["Print0"]]);
    const found = pages.map(({ images }) => {
      const { seen } = images.get("Print0")!;
      expect([seen.width, seen.height]).toEqual([page.art.width, page.art.height]);
      const straight = { ...seen, at: (x: number, y: number) => seen.at(seen.width - 1 - x, y) };
      return squares(mirror ? straight : seen, 0, 0);
    });
    expect(found).toEqual([
      [1, 0],
      [0, 1],
    ]);
    // Each page's colorant is its ink.
    const text = Buffer.from(bytes).toString("latin1");
    expect([text.includes("/Separation /ember"), text.includes("/Separation /rose")]).toEqual([true, true]);
  });
});
