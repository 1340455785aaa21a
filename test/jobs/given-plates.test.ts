import { readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { readFilmBits } from "../../server/artwork/plates/given-plates.ts";
import { films } from "../../server/cli/films.ts";
import { proof } from "../../server/cli/proof.ts";
import { DifferenceMeter } from "../../server/engine/print/difference.ts";
import { disk, diskWithin } from "../../server/jobs/disk.ts";
import { atPreviewSize, atPrintSize, checkWithPixels } from "../../server/jobs/look.ts";
import { canBePrinted, openJob, type ReadableJob } from "../../server/jobs/open.ts";
import { tuneRecipe } from "../../server/jobs/tune.ts";
import { formatPath } from "../../server/language/finding.ts";
import { encodeG4 } from "../../server/output/films/g4.ts";
import { tiffOf } from "../../server/output/films/tiff.ts";
import { StageCache } from "../../server/render/stage-cache.ts";
import { tiff } from "../artwork/fixtures.ts";
import { pictureOf } from "../output/films/read-film.ts";
import { scratch } from "../output/folders.ts";
import { saidBy } from "../rules/printed.ts";

const { fresh } = scratch();

const [WIDTH, HEIGHT] = [60, 40];
const FADE = Uint8Array.from({ length: WIDTH * HEIGHT }, (_, i) =>
  Math.round(((i % WIDTH) / (WIDTH - 1)) * 255),
);
const SQUARE = Uint8Array.from({ length: WIDTH * HEIGHT }, (_, i) =>
  i % WIDTH > 20 && i % WIDTH < 40 && i > 10 * WIDTH && i < 30 * WIDTH ? 255 : 0,
);

const grey = (tones: Uint8Array, height = HEIGHT) =>
  sharp(
    tones.map((v) => 255 - v),
    { raw: { width: WIDTH, height, channels: 1 } },
  )
    .toColourspace("b-w")
    .png()
    .toBuffer();

interface Parts {
  readonly artwork?: string;
  readonly base?: string;
  readonly ember?: string;
  readonly more?: string;
  readonly dpi?: number;
}

/** A job of two plates on 1 in; its files are those that are given. */
async function jobOf(files: Readonly<Record<string, Uint8Array>>, parts: Parts = {}): Promise<ReadableJob> {
  const folder = fresh();
  for (const [name, bytes] of Object.entries(files)) writeFileSync(join(folder, name), bytes);
  const {
    artwork = "made-of: plates, width: 1 in",
    base = "{ plate: base.png }",
    ember = "{ plate: ember.png }",
  } = parts;
  const file = join(folder, "job.sep.yaml");
  writeFileSync(
    file,
    `recipe: 1
artwork: { ${artwork} }
garments: { black: { colour: "#17171a" }, white: { colour: "#f4f3ef" } }
inks:
  white: { colour: "#f8f8f4", opacity: 92% }
  ember: { colour: "#d8431f", opacity: 70% }
plates:
  base: { ink: white, extract: ${base} }
  ember: { ink: ember, extract: ${ember} }
setups: { dark: { garments: [black, white], order: [base, ember] } }
screening: { film: ${parts.dpi ?? 600} dpi, smallest-dot: 0%${parts.more ?? ""} }
`,
  );
  const job = await openJob(file, disk);
  expect(job.findings.filter(({ level }) => level === "error")).toEqual([]);
  if (!canBePrinted(job)) throw new Error("not readable");
  return job;
}

const preview = atPreviewSize(new StageCache(50_000_000));
const plain = async () => ({ "base.png": await grey(SQUARE), "ember.png": await grey(FADE) });

describe("a job whose plates all come from files", () => {
  it("has their tones, at preview and at print size", async () => {
    const job = await jobOf(await plain());
    for (const print of [await preview(job), await atPrintSize(job, () => {})]) {
      expect(print.plates.get("base")!.tones).toEqual(SQUARE);
      expect(print.plates.get("ember")!.tones).toEqual(FADE);
      expect(print.artwork.info).toMatchObject({ width: WIDTH, height: HEIGHT, ppi: 60 });
    }
  });

  it("has what they print for its artwork: clear where nothing does, and near to each garment's proof", async () => {
    const print = await preview(await jobOf(await plain()));
    const { data } = print.picture;
    expect(data[3]).toBe(0);
    expect(data[(15 * WIDTH + 30) * 4 + 3]).toBe(255);
    const difference = (garment: string) => {
      const meter = new DifferenceMeter(print.recipe.garments.get(garment)!.colour.lab);
      meter.add(print.picture, 0, print.pixels, print.proof(garment, "dark"));
      return meter.result().mean;
    };
    expect(difference("black")).toBeLessThan(0.3);
    expect(difference("white")).toBeLessThan(6);
  });

  it("sees a file that was saved again", async () => {
    const job = await jobOf(await plain());
    const before = (await preview(job)).plates.get("ember")!.tones;
    writeFileSync(job.artworkFile.replace("base", "ember"), await grey(SQUARE));
    expect((await preview(job)).plates.get("ember")!.tones).toEqual(SQUARE);
    expect(before).toEqual(FADE);
  });
});

it("a recipe with plates from files is not tuned, since what they print follows from no number of its own", async () => {
  expect(
    await tuneRecipe({ job: await jobOf(await plain()), seconds: 1, numbers: 4, strengths: false }),
  ).toEqual({
    untouched: "base and ember come from files; tune recipes whose plates are all taken from the artwork",
  });
});

describe("one plate of a hand-made set from a file", () => {
  it("stands among ranges, and is knocked out and adjusted as they are", async () => {
    const pixels = Uint8Array.from({ length: WIDTH * HEIGHT * 3 }, (_, i) => [216, 67, 31][i % 3]!);
    const art = await sharp(pixels, { raw: { width: WIDTH, height: HEIGHT, channels: 3 } })
      .png()
      .toBuffer();
    const job = await jobOf(
      { "art.png": art, "base.png": await grey(SQUARE) },
      { artwork: "file: art.png, width: 1 in", ember: "{ near: '#d8431f', within: 5 }" },
    );
    const text = readFileSync(job.project.main.file, "utf8");
    writeFileSync(
      job.project.main.file,
      `${text}knockouts: [{ from: ember, where: base }]\nadjust: [{ plate: base, curve: [[0, 0], [100, 50]] }]\n`,
    );
    const changed = (await openJob(job.project.main.file, disk)) as ReadableJob;
    const print = await preview(changed);
    const at = (plate: string, i: number) => print.plates.get(plate)!.tones[i];
    expect([at("base", 0), at("ember", 0)]).toEqual([0, 255]);
    const middle = 15 * WIDTH + 30;
    expect([at("base", middle), at("ember", middle)]).toEqual([128, 127]);
  });
});

describe("a plate's file that does not fit", () => {
  const found = async (job: ReadableJob) =>
    (await checkWithPixels(job, preview)).findings
      .filter(({ level }) => level === "error")
      .map(({ path, message }) => `${formatPath(path)}: ${message.replace(/^.*\//, "")}`);

  it("is reported at its plate: another shape, an ink that is not there, a file that is none", async () => {
    const files = await plain();
    expect(
      await found(await jobOf({ ...files, "ember.png": await grey(FADE.subarray(0, WIDTH * 30), 30) })),
    ).toEqual([
      "plates.ember.extract.plate: ember.png: the plate has another shape than the print: it is 0.500 times as high as wide, the print 0.667 times; ask for it with the print's own edges",
    ]);
    expect(await found(await jobOf({ ...files, "ember.png": Buffer.from("nothing") }))).toEqual([
      "plates.ember.extract.plate: ember.png: this is not a picture; a plate is a grey PNG, JPEG, WebP or TIFF, or a separation of a PDF: export it as one of these",
    ]);
    const inks = tiff(new Uint8Array(WIDTH * HEIGHT * 2), {
      width: WIDTH,
      height: HEIGHT,
      samples: 2,
      photometric: 1,
    });
    const one = "{ plate: two.tif, channel: 1 }";
    expect(
      await found(
        await jobOf({ "two.tif": inks }, { base: one, ember: "{ plate: two.tif, colorant: Red }" }),
      ),
    ).toEqual([
      'plates.ember.extract.plate: two.tif: there is no ink "Red" in the file; its inks have no names',
    ]);
  });

  it("is not read beyond the boundary, by its name or through a link", async () => {
    const job = await jobOf(await plain());
    const file = job.project.main.file;
    const outside = fresh();
    writeFileSync(join(outside, "secret.png"), await grey(SQUARE));
    symlinkSync(join(outside, "secret.png"), join(file, "..", "link.png"));
    const text = readFileSync(file, "utf8");
    for (const named of [join(outside, "secret.png"), "link.png"]) {
      writeFileSync(file, text.replace("ember.png", named));
      const { findings, readable } = await openJob(file, diskWithin([join(file, "..")]));
      expect(readable).toBe(false);
      expect(findings.map(({ rule, path }) => [rule, formatPath(path)])).toEqual([
        ["missing-file", "plates.ember.extract.plate"],
      ]);
    }
  });

  it("is told where it is missing", async () => {
    const folder = (await jobOf(await plain())).project.main.file;
    const text = readFileSync(folder, "utf8").replace("ember.png", "gone.png");
    writeFileSync(folder, text);
    const { findings, readable } = await openJob(folder, disk);
    expect(readable).toBe(false);
    expect(findings.map(({ rule, path, message }) => [rule, formatPath(path), message])).toEqual([
      [
        "missing-file",
        "plates.ember.extract.plate",
        'There is no file "gone.png" beside this recipe; the plate comes from it',
      ],
    ]);
  });
});

describe("plates that do not lie on one another", () => {
  /** A square with a square inside of it, in the colours of its two plates, moved by so many pixels. */
  const shape = (inner: boolean, x = 0, y = 0) =>
    Uint8Array.from({ length: WIDTH * HEIGHT }, (_, i) => {
      const [column, row] = [(i % WIDTH) - x, Math.floor(i / WIDTH) - y];
      const isInner = column >= 24 && column < 38 && row >= 13 && row < 27;
      const isOuter = column >= 16 && column < 45 && row >= 8 && row < 32;
      return isInner === inner && (inner || isOuter) ? 255 : 0;
    });

  it("are reported with how far, against the artwork or against one another", async () => {
    const pixels = new Uint8Array(WIDTH * HEIGHT * 3).fill(255);
    for (const [colour, part] of [
      [[200, 40, 30], shape(true)],
      [[20, 30, 120], shape(false)],
    ] as const)
      for (let i = 0; i < part.length; i++) if (part[i]! > 0) pixels.set(colour, 3 * i);
    const art = await sharp(pixels, { raw: { width: WIDTH, height: HEIGHT, channels: 3 } })
      .png()
      .toBuffer();
    const said = async (moved: Uint8Array, artwork: string) => {
      const files = { "art.png": art, "base.png": await grey(shape(false)), "ember.png": await grey(moved) };
      return saidBy("plate-shift", await preview(await jobOf(files, { artwork }))).map(
        ({ message }) => message,
      );
    };
    expect(await said(shape(true), "file: art.png, width: 1 in")).toEqual([]);
    expect(await said(shape(true), "made-of: plates, width: 1 in")).toEqual([]);
    // A pixel is 0.42 mm here.
    expect(await said(shape(true, 4, -2), "file: art.png, width: 1 in")).toEqual([
      "ember fits the artwork best when it is not where its file has it: it lies about 1.7 mm right and 0.85 mm up of its place; ask for files with the same edges",
    ]);
    expect(await said(shape(true, 4, -2), "made-of: plates, width: 1 in")).toEqual([
      expect.stringMatching(
        /^base fits the other plates .* about 1\.7 mm left and 0\.85 mm down of its place/,
      ),
      expect.stringMatching(
        /^ember fits the other plates .* about 1\.7 mm right and 0\.85 mm up of its place/,
      ),
    ]);
  });
});

/** A film of 600 × 400 dots of one bit at 600 dpi, no two rows alike. */
const FILM = { width: 600, height: 400 };
const DOTS = Uint8Array.from(
  { length: (FILM.width / 8) * FILM.height },
  (_, i) => (i * 197 + (i >> 4) * 31) % 256,
);
const film = (dpi: number | undefined): Uint8Array =>
  dpi === undefined
    ? tiff(DOTS, { ...FILM, samples: 1, bits: 1, photometric: 0 })
    : tiffOf({
        ...FILM,
        dpi,
        rowsPerStrip: FILM.height,
        strips: [encodeG4(DOTS, FILM.width, FILM.height)],
        description: "a film",
        software: "test",
      });

const SILENT = {
  out: { write: () => {}, command: () => {} },
  err: { write: () => {}, draw: () => {} },
};

describe("what is written for others", () => {
  it.each([
    ["contone PDF, a page a plate", { contone: true }, "job-dark.pdf"],
    ["contone PDF, all on one page", { contone: true, together: true }, "job-dark.pdf"],
    ["TIFF of all inks", { format: "tiff", contone: true, together: true }, "job-dark.tif"],
    ["composite PDF", undefined, "comp.pdf"],
  ] as const)("comes back with the same tones, as plates of a job: %s", async (_, values, name) => {
    const job = await jobOf(await plain());
    const { file } = job.project.main;
    const out = join(file, "..", "out");
    const status = values
      ? await films.run(
          [file],
          { setup: "dark", out, date: "2026-01-02", format: "pdf", ...values },
          SILENT,
          disk,
        )
      : await proof.run([file], { garment: "black", out: join(out, name) }, SILENT, disk);
    expect(status).toBe(0);
    const written = readFileSync(join(out, name));
    const back = await jobOf(
      { [name]: written },
      { base: `{ plate: ${name}, colorant: base }`, ember: `{ plate: ${name}, colorant: ember }` },
    );
    const print = await atPrintSize(back, () => {});
    for (const [plate, tones] of [
      ["base", SQUARE],
      ["ember", FADE],
    ] as const)
      expect(print.plates.get(plate)!.tones, plate).toEqual(tones);
  });

  it("comes back dot for dot where it is screened: the films of a PDF as those of TIFFs", async () => {
    const job = await jobOf(await plain());
    const { file } = job.project.main;
    const out = join(file, "..", "out");
    const ask = (format: string) =>
      films.run([file], { setup: "dark", out, date: "2026-01-02", format }, SILENT, disk);
    expect([await ask("pdf"), await ask("tiff")]).toEqual([0, 0]);
    const { bits } = await readFilmBits(join(out, "job-dark.pdf"), { ...EMBER, screened: true }, FILM, {});
    const straight = await pictureOf(readFileSync(join(out, "job-dark-ember.tif")));
    let wrong = 0;
    for (let y = 0; y < FILM.height; y++)
      for (let x = 0; x < FILM.width; x++)
        if (((bits[y * (FILM.width / 8) + (x >> 3)]! >> (7 - (x & 7))) & 1) !== straight.at(x + 376, y + 378))
          wrong++;
    expect(wrong).toBe(0);
  });
});

const EMBER = { page: undefined, channel: undefined, colorant: "ember", solid: undefined };

describe("a film that is screened already", () => {
  const screened = { ember: "{ plate: film.tif, screened: true }" };
  it("goes onto film dot for dot, in every format, and contone too", async () => {
    const job = await jobOf({ ...(await plain()), "film.tif": film(600) }, screened);
    const { file } = job.project.main;
    const folder = join(file, "..", "out");
    const ask = (more: Record<string, string | boolean>) =>
      films.run(
        [file],
        { setup: "dark", out: folder, date: "2026-01-02", force: true, ...more },
        SILENT,
        disk,
      );
    for (const [format, name] of [
      ["tiff", "job-dark-ember.tif"],
      ["png", "job-dark-ember.png"],
    ] as const) {
      expect(await ask({ format })).toBe(0);
      const made = await pictureOf(readFileSync(join(folder, name)));
      let wrong = 0;
      for (let y = 0; y < FILM.height; y++)
        for (let x = 0; x < FILM.width; x++) {
          const ink = (DOTS[y * (FILM.width / 8) + (x >> 3)]! >> (7 - (x & 7))) & 1;
          if (made.at(x + 376, y + 378) !== ink) wrong++;
        }
      expect(wrong).toBe(0);
    }
    expect(await ask({ format: "pdf", contone: true })).toBe(0);
  });

  it("has the pixels of a drawing at print size, where all plates are films", async () => {
    const only = {
      base: "{ plate: film.tif, screened: true }",
      ember: "{ plate: film.tif, screened: true }",
    };
    const { artwork } = await atPrintSize(await jobOf({ "film.tif": film(600) }, only), () => {});
    expect([artwork.picture.width, artwork.picture.height, artwork.info.ppi]).toEqual([300, 200, 600]);
  });

  it("is shown by the area of its dots, as they print on a compensated film", async () => {
    const share =
      DOTS.reduce((sum, byte) => sum + [...byte.toString(2)].filter((b) => b === "1").length, 0) /
      (FILM.width * FILM.height);
    const files = { ...(await plain()), "film.tif": film(600) };
    const mean = async (more: string) => {
      const { tones } = (await preview(await jobOf(files, { ...screened, more }))).plates.get("ember")!;
      return tones.reduce((sum, v) => sum + v, 0) / (255 * tones.length);
    };
    expect(await mean("")).toBeCloseTo(share, 2);
    const gain = ", gain: [[0, 0], [50, 70], [100, 100]]";
    expect(await mean(gain)).toBeGreaterThan(share + 0.1);
    // Films as they are: the plate's tone is the film's, and the proof takes the gain.
    expect(await mean(`${gain}, compensate: false`)).toBeCloseTo(share, 2);
  });

  it("is spoken of where it would be screened again, or has other pixels or another size than the print", async () => {
    const said = async (rule: string, dpi: number | undefined, ember = screened.ember, filmDpi = 600) => {
      const files = { ...(await plain()), "film.tif": film(dpi) };
      return saidBy(rule, await preview(await jobOf(files, { ember, dpi: filmDpi }))).map(
        ({ message }) => message,
      );
    };
    expect(await said("screened-twice", 600, "{ plate: film.tif }")).toEqual([
      "the file of ember is ink or none, as films are, and would be screened twice; write screened: true beside it",
    ]);
    expect(await said("screened-twice", 600)).toEqual([]);
    expect(await said("plate-size", 600)).toEqual([]);
    expect(await said("plate-size", undefined)).toEqual([]);
    expect(await said("plate-size", 300)).toEqual([
      "the file of ember says that it prints 51 mm wide, and the print is 25 mm; scaled so far its dots are no longer what they were: ask which is right",
    ]);
    expect(await said("film-pixels", 600)).toEqual([]);
    expect(await said("film-pixels", 600, screened.ember, 1000)).toEqual([
      "the film of ember has 600 pixels an inch at this width, and films are made at 1000; set film: 600 dpi, or ask for ember unscreened",
    ]);
  });
});
