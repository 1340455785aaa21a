import { rename } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import sharp from "sharp";
import { beforeAll, describe, expect, it } from "vitest";
import { type Artwork, readArtwork } from "../../server/artwork/artwork.ts";
import { deltaE00 } from "../../server/engine/colour/ciede2000.ts";
import { labFromBytes } from "../../server/engine/colour/cielab.ts";
import { disk } from "../../server/jobs/disk.ts";
import { DEFAULT_MISREGISTRATION_MM } from "../../server/language/recipe.ts";
import { makePlates } from "../../server/render/separation.ts";
import { scratch } from "../output/folders.ts";
import {
  isInDisc,
  type Pixel,
  type Proposed,
  proposal,
  proposed,
  putDrawing,
  putPicture,
  standing,
} from "./jobs.ts";

const { fresh } = scratch();
const SHOP = fileURLToPath(new URL("../../samples/workshop.shop.yaml", import.meta.url));
const CLEAR: Pixel = [0, 0, 0, 0];
const ALL_GARMENTS = { black: "#17171a", white: "#f4f3ef", red: "#a01c24" };

/** Five fills, antialiased where they meet, on a clear ground. */
const FIVE = ["#d8431f", "#2060c0", "#f5c832", "#2f8f4e", "#f8f8f4"];
const FLAT = FIVE.map(
  (fill, i) => `<circle cx="${28 + 16 * i}" cy="${35 + 8 * i}" r="22" fill="${fill}"/>`,
).join("");

/** Reds to violet around a disc. */
const TONES = (x: number, y: number): Pixel => (isInDisc(x, y, 0.45) ? [220, 30 + 180 * y, 220 * x] : CLEAR);

