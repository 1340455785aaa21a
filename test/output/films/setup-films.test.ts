import { readFileSync } from "node:fs";
import { join } from "node:path";
import { converter } from "culori";
import sharp from "sharp";
import { describe, expect, it, vi } from "vitest";
import type { LostRuns } from "../../../server/engine/lost-parts.ts";
import { filmPage } from "../../../server/engine/screen/film-page.ts";
import { openProject } from "../../../server/language/project.ts";
import type { Recipe } from "../../../server/language/recipe.ts";
import { resolveRecipe } from "../../../server/language/resolve-recipe.ts";
import { type FilmData, type FilmRequest, makeFilm } from "../../../server/output/films/film.ts";
import { type FilmFormat, writeFilms } from "../../../server/output/films/setup-films.ts";
import { Staging } from "../../../server/output/staging.ts";
import { WorkerPool } from "../../../server/render/worker-pool.ts";
import { filesInMemory } from "../../language/documents.ts";
import { scratch } from "../folders.ts";
import { type Box, inkIn, pdfPages, pictureOf, type Seen } from "./read-film.ts";

const { fresh } = scratch();

const lab50 = converter("lab");

/** Plate tones of the three patches: 5, 50 and 95 % as nearly as bytes are. */
const TONES = [13, 128, 242] as const;
/** Film tones in percent that print as those, of two presses that differ. */
const FILM = { gentle: [4, 40, 92], strong: [2.5, 30, 84] } as const;
type Press = keyof typeof FILM;

/** Film tone, printed tone in percent: the patches' tones are measured themselves, so any curve through them will do. */
const measured = (press: Press): [number, number][] => [
  [0, 0],
  ...FILM[press].map((film, i): [number, number] => [film, (TONES[i]! / 255) * 100]),
  [100, 100],
];
const table = (press: Press) => `gain: ${JSON.stringify(measured(press))}`;
const wedge = (press: Press) => `wedge: { file: ${press}.txt }`;

/**
 * A printed wedge of greys between L* 94 and 12, by Murray and Davies: areas mix in Y (ISO 13655 gives densities, CIE 15
 * L* of Y).
 */
function readings(press: Press): string {
  const light = (L: number) => ((L + 16) / 116) ** 3;
  const rows = measured(press).map(([film, printed], i) => {
    const Y = light(94) + (printed / 100) * (light(12) - light(94));
    return `${i} ${film} ${(116 * Math.cbrt(Y) - 16).toFixed(8)} 0 0`;
  });
  return `CGATS.17
BEGIN_DATA_FORMAT
SAMPLE_ID CMYK_K LAB_L LAB_A LAB_B
END_DATA_FORMAT
BEGIN_DATA
${rows.join("\n")}
END_DATA
`;
}

interface Job {
  readonly ink?: string;
  readonly plate?: string;
  /** A third plate. */
  readonly rose?: boolean;
  readonly screening?: string;
  readonly ruling?: string;
}

async function recipeOf({
  ink = "",
  plate = "",
  rose = false,
  screening = "",
  ruling = "65 lpi",
}: Job = {}): Promise<Recipe> {
  const text = `recipe: 1
title: Patches
artwork: { file: art.png, width: 36 mm }
garments: { black: { colour: "#17171a" } }
inks:
  white: { colour: "#ffffff", opacity: 95% }
  ember: { colour: "#d8431f", opacity: 80%${ink && `, ${ink}`} }
plates:
  base: { ink: white, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { artwork: opaque }${plate && `, ${plate}`} }
${rose ? "  rose: { ink: ember, extract: { artwork: opaque } }\n" : ""}setups:
  dark: { garments: [black], order: [base, flash, ember${rose ? ", rose" : ""}] }
screening: { film: 1200 dpi, ruling: ${ruling}, smallest-dot: 0%${screening && `, ${screening}`} }
`;
  const files = {
    "a.sep.yaml": text,
    "art.png": "",
    "gentle.txt": readings("gentle"),
    "strong.txt": readings("strong"),
  };
  const { main, shop, readings: read, findings } = await openProject("a.sep.yaml", filesInMemory(files));
  expect(findings).toEqual([]);
  return resolveRecipe(main, shop, read);
}

