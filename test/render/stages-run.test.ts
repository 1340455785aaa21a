import { copyFileSync, readFileSync, utimesSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { beforeAll, describe, expect, it } from "vitest";
import { parseDocument } from "../../server/language/document.ts";
import { resolveRecipe } from "../../server/language/resolve-recipe.ts";
import { separationPlan } from "../../server/render/plan/separation-plan.ts";
import { preview } from "../../server/render/preview.ts";
import { StageCache } from "../../server/render/stage-cache.ts";
import { scratch } from "../output/folders.ts";
import { random } from "../property.ts";

const RECIPE = `recipe: 1
title: Stages
artwork: { file: art.png, width: 2 in }
garments: { black: { colour: "#17171a" } }
inks:
  white: { colour: "#ffffff", opacity: 95% }
  ember: { colour: "#d8431f", opacity: 70% }
  dark: { colour: "#202020", opacity: 90% }
plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { hue: [20, 70], fade: 12 } }
  rose: { ink: ember, extract: { near: "#d05070", within: 10, fade: 8 } }
  slate: { ink: dark, extract: { near: "#7b8088", within: 10, fade: 8 } }
  black: { ink: dark, purpose: shadow, extract: { lightness: [0, 30], fade: 10 } }
  glint: { ink: white, purpose: highlight, extract: { lightness: [80, 100], fade: 6 } }
adjust:
  - { plate: ember, curve: [[0, 0], [100, 90]] }
  - { plate: slate, region: { rectangle: { from: [5 mm, 5 mm], to: [30 mm, 20 mm] }, feather: 2 mm }, curve: [[0, 0], [100, 70]] }
merges:
  - { fold: rose, into: ember }
knockouts:
  - { from: base, where: black, choke: 0.6 mm }
traps:
  - { plate: base, choke: 0.7 mm }
screening: { ruling: 45 lpi, angle: 22.5, smallest-dot: 4% }
setups:
  dark: { garments: [black], order: [base, flash, ember, slate, black, glint] }
`;

const SOLVED = RECIPE.replace("hue: [20, 70], fade: 12", "solve: jointly")
  .replace('near: "#7b8088", within: 10, fade: 8', "solve: jointly")
  .replace(/adjust:[\s\S]*?merges/, "merges");

/** Notes which stages are made. */
class Watched extends StageCache {
  readonly made: string[] = [];

  override put<T>(key: string, value: T, bytes: number): T {
    this.made.push(key.slice(0, key.indexOf(" ")));
    return super.put(key, value, bytes);
  }
}

const { fresh } = scratch();
let folder: string;

beforeAll(async () => {
  folder = fresh();
  const next = random(4);
  const blobs = (seed: number) => Uint8Array.from({ length: 8 * 6 * 3 }, () => (next() * 256 + seed) & 255);
  for (const [name, seed] of [
    ["art", 0],
    ["other", 90],
  ] as const)
    await sharp(blobs(seed), { raw: { width: 8, height: 6, channels: 3 } })
      .resize(80, 60, { kernel: "cubic" })
      // Not packed: the files are of one length.
      .png({ compressionLevel: 0 })
      .toFile(join(folder, `${name}.png`));
  copyFileSync(join(folder, "art.png"), join(folder, "copy.png"));
});

async function seen(text: string, cache: Watched) {
  const document = parseDocument(join(folder, "a.sep.yaml"), text);
  const recipe = resolveRecipe(document);
  cache.made.length = 0;
  const { plates } = await preview(
    {
      plan: separationPlan(recipe),
      widthMm: recipe.artwork.widthMm,
      source: { file: join(folder, recipe.artwork.file) },
      held: { plates: {} },
    },
    cache,
  );
  const stages: Record<string, number> = {};
  for (const stage of cache.made) stages[stage] = (stages[stage] ?? 0) + 1;
  return { stages, keys: new Map(plates.map(({ name, key }) => [name, key])) };
}

/** The stages that run, and the plates that are others, when `before` becomes `after`. */
async function reached(before: string, after: string, cache = new Watched(1e8)) {
  const old = await seen(before, cache);
  const { stages, keys } = await seen(after, cache);
  return { stages, plates: [...keys].flatMap(([name, key]) => (old.keys.get(name) === key ? [] : [name])) };
}

const nothing = {};
const one = (...stages: string[]) => Object.fromEntries([...stages, "limits", "figures"].map((s) => [s, 1]));
const everything = {
  differences: 2,
  extract: 6,
  adjust: 2,
  merge: 1,
  choke: 2,
  // One as it goes on, one from which the hole knows what it stands beside.
  knockout: 2,
  solid: 1,
  spread: 1,
  hole: 1,
  limits: 5,
  figures: 5,
};
const ALL = ["base", "ember", "slate", "black", "glint"];

const edits: readonly [what: string, from: string | RegExp, to: string, stages: object, plates: string[]][] =
  [
    ["a comment", "plates:", "# what is printed\nplates:", nothing, []],
    ["the title", "Stages", "Other stages", nothing, []],
    [
      "the order of keys",
      "{ ink: white, purpose: underbase,",
      "{ purpose: underbase, ink: white,",
      nothing,
      [],
    ],
    ["the notation of a colour", 'near: "#7b8088"', 'near: "#7B8088"', nothing, []],
    ["the notation of a length", "choke: 0.7 mm", "choke: 0.07 cm", nothing, []],
    ["the garment's colour", "#17171a", "#8c2f2b", nothing, []],
    ["an ink's colour", "#d8431f", "#c8431f", nothing, []],
    ["an ink's opacity", "opacity: 70%", "opacity: 75%", nothing, []],
    ["a plate's ink", "slate: { ink: dark", "slate: { ink: ember", nothing, []],
    ["a plate's purpose", ", purpose: highlight", "", nothing, []],
    ["the print order", "ember, slate, black", "slate, ember, black", nothing, []],
    ["a flash", "ember, slate, black", "ember, flash, slate, black", nothing, []],
    ["ruling and angle", "45 lpi, angle: 22.5", "55 lpi, angle: 25", nothing, []],
    ["a hue range", "[20, 70]", "[15, 70]", one("extract", "adjust", "merge"), ["ember"]],
    [
      "a folded plate's range",
      'near: "#d05070", within: 10',
      'near: "#d05070", within: 12',
      one("extract", "merge"),
      ["ember"],
    ],
    [
      "a plate's soft edge",
      "within: 10, fade: 8 } }\n  black",
      "within: 10, fade: 9 } }\n  black",
      one("extract", "adjust"),
      ["slate"],
    ],
    [
      "the colour that a plate lies near",
      'near: "#7b8088"',
      'near: "#7b8090"',
      one("differences", "extract", "adjust"),
      ["slate"],
    ],
    [
      "a plate's strength",
      "extract: { lightness: [80, 100], fade: 6 }",
      "extract: { lightness: [80, 100], fade: 6 }, strength: lightness",
      one("extract"),
      ["glint"],
    ],
    [
      "a plate that knocks out another",
      "[0, 30]",
      "[0, 28]",
      { extract: 1, choke: 2, knockout: 2, solid: 1, spread: 1, hole: 1, limits: 2, figures: 2 },
      ["base", "black"],
    ],
    [
      "a plate that is knocked out and trapped",
      "artwork: opaque",
      "opacity: [50, 100]",
      { ...one("extract", "choke", "solid", "spread", "hole"), knockout: 2 },
      ["base"],
    ],
    ["a curve", "[100, 90]", "[100, 85]", one("adjust", "merge"), ["ember"]],
    ["a region's place", "[5 mm, 5 mm]", "[6 mm, 5 mm]", one("adjust"), ["slate"]],
    ["a region's feather", "feather: 2 mm", "feather: 3 mm", one("adjust"), ["slate"]],
    [
      "one adjustment more",
      "merges:",
      "  - { plate: glint, curve: [[0, 0], [100, 50]] }\nmerges:",
      one("adjust"),
      ["glint"],
    ],
    ["one adjustment less", / {2}- \{ plate: ember, curve.*\n/, "", one("merge"), ["ember"]],
    [
      "the order of adjustments of two plates",
      /( {2}- \{ plate: ember, curve.*\n)(.*\n)/,
      "$2$1",
      nothing,
      [],
    ],
    [
      "a merge less",
      "merges:\n  - { fold: rose, into: ember }\n",
      "",
      { limits: 2, figures: 2 },
      ["ember", "rose"],
    ],
    [
      "another host for a folded plate",
      "into: ember",
      "into: slate",
      { merge: 1, limits: 2, figures: 2 },
      ["ember", "slate"],
    ],
    [
      "a knockout's choke",
      "choke: 0.6 mm",
      "choke: 0.5 mm",
      { choke: 2, knockout: 1, spread: 1, hole: 1, limits: 1, figures: 1 },
      ["base"],
    ],
    [
      "a knockout less",
      "knockouts:\n  - { from: base, where: black, choke: 0.6 mm }\n",
      "",
      one("choke"),
      ["base"],
    ],
    [
      "a knockout more, as deep as another",
      "traps:",
      "  - { from: slate, where: black, choke: 0.6 mm }\ntraps:",
      { ...one("solid", "spread", "hole"), knockout: 2 },
      ["slate"],
    ],
    ["a trap's distance", "choke: 0.7 mm", "choke: 0.65 mm", one("choke"), ["base"]],
    ["a spread for a choke", "plate: base, choke", "plate: base, spread", one("spread"), ["base"]],
    ["a trap less", "traps:\n  - { plate: base, choke: 0.7 mm }\n", "", one(), ["base"]],
    ["the smallest dot", "smallest-dot: 4%", "smallest-dot: 5%", { limits: 5, figures: 5 }, ALL],
    [
      "a plate more",
      "adjust:",
      "  sky: { ink: dark, extract: { hue: [200, 280] } }\nadjust:",
      one("extract"),
      ["sky"],
    ],
    ["a plate less", / {2}glint: .*\n|, glint/g, "", nothing, []],
    ["a plate's name", /glint/g, "sparkle", nothing, ["sparkle"]],
    ["a copy of the artwork", "art.png", "copy.png", { info: 1, decoded: 1 }, []],
    ["another artwork", "art.png", "other.png", { info: 1, decoded: 1, palette: 1, ...everything }, ALL],
    [
      "the printed width",
      "width: 2 in",
      "width: 2.1 in",
      { info: 1, decoded: 1, palette: 1, ...everything },
      ALL,
    ],
  ];

describe("an edit makes again what it reaches, and nothing else", () => {
  it("once everything was made", async () => {
    const { stages } = await seen(RECIPE, new Watched(1e8));
    expect(stages).toEqual({ info: 1, decoded: 1, palette: 1, ...everything });
  });

  it.each(edits)("%s", async (_what, from, to, stages, plates) => {
    const after = RECIPE.replace(from, to);
    expect(after).not.toBe(RECIPE);
    expect(await reached(RECIPE, after)).toEqual({ stages, plates });
  });

  it("taking an edit back", async () => {
    const cache = new Watched(1e8);
    await seen(RECIPE, cache);
    await seen(RECIPE.replace("[0, 30]", "[0, 20]"), cache);
    expect((await seen(RECIPE, cache)).stages).toEqual(nothing);
  });

  it("the artwork saved anew, at the same time by its clock", async () => {
    const copy = join(folder, "copy.png");
    const at = new Date("2026-01-02");
    utimesSync(copy, at, at);
    const cache = new Watched(1e8);
    await seen(RECIPE.replace("art.png", "copy.png"), cache);
    writeFileSync(copy, readFileSync(join(folder, "other.png")));
    utimesSync(copy, at, at);
    const { stages } = await seen(RECIPE.replace("art.png", "copy.png"), cache);
    expect(stages).toEqual({ info: 1, decoded: 1, palette: 1, ...everything });
  });

  // Solving takes seconds, and its edits reach different stages: what they begin from is made once for all.
  const solved = new Watched(1e8);

  it.each([
    [
      "an ink's colour",
      "#d8431f",
      "#c8431f",
      { solve: 1, values: 1, solved: 2, merge: 1, limits: 2, figures: 2 },
      ["ember", "slate"],
    ],
    [
      "the garment's colour",
      "#17171a",
      "#8c2f2b",
      { solve: 1, values: 1, solved: 2, merge: 1, limits: 2, figures: 2 },
      ["ember", "slate"],
    ],
    ["a trap", "choke: 0.7 mm", "choke: 0.65 mm", one("choke"), ["base"]],
    ["the title", "Stages", "Other stages", nothing, []],
  ])("%s, where plates are solved", async (_what, from, to, stages, plates) => {
    const after = SOLVED.replace(from, to);
    expect(after).not.toBe(SOLVED);
    expect(await reached(SOLVED, after, solved)).toEqual({ stages, plates });
  });
});
