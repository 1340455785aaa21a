import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, renameSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { has, run } from "../output/films/tools.ts";
import { scratch } from "../output/folders.ts";
import { random } from "../property.ts";
import { ended, platewright, put, RECIPE, started } from "./program.ts";

const { fresh } = scratch();

/** Two plates on 2 × 1.5 in, films at 600 dpi: a gradient of red, and what is opaque. */
async function job(more = ""): Promise<string> {
  const folder = fresh();
  const [width, height] = [200, 150];
  const pixels = Buffer.alloc(width * height * 4);
  for (let y = 10; y < height - 10; y++)
    for (let x = 10; x < width - 10; x++) {
      const k = (x - 10) / (width - 20);
      pixels.set([216 + 39 * (1 - k), 67 + 188 * (1 - k), 31 + 224 * (1 - k), 255], (y * width + x) * 4);
    }
  put(
    folder,
    "art.png",
    await sharp(pixels, { raw: { width, height, channels: 4 } })
      .png()
      .toBuffer(),
  );
  const recipe = RECIPE.replace("width: 1 in", "width: 2 in").replace(
    "extract: { hue: [20, 60], chroma: [40, 140] } }",
    "extract: { hue: [0, 80] }, strength: chroma }",
  );
  put(
    folder,
    "job.sep.yaml",
    `${recipe}screening: { film: 600 dpi, ruling: 35 lpi, smallest-dot: 0% }\n${more}`,
  );
  return folder;
}

const films = (folder: string, ...more: string[]) =>
  platewright(
    folder,
    "films",
    "job.sep.yaml",
    "--setup",
    "dark",
    "--out",
    "out",
    "--date",
    "2026-01-02",
    ...more,
  );

/** Ink of a bilevel or grey picture, 1 where black. */
async function inkOf(file: string | Uint8Array) {
  const { data, info } = await sharp(file, { limitInputPixels: false })
    .toColourspace("b-w")
    .raw()
    .toBuffer({ resolveWithObject: true });
  return {
    width: info.width,
    height: info.height,
    at: (x: number, y: number) => (data[(y * info.width + x) * info.channels]! < 128 ? 1 : 0),
  };
}

type Ink = Awaited<ReturnType<typeof inkOf>>;

/** Pixels in which two films differ, in some columns of some rows; `bOf` gives the second film's column. */
function differing(
  a: Ink,
  b: Ink,
  { rows, columns }: { rows: readonly [from: number, to: number, step?: number]; columns: number },
  bOf = (x: number) => x,
): number {
  let count = 0;
  for (let y = rows[0]; y < rows[1]; y += rows[2] ?? 1)
    for (let x = 0; x < columns; x++) if (a.at(x, y) !== b.at(bOf(x), y)) count++;
  return count;
}

const ART = { width: 1200, height: 900 };
// 16 mm at 600 dpi are 378 pixels; the left edge moves back to a whole byte.
const PLACE = { x: 376, y: 378 };