interface Options {
  readonly contone?: boolean;
  readonly mirror?: boolean;
  readonly wedge?: boolean;
  readonly widthMm?: number;
  readonly together?: boolean;
  /** What limits took off each plate. */
  readonly lost?: LostRuns;
  /** Shares done that were told. */
  readonly told?: number[];
}

/** Stages films of three patches, 12 mm high. */
async function stageFilms(
  staging: Staging,
  recipe: Recipe,
  format: FilmFormat,
  options: Options = {},
  pool = new WorkerPool<FilmRequest, FilmData>(undefined, makeFilm),
) {
  const { contone = false, mirror = false, widthMm = 36 } = options;
  const page = filmPage(widthMm, 12, 1200, { wedge: options.wedge === true });
  const picture = { width: 90, height: 30 };
  const tones = Uint8Array.from({ length: 90 * 30 }, (_, i) => TONES[Math.floor((i % 90) / 30)]!);
  const written = await writeFilms(
    staging,
    pool,
    {
      recipe,
      setupName: "dark",
      page,
      jobName: "job",
      format,
      contone,
      together: options.together === true,
      mirror,
      date: "2026-01-02",
      fingerprint: "0123456789ab",
      producer: "test",
    },
    picture,
    () => ({ tones, lost: options.lost }),
    (done) => {
      options.told?.push(done);
    },
    async () => {
      throw new Error("no plate came as a film");
    },
  );
  return { page, written };
}

/** The files of the films, read back. */
async function filmsOf(recipe: Recipe, format: FilmFormat, options: Options = {}) {
  const folder = fresh();
  const staging = await Staging.open(folder);
  const { page, written } = await stageFilms(staging, recipe, format, options);
  await staging.commit();
  const files = written.map(({ plate, file }) => ({ plate, bytes: readFileSync(join(folder, file)) }));
  return { page, files };
}

/** The print and the wedge of each plate, cut out of its film. */
async function partsOf(recipe: Recipe, format: FilmFormat, options: Options = {}) {
  const { page, files } = await filmsOf(recipe, format, options);
  const parts = new Map<string, { print: Seen; wedge: Seen | undefined }>();
  const pages = format === "pdf" ? await pdfPages(files[0]!.bytes) : [];
  for (const [i, { plate, bytes }] of files.entries()) {
    if (format === "pdf") {
      const { images } = pages[i]!;
      parts.set(plate, { print: images.get("Print0")!.seen, wedge: images.get("Wedge0")?.seen });
      continue;
    }
    const film = await pictureOf(bytes);
    const cut = ({ x, y, width, height }: Box): Seen => {
      const left = options.mirror ? page.width - x - width : x;
      return { width, height, at: (dx, dy) => film.at(left + dx, y + dy) };
    };
    parts.set(plate, { print: cut(page.art), wedge: page.wedge && cut(page.wedge) });
  }
  return parts;
}

/** Ink of each patch in percent, but for its rims, where it meets its neighbour. */
function patches(seen: Seen, count: number): number[] {
  const rim = seen.width / count / 8;
  return Array.from({ length: count }, (_, i) => {
    const [from, to] = [(seen.width * i) / count + rim, (seen.width * (i + 1)) / count - rim].map(Math.round);
    return 100 * inkIn(seen, { x: from!, y: 0, width: to! - from!, height: seen.height });
  });
}

function expectTones(seen: number[], wanted: readonly number[], within: number): void {
  expect(seen.length).toBe(wanted.length);
  const off = seen.map((tone, i) => Math.abs(tone - wanted[i]!));
  expect(Math.max(...off), `${seen.map((v) => v.toFixed(2))} for ${wanted}`).toBeLessThan(within);
}

const FORMATS: readonly [string, FilmFormat, Options][] = [
  ["pdf", "pdf", {}],
  ["tiff", "tiff", {}],
  ["png", "png", {}],
  ["contone", "pdf", { contone: true }],
];
const PLAIN = TONES.map((tone) => (tone / 255) * 100);
/** Percent: what lies between the counted dots and the tone, at the patches' rims; contone's rounding to bytes. */
const within = ({ contone }: Options) => (contone ? 0.2 : 0.5);