describe("a proposal for flat art", () => {
  describe("in five colours", () => {
    let made: Proposed;
    let art: Artwork;
    let plates: ReadonlyMap<string, Uint8Array>;
    beforeAll(async () => {
      const folder = fresh();
      made = await proposed(folder, putDrawing(folder, FLAT));
      art = await readArtwork(`${folder}/art.svg`, { widthMm: made.recipe.artwork.widthMm, ppi: 60 });
      const all = new Map<string, Uint8Array>();
      for await (const { name, tones } of makePlates(made.recipe, art)) all.set(name, tones);
      plates = all;
    });

    it("has a solid plate for each of its colours, and no halftone", () => {
      expect(made.kind).toBe("flat");
      expect(standing(made)).toEqual([]);
      const { recipe } = made;
      expect([...recipe.plates.keys()][0]).toBe("base");
      expect(recipe.plates.size).toBe(6);
      const found = [...recipe.plates.values()].slice(1).map(({ extract }) => extract.near);
      expect(found.sort()).toEqual([...FIVE].sort());
      for (const [name, tones] of plates) {
        if (name === "base") continue;
        const halftone = tones.reduce((sum, tone) => sum + (tone > 20 && tone < 235 ? 1 : 0), 0);
        // What is half clear at the outer edge is half a tone.
        expect(halftone / tones.length, name).toBeLessThan(0.01);
      }
    });

    it("keeps edges where they are drawn, to a pixel", () => {
      const { picture } = art;
      const labs = [...made.recipe.plates.values()].slice(1).map(({ name, extract }) => ({
        tones: plates.get(name)!,
        lab: labOf(extract.near!),
      }));
      const { width, height, data } = picture;
      const nearest = new Int8Array(width * height).fill(-1);
      for (let i = 0; i < nearest.length; i++) {
        if (data[i * 4 + 3]! < 128) continue;
        const p = labFromBytes(data[i * 4]!, data[i * 4 + 1]!, data[i * 4 + 2]!);
        const far = labs.map(({ lab: q }) => deltaE00(p.L, p.a, p.b, q.L, q.a, q.b));
        nearest[i] = far.indexOf(Math.min(...far));
      }
      let wrong = 0;
      for (let y = 1; y < height - 1; y++) {
        for (let x = 1; x < width - 1; x++) {
          const i = y * width + x;
          const around = [
            i,
            i - 1,
            i + 1,
            i - width,
            i + width,
            i - width - 1,
            i - width + 1,
            i + width - 1,
            i + width + 1,
          ];
          for (const [c, { tones }] of labs.entries()) {
            // A plate prints where the nearest colour is its own there or one pixel away, and must where it is all around.
            const some = around.some((at) => nearest[at] === c);
            const all = around.every((at) => nearest[at] === c);
            if ((tones[i]! >= 128 && !some) || (tones[i]! < 128 && all)) wrong++;
          }
        }
      }
      expect(wrong).toBe(0);
    });
  });

  it("lets a black garment be the black of the picture, and knocks the base out there", async () => {
    const folder = fresh();
    const file = putDrawing(folder, `${FLAT}<rect x="10" y="5" width="100" height="20" fill="#101012"/>`);
    const black = await proposed(folder, file);
    expect([...black.recipe.plates.values()].some(({ purpose }) => purpose === "shadow")).toBe(false);
    expect(black.recipe.plates.get("base")!.extract.except).toBeDefined();
    expect(standing(black)).toEqual([]);
    const both = await proposed(folder, file, ALL_GARMENTS);
    expect(standing(both)).toEqual([]);
    expect(both.recipe.setups.get("dark")!.order).toContainEqual({ plate: "black" });
    expect(both.recipe.setups.get("light")!.order[0]).toEqual({ plate: "black" });
    expect(both.recipe.knockouts).toMatchObject([{ from: "base", where: "black" }]);
    expect(both.recipe.traps[0]!.distanceMm).toBeGreaterThanOrEqual(DEFAULT_MISREGISTRATION_MM);
  });

  it("leaves a white background out", async () => {
    const folder = fresh();
    const made = await proposed(
      folder,
      await putPicture(folder, (x, y) => (isInDisc(x, y, 0.35) ? [32, 96, 192] : [255, 255, 255])),
    );
    expect(made.kind).toBe("flat");
    expect([...made.recipe.plates.keys()]).toEqual(["base", "blue"]);
    expect(made.findings.some(({ rule }) => rule === "backdrop-box")).toBe(false);
    expect(standing(made)).toEqual([]);
  });

  it("prints white art in white alone on a black garment, without a base", async () => {
    const folder = fresh();
    const made = await proposed(
      folder,
      await putPicture(folder, (x, y) => (isInDisc(x, y, 0.35) ? [255, 255, 255] : CLEAR)),
    );
    expect([...made.recipe.plates.keys()]).toEqual(["white"]);
    expect(made.screens).toBe(1);
    expect(standing(made)).toEqual([]);
  });

  it("says so where the artwork has the garment's own colour", async () => {
    const folder = fresh();
    const made = await proposed(
      folder,
      await putPicture(folder, (x, y) => (isInDisc(x, y, 0.35) ? [16, 16, 18] : CLEAR)),
    );
    expect(made.notes.join()).toContain("the garment's own colour");
    expect(standing(made)).toEqual([]);
  });

  it("takes inks from the ink library where they are near, and says which are to be mixed", async () => {
    const folder = fresh();
    const file = putDrawing(
      folder,
      '<rect x="5" y="5" width="50" height="80" fill="#8b75d4"/><rect x="60" y="5" width="50" height="80" fill="#e9baa0"/>',
    );
    const made = await proposed(folder, file, { black: "#17171a" }, { shopFile: SHOP });
    expect(standing(made)).toEqual([]);
    expect(made.recipe.plates.get("base")!.ink).toBe("white");
    expect(made.notes.join()).toMatch(/no ink in the ink library prints #e9baa0/);
    const free = await proposed(folder, file, { black: "#17171a" }, { shopFile: SHOP, freeInks: true });
    expect(free.notes.join()).not.toContain("shelf");
  });
});

describe("a proposal for art with tones", () => {
  it("comes near the artwork, passes its own check, and is the same every time", async () => {
    const folder = fresh();
    const file = await putPicture(folder, TONES);
    const made = await proposed(folder, file);
    expect(made.kind).toBe("tones");
    expect(made.style).toBe("solve");
    expect(standing(made)).toEqual([]);
    expect(made.proofs[0]!.mean).toBeLessThan(2);
    expect(made.proofs[0]!.p95).toBeLessThan(6);
    expect((await proposal(folder, file)).text).toBe(made.text);
  });

  it("keeps to the number of plates asked for", async () => {
    const folder = fresh();
    const made = await proposed(folder, await putPicture(folder, TONES), undefined, { plates: 2 });
    expect(made.plates).toBe(2);
    expect(made.screens).toBe(3);
    expect(standing(made)).toEqual([]);
  });

  it("shares its screens among all garments, with and without an underbase", async () => {
    const folder = fresh();
    const made = await proposed(folder, await putPicture(folder, TONES), ALL_GARMENTS);
    const { setups, plates } = made.recipe;
    expect(standing(made)).toEqual([]);
    expect([...setups.keys()]).toEqual(["dark", "light"]);
    expect(setups.get("dark")!.garments).toEqual(["black", "red"]);
    expect(setups.get("dark")!.order.slice(0, 2)).toEqual([{ plate: "base" }, "flash"]);
    expect(setups.get("light")!.order).not.toContainEqual({ plate: "base" });
    expect(plates.size).toBe(made.screens);
    expect(made.proofs.map(({ garment }) => garment)).toEqual(["black", "red", "white"]);
    for (const { mean } of made.proofs) expect(mean).toBeLessThan(6);
  });

  it("keeps the white under halftones of the dark plate, but for a garment that is as dark", async () => {
    const folder = fresh();
    // Greys from dark to light, mostly middle ones.
    const greys = (x: number, y: number): Pixel => {
      const v = y < 0.3 ? 64 : y < 0.7 ? 102 : 102 + (y - 0.7) * 500;
      return isInDisc(x, y, 0.45) ? [v, v, v] : CLEAR;
    };
    const file = await putPicture(folder, greys);
    const onRed = await proposed(folder, file, { red: "#a01c24" }, { plates: 1 });
    expect(onRed.recipe.knockouts).toEqual([]);
    expect(standing(onRed)).toEqual([]);
    // Knocked out, the garment would show through them: 9.3.
    expect(onRed.proofs[0]!.mean).toBeLessThan(3);
    const onBlack = await proposed(folder, file, { black: "#17171a" }, { plates: 1 });
    const shadow = [...onBlack.recipe.plates.values()].find(({ purpose }) => purpose === "shadow");
    expect(onBlack.recipe.knockouts.map(({ where }) => where)).toEqual(shadow ? [shadow.name] : []);
  });

  it("in ranges holds nothing but what a person would write", async () => {
    const folder = fresh();
    const made = await proposed(folder, await putPicture(folder, TONES), undefined, {
      style: "ranges",
      plates: 4,
    });
    expect(standing(made)).toEqual([]);
    expect(made.text).not.toContain("jointly");
    for (const { purpose, extract } of made.recipe.plates.values())
      if (purpose === "colour") expect(extract.hue ?? extract.chroma ?? extract.lightness).toBeDefined();
    // Fitted to the trial alone, ranges leave 5.2.
    expect(made.proofs[0]!.mean).toBeLessThan(3);
  });

  it("uses the shop's inks, meshes and stations alone", async () => {
    const folder = fresh();
    const made = await proposed(folder, await putPicture(folder, TONES), ALL_GARMENTS, { shopFile: SHOP });
    expect(standing(made)).toEqual([]);
    expect(made.text).not.toContain("inks:");
    for (const { order } of made.recipe.setups.values()) expect(order.length).toBeLessThanOrEqual(10);
  });

  it("prints greyscale art in white alone on a black garment", async () => {
    const folder = fresh();
    const made = await proposed(
      folder,
      await putPicture(folder, (x, y) => {
        const v = 25 + 220 * x * (0.6 + 0.4 * y);
        return isInDisc(x, y, 0.45) ? [v, v, v] : CLEAR;
      }),
    );
    expect(made.kind).toBe("greyscale");
    expect([...made.recipe.plates.keys()]).toEqual(["white"]);
    expect(standing(made)).toEqual([]);
  });

  it("says what cannot be printed well: too few pixels, half clear parts, a box", async () => {
    const folder = fresh();
    const few = { plates: 2 };
    const tiny = await proposed(folder, await putPicture(folder, TONES, [48, 40]), undefined, few);
    expect(tiny.notes.join()).toMatch(/the artwork has 19 ppi at 2 in wide/);
    expect(standing(tiny)).toEqual([]);
    const glow = await proposed(
      folder,
      await putPicture(folder, (x, y) => [
        255,
        180 * y,
        40,
        Math.max(0, 255 - 500 * Math.hypot(x - 0.5, y - 0.5)),
      ]),
      undefined,
      few,
    );
    expect(glow.notes.join()).toMatch(/half transparent/);
    expect(standing(glow)).toEqual([]);
    const box = await proposed(
      folder,
      await putPicture(folder, (x, y) => (isInDisc(x, y, 0.3) ? [255, 220, 40] : [190, 30, 30])),
      undefined,
      few,
    );
    expect(box.notes.join()).toMatch(/plain background of #be1e1e prints as a box/);
    expect(standing(box)).toEqual([]);
  });

  it("writes any file name so that it is read again", async () => {
    const folder = fresh();
    const file = `${folder}/2024, #3 {moth}: last.png`;
    await rename(await putPicture(folder, () => [200, 60, 60], [60, 50]), file);
    const made = await proposed(folder, file);
    expect(made.recipe.artwork.file).toBe("2024, #3 {moth}: last.png");
    expect(made.recipe.title).toBe("2024, #3 {moth}: last");
    await rename(file, `${folder}/2024.png`);
    expect((await proposed(folder, `${folder}/2024.png`)).recipe.title).toBe("2024");
  });

  it("refuses what is clear all over", async () => {
    const folder = fresh();
    const file = await putPicture(folder, () => CLEAR, [20, 20]);
    await expect(proposed(folder, file)).rejects.toThrow("clear all over");
    expect(await disk.exists(`${folder}/job.sep.yaml`)).toBe(false);
  });

  it("works on a single pixel, and on a file of many megapixels", async () => {
    const folder = fresh();
    expect(standing(await proposed(folder, await putPicture(folder, () => [200, 60, 60], [1, 1])))).toEqual(
      [],
    );
    const small = await putPicture(folder, TONES, [120, 100]);
    const huge = `${folder}/huge.png`;
    await sharp(small).resize(5000, 4200, { kernel: "cubic" }).png({ compressionLevel: 1 }).toFile(huge);
    const made = await proposed(folder, huge, undefined, { plates: 3 });
    expect(made.widthMm).toBeCloseTo(12 * 25.4, 3);
    expect(standing(made)).toEqual([]);
  });
});

function labOf(hex: string) {
  const [r, g, b] = [1, 3, 5].map((i) => Number.parseInt(hex.slice(i, i + 2), 16)) as [
    number,
    number,
    number,
  ];
  return labFromBytes(r, g, b);
}

describe("a proposal for an index separation", () => {
  it("shares the chosen inks out in squares, on a whole base", async () => {
    const folder = fresh();
    const file = await putPicture(folder, TONES, [240, 200]);
    const made = await proposed(
      folder,
      file,
      { black: "#17171a" },
      { style: "index", plates: 2, widthMm: 30 },
    );
    expect(made.style).toBe("index");
    expect(standing(made)).toEqual([]);
    const [base, ...inks] = [...made.recipe.plates.values()];
    expect([base!.purpose, base!.extract]).toEqual(["underbase", { artwork: "opaque" }]);
    expect(inks.map(({ extract }) => extract)).toEqual([{ index: "squares" }, { index: "squares" }]);
    expect(made.recipe.knockouts).toEqual([]);
  });
});
