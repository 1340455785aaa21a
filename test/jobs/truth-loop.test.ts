import { beforeAll, describe, expect, it } from "vitest";
import { deltaE00 } from "../../server/engine/colour/ciede2000.ts";
import { type Lab, labFromLinear } from "../../server/engine/colour/cielab.ts";
import { printedTone } from "../../server/engine/print/gain.ts";
import { preparePrint } from "../../server/engine/print/model.ts";
import { toneValueOf } from "../../server/engine/print/tone-value.ts";
import { filmPage } from "../../server/engine/screen/film-page.ts";
import { type Sheet, targetSheet } from "../../server/engine/target/sheet.ts";
import { type Calibration, calibrate } from "../../server/jobs/calibrate.ts";
import { targetScreens } from "../../server/jobs/target.ts";
import { parseDocument } from "../../server/language/document.ts";
import type * as Formats from "../../server/language/generated/formats.ts";
import { openProject } from "../../server/language/project.ts";
import type { Recipe } from "../../server/language/recipe.ts";
import { resolveRecipe } from "../../server/language/resolve-recipe.ts";
import { drawn } from "../../server/output/films/film.ts";
import { TargetPlate } from "../../server/output/target/plate-bits.ts";
import { emptyReadings } from "../../server/output/target/readings-file.ts";
import { filmCurve } from "../../server/render/film-curve.ts";
import { printConditions, printStations } from "../../server/render/plan/print-plan.ts";
import { filesInMemory } from "../language/documents.ts";
import { printed, readSheet } from "./invented-press.ts";
import { INKS, PRESS, SHOP } from "./truth.ts";

const SHOP_DATA = parseDocument("a.shop.yaml", SHOP).value as Formats.Shop;
const DPI = 600;

const difference = (p: Lab, q: Lab) => deltaE00(p.L, p.a, p.b, q.L, q.a, q.b);

let sheet: Sheet;
let found: Calibration;

beforeAll(() => {
  sheet = targetSheet({ title: "Shop", inks: INKS, base: undefined, screens: targetScreens(SHOP_DATA) });
  const page = filmPage(sheet.width, sheet.height, DPI);
  const films = INKS.map((_, plate) => drawn(new TargetPlate(sheet, plate, page), () => {}));
  const empty = emptyReadings(sheet, "Shop", "a test");
  const rows = readSheet(PRESS, sheet, films, DPI, 3).map(
    ({ name, text }, i) => `${i + 1}\t"${name}"\t${text}`,
  );
  const text = empty
    .replace(/NUMBER_OF_SETS \d+/, `NUMBER_OF_SETS ${rows.length}`)
    .replace(/BEGIN_DATA\n[\s\S]*END_DATA\n$/, () => `BEGIN_DATA\n${rows.join("\n")}\nEND_DATA\n`);
  const { calibration, problems } = calibrate({
    text: SHOP,
    shop: SHOP_DATA,
    files: [{ name: "read.txt", text }],
    date: "2026-11-27",
    mesh: undefined,
  });
  expect(problems).toEqual([]);
  found = calibration!;
});

describe("what is read back from the print of an invented press", () => {
  it.each(["ember", "blue"])(
    "the gain of %s is the press's within 1 % at every tone, on every screen",
    (ink) => {
      const at = (area: number) => printed(PRESS, PRESS.garment, new Map([[ink, area]]));
      for (const { name } of sheet.screens) {
        const gain = printedTone(found.figures.inks.get(ink)!.ramps.get(name)!.gain.value);
        for (const film of [0.02, 0.05, 0.1, 0.2, 0.3, 0.5, 0.7, 0.9, 0.95]) {
          const truth = toneValueOf(at(PRESS.grown(film, ink)), at(0), at(1), "murray-davies");
          expect(Math.abs(gain(film) - truth), `${name} ${film}`).toBeLessThan(0.01);
        }
      }
    },
  );

  it.each(["ember", "blue"])("%s over white and over black is the press's within ΔE00 0.5", (ink) => {
    for (const [over, ground] of [
      ["white card", PRESS.card.white],
      ["black card", PRESS.card.black],
    ] as const) {
      const { value, spread } = found.figures.inks.get(ink)!.over.get(over)!;
      expect(difference(value, printed(PRESS, ground, new Map([[ink, 1]])))).toBeLessThan(0.5);
      expect(spread).toBeGreaterThan(0);
    }
  });

  it("misregistration within 0.02 mm, line and gap as the sheet has them, n within 0.2", () => {
    const { misregistration, inks, n } = found.figures;
    expect(Math.abs(misregistration!.value - Math.hypot(0.13, 0.21))).toBeLessThan(0.02);
    expect([inks.get("ember")!.line!.value, inks.get("ember")!.gap!.value]).toEqual([PRESS.line, PRESS.gap]);
    expect(Math.abs(n! - PRESS.n)).toBeLessThanOrEqual(0.2);
  });
});

const RECIPE = (n: number) => `recipe: 1
artwork: { file: art.png, width: 1 in }
shop: a.shop.yaml
garments: { white: { colour: lab(96 0 1) } }
plates:
  ember: { ink: ember, extract: { artwork: opaque } }
  blue: { ink: blue, extract: { artwork: opaque }, screening: { angle: 52.5 } }
setups: { light: { garments: [white], order: [ember, blue], yule-nielsen: ${n} } }
`;

async function jobWith(shop: string, n: number): Promise<Recipe> {
  const files = { "a.sep.yaml": RECIPE(n), "art.png": "", "a.shop.yaml": shop };
  const project = await openProject("a.sep.yaml", filesInMemory(files));
  expect(project.findings).toEqual([]);
  return resolveRecipe(project.main, project.shop, project.readings);
}

/** Mean ΔE00 of a job's proof from the press's print of its films, over pairs of tones. */
async function missOf(shop: string, n: number): Promise<number> {
  const recipe = await jobWith(shop, n);
  const setup = recipe.setups.get("light")!;
  const proof = preparePrint(printConditions(recipe, setup, "white"), printStations(recipe, setup));
  const films = ["ember", "blue"].map((name) => filmCurve(recipe, recipe.plates.get(name)!));
  const tones = [0, 26, 64, 102, 128, 166, 204, 240, 255];
  const off = tones.flatMap((ember) =>
    tones.map((blue) => {
      const areas = new Map([
        ["ember", PRESS.grown(films[0]![ember]!, "ember")],
        ["blue", PRESS.grown(films[1]![blue]!, "blue")],
      ]);
      const shown = labFromLinear(proof.colour([proof.areas[0]![ember]!, proof.areas[1]![blue]!]));
      return difference(shown, printed(PRESS, PRESS.garment, areas));
    }),
  );
  return off.reduce((sum, v) => sum + v, 0) / off.length;
}

it("a job's proof is nearer to the press's print after calibration than before", async () => {
  const before = await missOf(SHOP, 1);
  const gained = await missOf(found.text, 1);
  const after = await missOf(found.text, found.figures.n!);
  console.info(
    `proof from print, mean ΔE00: ${[before, gained, after].map((v) => v.toFixed(2)).join(" → ")}`,
  );
  expect(before).toBeGreaterThan(5);
  expect(gained).toBeLessThan(before / 2);
  expect(after).toBeLessThan(1);
});