describe.each(FORMATS)("films as %s", (_, format, options) => {
  it.each<[string, Job, { base: readonly number[]; ember: readonly number[] }]>([
    ["no gain", {}, { base: PLAIN, ember: PLAIN }],
    ["the screening's table", { screening: table("gentle") }, { base: FILM.gentle, ember: FILM.gentle }],
    ["the screening's wedge", { screening: wedge("strong") }, { base: FILM.strong, ember: FILM.strong }],
    ["an ink's table", { ink: table("strong") }, { base: PLAIN, ember: FILM.strong }],
    [
      "an ink's table before the screening's wedge",
      { ink: table("strong"), screening: wedge("gentle") },
      { base: FILM.gentle, ember: FILM.strong },
    ],
    [
      "an ink's wedge before the screening's table",
      { ink: wedge("gentle"), screening: table("strong") },
      { base: FILM.strong, ember: FILM.gentle },
    ],
    [
      "a gain that is not to be compensated",
      { ink: table("strong"), screening: `${wedge("gentle")}, compensate: false` },
      { base: PLAIN, ember: PLAIN },
    ],
  ])("ask for what prints as 5, 50 and 95 percent: %s", async (_gain, job, wanted) => {
    const parts = await partsOf(await recipeOf(job), format, options);
    for (const plate of ["base", "ember"] as const)
      expectTones(patches(parts.get(plate)!.print, 3), wanted[plate], within(options));
  });

  it.each([false, true])("have the step wedge as it is, not compensated; mirrored: %s", async (mirror) => {
    const recipe = await recipeOf({ screening: table("strong") });
    const parts = await partsOf(recipe, format, {
      ...options,
      mirror,
      wedge: true,
      widthMm: 90,
    });
    const steps = [2, 5, 10, 20, 30, 40, 50, 60, 70, 80, 90, 95, 98, 100];
    expectTones(patches(parts.get("ember")!.wedge!, 14), mirror ? steps.reverse() : steps, within(options));
  });

  it("are turned left for right when mirrored", async () => {
    const recipe = await recipeOf();
    const [straight, mirrored] = [
      (await partsOf(recipe, format, options)).get("ember")!,
      (await partsOf(recipe, format, { ...options, mirror: true })).get("ember")!,
    ];
    const { width, height } = straight.print;
    let wrong = 0;
    for (let y = 0; y < height; y += 5)
      for (let x = 0; x < width; x++)
        if (straight.print.at(x, y) !== mirrored.print.at(width - 1 - x, y)) wrong++;
    expect(wrong).toBe(0);
    expect([straight.wedge, mirrored.wedge]).toEqual([undefined, undefined]);
  });
});

it.each([
  [false, "right-reading, emulsion up"],
  [true, "right-reading, emulsion down"],
])("films say which side their emulsion is on; mirrored: %s", async (mirror, side) => {
  const recipe = await recipeOf();
  const { files } = await filmsOf(recipe, "tiff", { mirror });
  for (const { plate, bytes } of files) {
    const said = bytes.toString("latin1");
    expect(said, plate).toContain(`| ${side}\0`);
  }
  const { files: png } = await filmsOf(recipe, "png", { mirror });
  expect((await sharp(png[0]!.bytes).metadata()).comments).toEqual([
    { keyword: "Description", text: expect.stringMatching(new RegExp(`\\| ${side}$`)) },
  ]);
});

it("PNG films have their resolution in whole pixels to the metre, as PNG counts it (PNG, pHYs)", async () => {
  const { files } = await filmsOf(await recipeOf(), "png");
  const { bytes } = files[0]!;
  const at = bytes.indexOf("pHYs", 0, "latin1") + 4;
  // 1200 / 0.0254; the unit is the metre.
  expect([bytes.readUInt32BE(at), bytes.readUInt32BE(at + 4), bytes[at + 8]]).toEqual([47244, 47244, 1]);
});

it("plates of a PDF are black, and together in their inks' colours", async () => {
  const coloursOf = async (together: boolean) => {
    const { files } = await filmsOf(await recipeOf(), "pdf", { together });
    const text = files[0]!.bytes.toString("latin1");
    return [
      ...new Set([...text.matchAll(/\/C1 \[ ([-\d. ]+) \]/g)].map(([, lab]) => lab!.split(" ").map(Number))),
    ];
  };
  expect(new Set((await coloursOf(false)).flat())).toEqual(new Set([0]));
  const inks = await coloursOf(true);
  // Black are the marks; white, and #d8431f as culori has it in CIELAB under D50.
  const ember = lab50("#d8431f")!;
  for (const [i, { L, a, b }] of [
    { L: 0, a: 0, b: 0 },
    { L: 100, a: 0, b: 0 },
    { L: ember.l, a: ember.a, b: ember.b },
  ].entries())
    for (const [k, v] of [L, a, b].entries()) expect(inks[i]![k]).toBeCloseTo(v, 1);
  expect(inks).toHaveLength(3);
});

