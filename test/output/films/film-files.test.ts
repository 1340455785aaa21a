import { inflateSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import type { LostRuns } from "../../../server/engine/lost-parts.ts";
import { filmPage } from "../../../server/engine/screen/film-page.ts";
import type { Plate, Recipe } from "../../../server/language/recipe.ts";
import { type Bits, type FilmData, type FilmRequest, makeFilm } from "../../../server/output/films/film.ts";
import {
  type FilmFormat,
  type FilmsRequest,
  filmedPlates,
  filmFiles,
  writeFilms,
} from "../../../server/output/films/setup-films.ts";
import type { Staging } from "../../../server/output/staging.ts";
import { WorkerPool } from "../../../server/render/worker-pool.ts";
import { recipeOf } from "../../render/jobs.ts";

const DPI = 150;
const PLATES = `  base: { ink: white, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { artwork: opaque } }
  rose: { ink: ember, extract: { artwork: opaque } }
`;
const recipe = recipeOf({ plates: PLATES, order: "base, flash, ember, rose, ember" });
const picture = { width: 10, height: 5 };
/** A ramp to the right. */
const RAMP = Uint8Array.from({ length: 50 }, (_, i) => (i % 10) * 28);

/** What is staged, by name, what is given back, and the orders of films that are made. */
async function made(more: Partial<FilmsRequest> = {}, of: Recipe = recipe, dots?: Bits, lost?: LostRuns) {
  const files = new Map<string, Uint8Array>();
  const orders: FilmRequest[] = [];
  const asked: string[] = [];
  const write = async (name: string, bytes: Uint8Array | string) => {
    files.set(name, bytes as Uint8Array);
    return { sha256: "" };
  };
  const make = (order: FilmRequest, onProgress: (done: number) => void) => {
    orders.push(order);
    return makeFilm(order, onProgress);
  };
  const request: FilmsRequest = {
    recipe: of,
    setupName: "dark",
    page: filmPage(25.4, 12.7, DPI),
    jobName: "job",
    format: "png",
    contone: false,
    together: false,
    mirror: false,
    date: "2026-01-02",
    fingerprint: "0123",
    producer: "a test",
    ...more,
  };
  const films = await writeFilms(
    { write } as unknown as Staging,
    new WorkerPool<FilmRequest, FilmData>(undefined, make),
    request,
    picture,
    () => ({ tones: RAMP, lost }),
    () => {},
    async ({ name }) => {
      asked.push(name);
      return dots!;
    },
  );
  return { files, films, orders, asked };
}
const text = (bytes: Uint8Array) => Buffer.from(bytes).toString("latin1");
const changed = (name: string, more: Partial<Plate>): Recipe => ({
  ...recipe,
  plates: new Map([...recipe.plates, [name, { ...recipe.plates.get(name)!, ...more }]]),
});

describe("the files of a setup's films", () => {
  it("are of the plates that it prints, in its order, each once", () => {
    expect(filmedPlates(recipe, recipe.setups.get("dark")!).map(({ name }) => name)).toEqual([
      "base",
      "ember",
      "rose",
    ]);
  });

  it("are named by job, setup and plate; a PDF, and a TIFF of all inks, are one", () => {
    const of = (format: FilmFormat, more = {}) =>
      filmFiles({ recipe, setupName: "dark", jobName: "job", format, ...more }).map(({ file }) => file);
    expect(of("png")).toEqual(["job-dark-base.png", "job-dark-ember.png", "job-dark-rose.png"]);
    expect(of("tiff")).toEqual(["job-dark-base.tif", "job-dark-ember.tif", "job-dark-rose.tif"]);
    expect(of("pdf")).toEqual(Array(3).fill("job-dark.pdf"));
    expect(of("tiff", { contone: true })).toEqual(Array(3).fill("job-dark.tif"));
    expect(of("png", { contone: true })).toEqual(of("png"));
    expect(filmFiles({ recipe, setupName: "dark", jobName: "job", format: "png", only: ["rose"] })).toEqual([
      { plate: "rose", file: "job-dark-rose.png" },
    ]);
  });

  it("are those that are asked for alone", async () => {
    const { files, films } = await made({ only: ["rose", "base"] });
    expect([...files.keys()]).toEqual(["job-dark-base.png", "job-dark-rose.png"]);
    expect(films.map(({ plate }) => plate)).toEqual(["base", "rose"]);
  });
});

describe("films of a PDF", () => {
  it("have each its plate's colorant, or one for all where they share a page", async () => {
    const own = text((await made({ format: "pdf" })).files.get("job-dark.pdf")!);
    const one = text((await made({ format: "pdf", colorant: "Film" })).files.get("job-dark.pdf")!);
    const colorants = (pdf: string) =>
      new Set([...pdf.matchAll(/\/Separation \/(\w+)/g)].map(([, name]) => name));
    expect(colorants(own)).toEqual(new Set(["All", "base", "ember", "rose"]));
    expect(colorants(one)).toEqual(new Set(["All", "Film"]));
  });

  it("are named by the recipe's title, else by the job", async () => {
    const { PDFDocument } = await import("@cantoo/pdf-lib");
    const titleOf = async (of: Recipe) =>
      (await PDFDocument.load((await made({ format: "pdf" }, of)).files.get("job-dark.pdf")!)).getTitle();
    expect(await titleOf(recipe)).toBe("A job, dark");
    expect(await titleOf({ ...recipe, title: "" })).toBe("job, dark");
  });
});

describe("a TIFF of all inks", () => {
  it.each([false, true])(
    "has the plates' tones as they are to print, turned where mirrored: %s",
    async (mirror) => {
      const { files, films, orders } = await made({ format: "tiff", contone: true, mirror });
      expect([...files.keys()]).toEqual(["job-dark.tif"]);
      expect(orders).toEqual([]);
      expect(films).toHaveLength(3);
      const tiff = Buffer.from(files.get("job-dark.tif")!);
      expect(tiff.toString("latin1")).toContain("A job, dark\0");
      expect(tiff.toString("latin1")).toContain("base\0ember\0rose\0");
      // The only strip is deflated: find it by its header.
      const at = tiff.indexOf(Buffer.of(0x78, 0x9c));
      const samples = inflateSync(tiff.subarray(at));
      expect(samples).toHaveLength(150);
      for (let i = 0; i < 50; i++) {
        const wanted = RAMP[mirror ? Math.floor(i / 10) * 10 + 9 - (i % 10) : i];
        expect([...samples.subarray(3 * i, 3 * i + 3)]).toEqual([wanted, wanted, wanted]);
      }
    },
  );
});

describe("a film's label", () => {
  const detailsOf = async (of: Recipe, more: Partial<FilmsRequest> = {}, dots?: Bits) =>
    (await made({ only: ["ember"], ...more }, of, dots)).orders[0]!.label.details;
  const screen = recipe.plates.get("ember")!.screening;

  it("says its station, of a plate that prints twice the first, and its screen", async () => {
    expect(await detailsOf(recipe)).toBe(
      `A job · ink ember · setup dark, station 3 of 5 · ${Number(screen.rulingLpi.toFixed(2))} lpi ${screen.angle}° ${screen.dot} · 2026-01-02 · recipe 0123`,
    );
    expect(await detailsOf({ ...recipe, title: "" })).toMatch(/^job · ink ember · /);
  });

  it("says its mesh, with its count where that is known", async () => {
    const meshed = changed("ember", { mesh: "fine" });
    expect(await detailsOf(meshed)).toContain(" · mesh fine · ");
    const counted = { ...meshed, meshes: new Map([["fine", { count: 228.604 }]]) } as unknown as Recipe;
    expect(await detailsOf(counted)).toContain(" · mesh fine 228.6/in · ");
  });

  it("says that a contone plate is not screened", async () => {
    const { files } = await made({ format: "pdf", contone: true });
    expect([...files.keys()]).toEqual(["job-dark.pdf"]);
    // Letters are outlines in a PDF: that of a PNG says it as text.
    expect(await detailsOf(recipe, { contone: true })).toContain(" · not screened · ");
  });
});

describe("a plate that came as a film", () => {
  const given = {
    file: "ember.tif",
    page: undefined,
    channel: undefined,
    colorant: undefined,
    solid: undefined,
    screened: true,
  };
  const of = changed("ember", { given });
  const { width, height } = filmPage(25.4, 12.7, DPI).art;
  const stride = Math.ceil(width / 8);
  /** Its right half is ink. */
  const dots = (): Bits => ({
    width,
    height,
    bits: Uint8Array.from({ length: stride * height }, (_, i) => (i % stride >= stride / 2 ? 0xff : 0)),
  });

  it("goes on with its own dots, and says which file they are of", async () => {
    const { orders, asked } = await made({}, of, dots());
    expect(asked).toEqual(["ember"]);
    expect(orders.map((order) => order.dots !== undefined)).toEqual([false, true, false]);
    expect(orders[1]!.label.details).toContain(" · as it came in ember.tif · ");
  });

  it("does so beside contone plates too", async () => {
    const { orders } = await made({ format: "pdf", contone: true }, of, dots());
    expect(orders.map(({ label }) => label.title)).toEqual(["ember   2/3"]);
  });

  it("is on film as it is, and nothing of it is left out", async () => {
    const [order] = (await made({ only: ["ember"] }, of, dots())).orders;
    const film = await makeFilm({ ...order!, dots: dots() }, () => {});
    expect(film.dropped).toEqual({ marks: 0, markPixels: 0, holes: 0, holePixels: 0 });
    if (film.coding !== "rows") throw new Error("rows were asked for");
    const { page } = order!;
    const rows = inflateSync(film.rows);
    const line = Math.ceil(page.width / 8) + 1;
    const row = rows.subarray((page.art.y + 10) * line + 1 + page.art.x / 8);
    // In PNG a bit that is not set is ink.
    expect([row[1], row[stride - 3]]).toEqual([0xff, 0]);
  });
});

it("films tell what limits took off their plates, in square millimetres of the garment", async () => {
  // One line of two pixels, each 2.54 mm wide and high.
  const { films } = await made({ only: ["ember"] }, recipe, undefined, { lines: [0, 0, 2], gaps: [] });
  expect(films[0]!.leftOut.lines).toEqual({ count: 1, mm2: 12.9 });
  expect(films[0]!.leftOut.gaps).toEqual({ count: 0, mm2: 0 });
});