describe("films", () => {
  it("says what was written, at which size", async () => {
    const folder = await job();
    const { status, out, err } = await films(folder);
    expect([status, err]).toEqual([0, ""]);
    expect(out).toBe(
      "2 films of setup dark, 82.8 × 75.1 mm at 600 dpi\n  base         out/job-dark.pdf\n  ember        out/job-dark.pdf\n  out/job-dark-films.json\n",
    );
    expect(existsSync(join(folder, "out/job-dark.pdf"))).toBe(true);
  });

  it("says in a file beside the films, and on the ticket there, what they leave out", async () => {
    const folder = fresh();
    // A block with a gap of 0.1 mm in it, and three lines of 0.1 mm.
    const bar = (x: number, w: number, fill: string) =>
      `<rect x="${x}" y="2" width="${w}" height="6" fill="${fill}"/>`;
    const shapes = `${bar(1, 4, "#1040c0")}${bar(5.1, 4, "#1040c0")}${[11, 13, 15].map((x) => bar(x, 0.1, "#1040c0")).join("")}`;
    put(
      folder,
      "art.svg",
      `<svg xmlns="http://www.w3.org/2000/svg" width="20" height="10" viewBox="0 0 20 10">${shapes}</svg>`,
    );
    put(
      folder,
      "job.sep.yaml",
      `recipe: 1
title: Bars
artwork: { file: art.svg, width: 20 mm }
garments: { black: { colour: "#17171a" } }
inks: { blue: { colour: "#1040c0", opacity: 90% } }
plates: { blue: { ink: blue, extract: { artwork: opaque } } }
screening: { film: 1200 dpi, ruling: 45 lpi, smallest-line: 0.25 mm, smallest-gap: 0.2 mm }
setups: { dark: { garments: [black], order: [blue] } }
`,
    );
    const ticket = async () => {
      const out = ["ticket", "job.sep.yaml", "--setup", "dark", "--out", "out/t.html", "--force"];
      expect(await platewright(folder, ...out)).toMatchObject({ status: 0, err: "" });
      return readFileSync(join(folder, "out/t.html"), "utf8");
    };
    expect(await ticket()).toContain("is told here once they lie beside this ticket");
    const { out } = await films(folder);
    // A line has 0.6 mm², of which the plates' pixels hold 2 of 2.1 across.
    const said = "left out 3 lines (1.7 mm²), closed 1 gap (0.6 mm²)";
    expect(out).toContain(`; too small for the screen: ${said}\n`);
    const note = JSON.parse(readFileSync(join(folder, "out/job-dark-films.json"), "utf8"));
    expect(note).toMatchObject({
      setup: "dark",
      dpi: 1200,
      films: [
        {
          plate: "blue",
          file: "job-dark.pdf",
          leftOut: {
            marks: { count: 0, mm2: 0 },
            holes: { count: 0, mm2: 0 },
            lines: { count: 3 },
            gaps: { count: 1 },
          },
        },
      ],
    });
    expect(await ticket()).toContain(`<li>blue: ${said}</li>`);
    // Of another state of the recipe it tells nothing.
    put(folder, "job.sep.yaml", `${readFileSync(join(folder, "job.sep.yaml"), "utf8")}# changed\n`);
    expect(await ticket()).not.toContain(said);
  });

  it.each(["pdf", "tiff", "png"])("gives the same bytes for the same input: %s", async (format) => {
    const folder = await job();
    const digests = () =>
      readdirSync(join(folder, "out")).map(
        (name) =>
          `${name} ${createHash("sha256")
            .update(readFileSync(join(folder, "out", name)))
            .digest("hex")}`,
      );
    await films(folder, "--format", format, "--wedge");
    const first = digests();
    expect((await films(folder, "--format", format, "--wedge")).status).toBe(0);
    expect(digests()).toEqual(first);
    expect(first.length).toBeGreaterThan(1);
  });

  it("has TIFF and PNG films of one bit a pixel, alike, at print size", async () => {
    const folder = await job();
    await films(folder, "--format", "tiff");
    await films(folder, "--format", "png");
    for (const plate of ["base", "ember"]) {
      const [tif, png] = ["tif", "png"].map((ending) => join(folder, `out/job-dark-${plate}.${ending}`));
      for (const file of [tif!, png!]) {
        const { density, width } = await sharp(file).metadata();
        // PNG counts whole pixels to the metre: 600 dpi are 23622, 599.9988 dpi.
        expect(Math.abs(density! - 600)).toBeLessThan(0.51);
        // Within one pixel of 2 in and two margins.
        expect(Math.abs(width! - 1200 - 2 * 378)).toBeLessThanOrEqual(1);
      }
      const [a, b] = [await inkOf(tif!), await inkOf(png!)];
      expect([a.width, a.height]).toEqual([b.width, b.height]);
      expect(differing(a, b, { rows: [0, a.height], columns: a.width })).toBe(0);
    }
  });

  it.skipIf(!has("tiffinfo"))("has TIFFs that libtiff reads (needs libtiff-tools)", async () => {
    const folder = await job();
    await films(folder, "--format", "tiff");
    const info = run("tiffinfo", ["out/job-dark-ember.tif"], folder);
    expect(info).toMatch(/Compression Scheme: CCITT Group 4/);
    expect(info).toMatch(/Resolution: 600, 600 pixels\/inch/);
    expect(info).toMatch(/Photometric Interpretation: min-is-white/);
    expect(info).toMatch(
      /ImageDescription: ember +2\/2 \| Two halves .*ink ember .*setup dark, station 3 of 3.*35 lpi 22\.5.*2026-01-02.*recipe [0-9a-f]{12}/,
    );
    run("tiffcp", ["-c", "none", "out/job-dark-ember.tif", "plain.tif"], folder);
    const [a, b] = [
      await inkOf(join(folder, "out/job-dark-ember.tif")),
      await inkOf(join(folder, "plain.tif")),
    ];
    expect([a.width, a.height]).toEqual([b.width, b.height]);
    expect(differing(a, b, { rows: [0, a.height, 7], columns: a.width })).toBe(0);
  });

  it("has its marks in the same place on every film, clear of the print", async () => {
    const folder = await job();
    await films(folder, "--format", "png");
    const [base, ember] = [
      await inkOf(join(folder, "out/job-dark-base.png")),
      await inkOf(join(folder, "out/job-dark-ember.png")),
    ];
    // Top: the registration mark 10.5 mm above the print's middle, its ring of 2 mm radius.
    const [cx, cy] = [PLACE.x + 600, Math.round(PLACE.y - (10.5 / 25.4) * 600)];
    for (const film of [base, ember]) {
      expect(film.at(cx, cy)).toBe(1);
      expect(film.at(cx + Math.round((2 / 25.4) * 600), cy)).toBe(1);
      expect(film.at(cx + Math.round((1.2 / 25.4) * 600), cy + 12)).toBe(0);
    }
    // Left and right of the print there are marks and no label: the same on both.
    expect(differing(base, ember, { rows: [PLACE.y + 1, base.height], columns: PLACE.x - 2 })).toBe(0);
  });

  it("mirrors whole films", async () => {
    const folder = await job();
    await films(folder, "--format", "png");
    const straight = await inkOf(join(folder, "out/job-dark-ember.png"));
    await films(folder, "--format", "png", "--mirror");
    const mirrored = await inkOf(join(folder, "out/job-dark-ember.png"));
    const { width } = straight;
    const print = { rows: [PLACE.y, PLACE.y + ART.height, 3], columns: width } as const;
    expect(differing(straight, mirrored, print, (x) => width - 1 - x)).toBe(0);
    expect(differing(straight, mirrored, print)).toBeGreaterThan(0);
  });

  it("takes a page of its own size, and says where that is too small", async () => {
    const folder = await job();
    expect((await films(folder, "--page", "8 in x 10 in")).out).toContain("203.2 × 254.0 mm");
    expect(await films(folder, "--page", "2 in x 10 in")).toMatchObject({
      status: 2,
      err: expect.stringContaining(
        "a page of 51 × 254 mm is too small for the print with its marks; it needs 83 × 76 mm",
      ),
    });
  });

  it.each([
    ["a setup that there is not", ["--setup", "drak"], /there is no setup "drak"; did you mean "dark"\?/],
    ["an unknown format", ["--format", "gif"], /--format takes pdf, tiff or png, not "gif"/],
    [
      "a contone TIFF of one plate",
      ["--format", "tiff", "--contone"],
      /a TIFF takes --contone and --together only both: it is one file of all inks then/,
    ],
    ["contone PNGs", ["--format", "png", "--contone"], /--contone is for PDF and TIFF only/],
    ["a page without a height", ["--page", "8 in"], /--page takes a width and a height/],
  ])("refuses %s", async (_, more, message) => {
    const { status, err } = await films(await job(), ...more);
    expect(status).toBe(2);
    expect(err).toMatch(message);
  });

  it("killed at any moment leaves no file that is not whole", async () => {
    const folder = await job();
    await films(folder, "--format", "tiff");
    const whole = readFileSync(join(folder, "out/job-dark-ember.tif"));
    const next = random(3);
    for (let i = 0; i < 4; i++) {
      const out = `killed${i}`;
      const child = started(folder, [
        "films",
        "job.sep.yaml",
        "--setup",
        "dark",
        "--out",
        out,
        "--date",
        "2026-01-02",
        "--format",
        "tiff",
      ]);
      setTimeout(() => child.kill("SIGKILL"), 250 + next() * 400);
      await ended(child);
      const left = existsSync(join(folder, out)) ? readdirSync(join(folder, out)) : [];
      for (const name of left.filter((n) => n.endsWith("ember.tif")))
        expect(readFileSync(join(folder, out, name)).equals(whole)).toBe(true);
    }
  });
});