it.each<FilmFormat>(["pdf", "tiff"])(
  "films tell how much is done, rising to the whole: %s",
  async (format) => {
    const told: number[] = [];
    await filmsOf(await recipeOf(), format, { told });
    expect(told.length).toBeGreaterThan(2);
    expect(told).toEqual([...told].sort((a, b) => a - b));
    expect(told[0]).toBeGreaterThan(0);
    expect(told.at(-1)).toBeCloseTo(1, 12);
  },
);

it("films say what they are of, for which station, and how they are screened", async () => {
  const saidOf = async (job: Job) => {
    const { files } = await filmsOf(await recipeOf(job), "png");
    return Promise.all(files.map(async ({ bytes }) => (await sharp(bytes).metadata()).comments?.[0]?.text));
  };
  const [base, ember] = await saidOf({});
  expect(base).toBe(
    "base   1/2 | Patches · ink white · setup dark, station 1 of 3 · 65 lpi 22.5° round · 2026-01-02 · recipe 0123456789ab | right-reading, emulsion up",
  );
  expect(ember).toContain("ember   2/2 | Patches · ink ember · setup dark, station 3 of 3 · ");
  const [, grains] = await saidOf({ plate: "screening: { method: fm, grain: 0.2 mm }" });
  expect(grains).toContain(" · fm 0.2 mm · ");
});

it.each([false, true])("a PDF's trim is where its print lies; mirrored: %s", async (mirror) => {
  const { page, files } = await filmsOf(await recipeOf(), "pdf", { mirror, wedge: true });
  const points = (pixels: number) => (pixels * 72) / 1200;
  const pages = await pdfPages(files[0]!.bytes);
  expect(pages).toHaveLength(2);
  // The print does not stand in the very middle, or this would tell nothing.
  const right = page.width - page.art.x - page.art.width;
  expect(right).not.toBe(page.art.x);
  for (const { width, height, trim, images } of pages) {
    expect([width, height]).toEqual([points(page.width), points(page.height)]);
    for (const box of [trim, images.get("Print0")!.place]) {
      expect(box.x).toBeCloseTo(points(mirror ? right : page.art.x), 4);
      expect(box.y + box.height).toBeCloseTo(height - points(page.art.y), 4);
      expect(box.width).toBeCloseTo(points(page.art.width), 4);
      expect(box.height).toBeCloseTo(points(page.art.height), 4);
    }
    const wedgePlace = images.get("Wedge0")!.place;
    const { x, y } = page.wedge!;
    expect(wedgePlace.x).toBeCloseTo(points(mirror ? page.width - x - page.wedge!.width : x), 4);
    expect(wedgePlace.y + wedgePlace.height).toBeCloseTo(height - points(y), 4);
  }
});

it("films that fail have nothing still being written, and no more begun", async () => {
  const recipe = await recipeOf({ rose: true });
  const staging = await Staging.open(fresh());
  let underWay = 0;
  vi.spyOn(staging, "write").mockImplementation(async (name) => {
    if (name.includes("ember")) throw new Error("the disk is full");
    underWay++;
    await new Promise((resolve) => setTimeout(resolve, 100));
    underWay--;
    return { sha256: "" };
  });
  // Two at once, as on a machine of two cores.
  const begun: string[] = [];
  const make = (order: FilmRequest) => {
    begun.push(order.label.title);
    return makeFilm(order, () => {});
  };
  const pool = { places: 2, make };
  const making = stageFilms(
    staging,
    recipe,
    "tiff",
    {},
    pool as unknown as WorkerPool<FilmRequest, FilmData>,
  );
  await expect(making).rejects.toThrow("the disk is full");
  expect(underWay).toBe(0);
  expect(begun).toEqual(["base   1/3", "ember   2/3"]);
  staging.discard();
});
