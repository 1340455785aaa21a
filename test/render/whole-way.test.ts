import { describe, expect, it } from "vitest";
import { deltaE00 } from "../../server/engine/colour/ciede2000.ts";
import { type Lab, labFromLinear } from "../../server/engine/colour/cielab.ts";
import { mixingBands } from "../../server/engine/print/bands.ts";
import { filmOf, substrateOf } from "../../server/engine/print/ink-film.ts";
import { preparePrint } from "../../server/engine/print/model.ts";
import { mixInFull } from "../../server/engine/print/neugebauer-primaries.ts";
import { type ToneValue, toneValueOf } from "../../server/engine/print/tone-value.ts";
import { bytesPerRow } from "../../server/engine/screen/bits.ts";
import { Halftone } from "../../server/engine/screen/halftone.ts";
import { openProject } from "../../server/language/project.ts";
import type { Recipe } from "../../server/language/recipe.ts";
import { resolveRecipe } from "../../server/language/resolve-recipe.ts";
import { filmCurve, filmScreening } from "../../server/render/film-curve.ts";
import { printConditions, printStations } from "../../server/render/plan/print-plan.ts";
import { filesInMemory } from "../language/documents.ts";

// An invented press. It knows areas only: what ink of a film's bits comes to lie on the shirt, and n.
const grown = (film: number) => film + 0.5 * film * (1 - film);
const INK = { L: 52, a: 58, b: 34 };
const ink = filmOf({ colour: INK, opacity: 0.7 });
const shirt = substrateOf({ L: 100, a: 0, b: 0 });
const printOf = (film: number, n: number): Lab =>
  labFromLinear(mixInFull(shirt, [ink], [grown(film)], mixingBands(n), n));

const FILM = 480;
/** The share of a film that is ink, of a flat plate tone 0–255: counted in its bits. */
function inkOn(recipe: Recipe, tone: number, curve: Float64Array): number {
  const plate = recipe.plates.get("ember")!;
  const tones = new Uint8Array(16).fill(tone);
  const bits = new Uint8Array(bytesPerRow(FILM) * FILM);
  new Halftone({ tones, width: 4, height: 4, curve }, filmScreening(plate.screening), 600, FILM, FILM).draw(
    { x: 0, y: 0, width: FILM, height: FILM },
    bits,
  );
  let ones = 0;
  for (let byte of bits) for (; byte; byte &= byte - 1) ones++;
  return ones / (FILM * FILM);
}

const WEDGE = [0, 5, 10, 20, 30, 40, 50, 60, 70, 80, 90, 95, 100];
const PLAIN = Float64Array.from({ length: 256 }, (_, i) => i / 255);

/** A job for that press; `measured` is what its shop has learnt of it. */
async function jobOf(n: number, screening: string, files: Record<string, string> = {}): Promise<Recipe> {
  const text = `recipe: 1
artwork: { file: art.png, width: 1 in }
garments: { white: { colour: "#ffffff" } }
inks: { ember: { colour: lab(52 58 34), opacity: 70% } }
plates: { ember: { ink: ember, extract: { artwork: opaque } } }
setups: { light: { garments: [white], order: [ember], yule-nielsen: ${n} } }
screening: { ruling: 45 lpi, film: 600 dpi, smallest-dot: 0%${screening && `, ${screening}`} }
`;
  const project = await openProject(
    "a.sep.yaml",
    filesInMemory({ "a.sep.yaml": text, "art.png": "", ...files }),
  );
  expect(project.findings).toEqual([]);
  return resolveRecipe(project.main, project.shop, project.readings);
}

/** The wedge as it is printed and read: two decimals of CIELAB, as instruments write them. */
async function readWedge(n: number): Promise<[number, Lab][]> {
  const recipe = await jobOf(n, "");
  const rounded = (v: number) => Number(v.toFixed(2));
  return WEDGE.map((tone) => {
    const { L, a, b } = printOf(inkOn(recipe, Math.round(tone * 2.55), PLAIN), n);
    return [(Math.round(tone * 2.55) / 255) * 100, { L: rounded(L), a: rounded(a), b: rounded(b) }];
  });
}

const tableOf = (steps: [number, Lab][], meant: ToneValue) => {
  const [ground, solid] = [steps[0]![1], steps.at(-1)![1]];
  const pairs = steps.map(([film, c]) => [
    film.toFixed(2),
    (100 * toneValueOf(c, ground, solid, meant)).toFixed(2),
  ]);
  return `gain: [${pairs.map(([f, p]) => `[${f}, ${p}]`).join(", ")}]`;
};
const fileOf = (steps: [number, Lab][]) =>
  `CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID TONE LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n${steps
    .map(([film, { L, a, b }], i) => `${i} ${film.toFixed(4)} ${L} ${a} ${b}`)
    .join("\n")}\nEND_DATA\n`;

/** The proof's colour of a plate tone. */
function proofOf(recipe: Recipe, tone: number): Lab {
  const setup = recipe.setups.get("light")!;
  const { areas, colour } = preparePrint(
    printConditions(recipe, setup, "white"),
    printStations(recipe, setup),
  );
  return labFromLinear(colour([areas[0]![tone]!]));
}

describe("film → print → reading → table → proof", () => {
  const WAYS = [
    ["a table in Murray–Davies", "murray-davies", false],
    ["a table in spot colour tone values", "spot-colour", false],
    ["a wedge's file", "murray-davies", true],
  ] as const;
  const cases = [1, 1.4, 2].flatMap((n) =>
    WAYS.flatMap((way) => [true, false].map((c) => [n, ...way, c] as const)),
  );

  it.each(cases)(
    "the proof is of the film's print, n = %d, %s, %s, wedge %s, compensated %s",
    async (n, _, meant, wedge, compensate) => {
      const steps = await readWedge(n);
      const said = wedge ? "wedge: { file: wedge.txt }" : tableOf(steps, meant);
      const recipe = await jobOf(n, `${said}, tone-value: ${meant}, compensate: ${compensate}`, {
        "wedge.txt": fileOf(steps),
      });
      const curve = filmCurve(recipe, recipe.plates.get("ember")!);
      for (const tone of [13, 26, 64, 128, 168, 191, 230, 242]) {
        const print = printOf(inkOn(recipe, tone, curve), n);
        const proof = proofOf(recipe, tone);
        const off = deltaE00(print.L, print.a, print.b, proof.L, proof.a, proof.b);
        expect(off, `tone ${tone}`).toBeLessThan(0.5);
        if (!compensate) continue;
        // A plate's tone is the printed tone value.
        const [ground, solid] = [printOf(0, n), printOf(1, n)];
        expect(Math.abs(toneValueOf(print, ground, solid, meant) - tone / 255), `tone ${tone}`).toBeLessThan(
          0.01,
        );
      }
    },
  );
});