const JUDGES = has("gs", "qpdf", "mutool");

describe.skipIf(!JUDGES)("PDF films, judged by other programs (need ghostscript, qpdf, mupdf-tools)", () => {
  const separated = (folder: string, device: string) => {
    run(
      "gs",
      [
        "-q",
        "-dNOPAUSE",
        "-dBATCH",
        "-dSAFER",
        `-sDEVICE=${device}`,
        "-r600",
        "-sOutputFile=s%d.tif",
        "out/job-dark.pdf",
      ],
      folder,
    );
    return readdirSync(folder)
      .filter((name) => /^s\d.*\.tif$/.test(name))
      .sort();
  };

  it.each([[[]], [["--together"]], [["--contone"]], [["--mirror", "--wedge"]]])(
    "are sound PDFs: %j",
    async (more) => {
      const folder = await job();
      await films(folder, ...more);
      const said = run("qpdf", ["--check", "out/job-dark.pdf"], folder);
      expect(said).toContain("No syntax or stream encoding errors found");
      expect(run("mutool", ["info", "out/job-dark.pdf"], folder)).toContain(
        `Pages: ${more.includes("--together") ? 1 : 2}`,
      );
    },
  );

  it.each([[[]], [["--mirror"]]])(
    "have exactly the plates by name, and their bits one for one: %j",
    async (more) => {
      const folder = await job();
      await films(folder, "--format", "tiff", ...more);
      await films(folder, "--together", ...more);
      const files = separated(folder, "tiffsep1");
      expect(files.map((name) => /\((.*)\)/.exec(name)?.[1])).toEqual([
        "Black",
        "Cyan",
        "Magenta",
        "Yellow",
        "base",
        "ember",
      ]);
      for (const plate of ["base", "ember"]) {
        const [judged, own] = [
          await inkOf(join(folder, `s1(${plate}).tif`)),
          await inkOf(join(folder, `out/job-dark-${plate}.tif`)),
        ];
        expect([judged.width, judged.height]).toEqual([own.width, own.height]);
        const left = more.includes("--mirror") ? own.width - PLACE.x - ART.width : PLACE.x;
        let wrong = 0;
        for (let y = PLACE.y; y < PLACE.y + ART.height; y++)
          for (let x = left; x < left + ART.width; x++) if (judged.at(x, y) !== own.at(x, y)) wrong++;
        expect(wrong, plate).toBe(0);
        // The marks stand on it too.
        expect(judged.at(left + 600, Math.round(PLACE.y - (10.5 / 25.4) * 600))).toBe(1);
      }
    },
  );

  it("a page each hold one plate and the marks, the same ones on every page", async () => {
    const folder = await job();
    await films(folder);
    const files = separated(folder, "tiffsep1");
    const [base, ember] = [
      await inkOf(join(folder, "s1(base).tif")),
      await inkOf(join(folder, "s2(ember).tif")),
    ];
    expect(files.filter((name) => name.includes("(base)"))).toContain("s1(base).tif");
    expect(differing(base, ember, { rows: [PLACE.y, base.height], columns: PLACE.x - 2 })).toBe(0);
  });

  it("in contone have each tone exactly", async () => {
    const folder = await job();
    await platewright(folder, "plates", "job.sep.yaml", "--out", "plates");
    await films(folder, "--contone", "--together");
    run(
      "gs",
      [
        "-q",
        "-dNOPAUSE",
        "-dBATCH",
        "-dSAFER",
        "-sDEVICE=tiffsep",
        "-r600",
        "-sOutputFile=t%d.tif",
        "out/job-dark.pdf",
      ],
      folder,
    );
    const plate = await sharp(join(folder, "plates/ember.png")).toColourspace("b-w").raw().toBuffer();
    const { data, info } = await sharp(join(folder, "t1(ember).tif"))
      .toColourspace("b-w")
      .raw()
      .toBuffer({ resolveWithObject: true });
    // Six device pixels to a plate's: the middle of each.
    const middle = (x: number, y: number) =>
      data[((PLACE.y + y * 6 + 3) * info.width + PLACE.x + x * 6 + 3) * info.channels];
    expect(plate).toHaveLength(200 * 150);
    expect(plate.filter((tone, i) => tone !== middle(i % 200, Math.floor(i / 200)))).toHaveLength(0);
  });

  it("look the same to a second renderer", async () => {
    const folder = await job();
    await films(folder);
    run(
      "mutool",
      ["draw", "-q", "-r", "600", "-A", "0", "-c", "gray", "-o", "m%d.png", "out/job-dark.pdf"],
      folder,
    );
    await films(folder, "--format", "png");
    for (const [page, name] of [
      [1, "base"],
      [2, "ember"],
    ] as const) {
      const [judged, own] = [
        await inkOf(join(folder, `m${page}.png`)),
        await inkOf(join(folder, `out/job-dark-${name}.png`)),
      ];
      // It widens images to whole pixels by its own measure, so part of one may lie a pixel off; the dots are the same.
      const agree = (x0: number, y0: number, dx: number, dy: number) => {
        for (let y = y0; y < y0 + 100; y++)
          for (let x = x0; x < x0 + 100; x++) if (judged.at(x + dx, y + dy) !== own.at(x, y)) return false;
        return true;
      };
      let alike = 0;
      for (let y = PLACE.y; y < PLACE.y + ART.height; y += 100)
        for (let x = PLACE.x; x < PLACE.x + ART.width; x += 100)
          if ([-1, 0, 1].some((dx) => [-1, 0, 1].some((dy) => agree(x, y, dx, dy)))) alike++;
      expect(alike / 108).toBeGreaterThan(0.9);
    }
  });
});

it("refuses a film longer than any, in one line, before any work", async () => {
  const folder = await job();
  const thin = { create: { width: 1, height: 3000, channels: 3, background: "#d8431f" } } as const;
  put(folder, "art.png", await sharp(thin).png().toBuffer());
  const { status, err } = await films(folder);
  expect(status).toBe(2);
  expect(err.split("\n")[0]).toMatch(/the film would be 152\.4 m long, the longest is 5\.08 m/);
  expect(existsSync(join(folder, "out"))).toBe(false);
});

it.skipIf(process.platform === "win32")(
  "writes under names with blanks, quotes and letters of any kind",
  async () => {
    const folder = await job();
    const out = `films "for" Ünï's 🐞 $(date) %41`;
    renameSync(join(folder, "job.sep.yaml"), join(folder, `a "b" 'c' é.sep.yaml`));
    const { status, err } = await platewright(
      folder,
      "films",
      `a "b" 'c' é.sep.yaml`,
      "--setup",
      "dark",
      "--out",
      out,
    );
    expect([status, err]).toEqual([0, ""]);
    expect(readdirSync(join(folder, out))).toContain(`a "b" 'c' é-dark.pdf`);
  },
);
