import { writeFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { propose } from "../../server/cli/propose.ts";
import { disk } from "../../server/jobs/disk.ts";
import { openJob } from "../../server/jobs/open.ts";
import { tiff } from "../artwork/fixtures.ts";
import { contentOf, scratch } from "../output/folders.ts";

const { fresh } = scratch();

const [WIDTH, HEIGHT] = [60, 40];

/** A grey TIFF of 600 pixels an inch, a tenth of an inch wide: black up to `until` of its width. */
function plate(until: number): Promise<Buffer> {
  const pixels = Uint8Array.from({ length: WIDTH * HEIGHT }, (_, i) => (i % WIDTH < until * WIDTH ? 0 : 255));
  return sharp(pixels, { raw: { width: WIDTH, height: HEIGHT, channels: 1 } })
    .withMetadata({ density: 600 })
    .toColourspace("b-w")
    .tiff()
    .toBuffer();
}

interface Ran {
  readonly status: number;
  readonly out: string;
  readonly err: string;
  readonly text: string;
}

async function proposed(
  files: Readonly<Record<string, Uint8Array | string>>,
  values: Readonly<Record<string, string | boolean>> = {},
  folder = fresh(),
): Promise<Ran> {
  for (const [name, bytes] of Object.entries(files)) writeFileSync(join(folder, name), bytes);
  let [out, err] = ["", ""];
  const console = {
    out: { write: (text: string) => (out += text), command: () => {} },
    err: { write: (text: string) => (err += text), draw: () => {} },
  };
  const plates = Object.keys(files).filter((name) => !name.endsWith(".yaml"));
  const recipe = join(folder, "job.sep.yaml");
  const status = await propose.run(
    plates.map((name) => join(folder, name)),
    { out: recipe, format: "text", ...values },
    console,
    disk,
  );
  return { status, out, err, text: contentOf(folder)["job.sep.yaml"] ?? "" };
}

describe("a set of grey plates", () => {
  it("becomes a recipe: names from what sets the files apart, inks by their words, order by lightness", async () => {
    const { status, out, text } = await proposed({
      "moth_base.tif": await plate(0.7),
      "moth_navy.tif": await plate(0.3),
      "moth_rose-2.tif": await plate(0.5),
      "moth_x1.tif": await plate(0.2),
    });
    expect(status).toBe(0);
    expect(text).toContain("title: Moth\nartwork: { made-of: plates, width: 0.1 in }\n");
    expect(text).toContain('  navy: { colour: "#1d2440", opacity: 97% }\n');
    expect(text).toContain("  base: { ink: white, purpose: underbase, extract: { plate: moth_base.tif } }\n");
    expect(text).toContain("order: [base, flash, x1, rose-2, navy]\n");
    expect(text).not.toMatch(/^(?:traps|knockouts):/m);
    expect(out).toBe(`4 plates from elsewhere, 0.1 in wide
question: which ink prints navy? Its colour is after its name, its opacity a guess
question: which ink prints rose-2? Its colour is after its name, its opacity a guess
question: which ink prints x1? Neither its name nor its file says, and grey stands for it
question: in which order do the plates print? Their files do not say (setups)
4 screens
${out.slice(out.indexOf("  /"))}`);
  });

  it("takes inks from the ink library by name, and for dark garments alone prints the base", async () => {
    const shop = `shop: 1
inks:
  white: { colour: "#f6f5f1", opacity: 93% }
  rose: { colour: "#e06080", opacity: 70% }
  ocean: { colour: "#1d2442", opacity: 80% }
`;
    const folder = fresh();
    const { text, out } = await proposed(
      {
        "a.shop.yaml": shop,
        "white.tif": await plate(0.7),
        "Rose.tif": await plate(0.5),
        "navy.tif": await plate(0.3),
      },
      { shop: join(folder, "a.shop.yaml"), garments: "black=#17171a,white=#f4f3ef" },
      folder,
    );
    expect(text).toContain("  rose: { ink: rose, extract: { plate: Rose.tif } }\n");
    expect(text).toContain("  white: { ink: white, purpose: underbase, extract: { plate: white.tif } }\n");
    expect(text).toContain("navy: { ink: ocean, purpose: shadow,");
    expect(text).toMatch(/garments: \[black\]\n {4}order: \[white, flash, rose, navy\]/);
    expect(text).toMatch(/garments: \[white\]\n {4}order: \[navy, rose\]/);
    expect(out).toContain("question: is ocean the ink of navy? It is the nearest in the ink library\n");
    const { findings } = await openJob(join(folder, "job.sep.yaml"), disk);
    expect(findings.filter(({ level }) => level === "error")).toEqual([]);
  });

  it("asks for the width where no file says it, and takes the one that is given", async () => {
    const grey = await sharp(await plate(0.4))
      .png()
      .toBuffer();
    const files = { "one.png": grey, "two.png": grey };
    expect((await proposed(files)).out).toContain(
      "question: how wide does it print? No file says so, and 12 in is a guess (artwork.width)\n",
    );
    const { out, text } = await proposed(files, { width: "4 in" });
    expect(out).not.toContain("how wide");
    expect(text).toContain("width: 4 in");
  });

  it("has a picture in colour among the files for its artwork", async () => {
    const pixels = Uint8Array.from({ length: WIDTH * HEIGHT * 3 }, (_, i) => [200, 60, 30][i % 3]!);
    const raw = { width: WIDTH, height: HEIGHT, channels: 3 } as const;
    const art = await sharp(pixels, { raw }).png().toBuffer();
    const { text } = await proposed({
      "art.png": art,
      "red.tif": await plate(0.5),
      "black.tif": await plate(0.2),
    });
    expect(text).toContain("artwork: { file: art.png, width: 0.1 in }");
    expect(text).not.toContain("plate: art.png");
  });
});

describe("one file of plates", () => {
  it("gives a plate for each page; films are marked as such, at their resolution", async () => {
    const bits = [0, 1].map((p) =>
      Uint8Array.from({ length: (64 / 8) * 40 }, (_, i) => (i * (31 + p)) % 256),
    );
    const film = tiff(bits, { width: 64, height: 40, samples: 1, bits: 1, photometric: 0 });
    const { status, text } = await proposed({ "films.tif": film }, { "from-plates": true, width: "1 in" });
    expect(status).toBe(0);
    expect(text).toContain("extract: { plate: films.tif, page: 1, screened: true }");
    expect(text).toContain("extract: { plate: films.tif, page: 2, screened: true }");
  });

  it("is refused where it holds none, and nothing is written", async () => {
    const folder = fresh();
    await expect(proposed({ "a.png": "nothing" }, { "from-plates": true }, folder)).rejects.toThrow(
      /a\.png: this is not a picture; a plate is a grey PNG/,
    );
    expect(Object.keys(contentOf(folder))).toEqual(["a.png"]);
    await expect(proposed({ "a.png": "x", "b.png": "y" }, { style: "solve" })).rejects.toThrow(
      "--plates, --style and --look are for artwork; plates that are made already are taken as they are",
    );
  });
});
