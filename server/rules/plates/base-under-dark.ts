import { deltaE00 } from "../../engine/colour/ciede2000.ts";
import { Thirds } from "../../engine/inspect/thirds.ts";
import { placeWords } from "../../language/place-words.ts";
import { misregistrationOf } from "../../render/plan/print-plan.ts";
import { labAt, type PrintPlate } from "../../render/print.ts";
import { DARK_INK, inkOf, SHADOW_GARMENT, trapOf } from "../job.ts";
import type { PixelRule } from "../rule.ts";
import { cm2, mm } from "../words.ts";
import { yaml } from "../yaml.ts";

const LEAST_CM2 = 1;
/** Tones, 0–255, at which a plate covers, and at which an underbase lies below it. */
const COVERS = 204;
const LIES = 128;
/** ΔE00 within which artwork is as dark as the garment. */
const AS_GARMENT = 6;

/** Dark ink over white needs no white. */
export const baseUnderBlack: PixelRule = {
  id: "base-under-black",
  looksAt: "pixels",
  level: "warning",
  why: "Black on a white underbase turns grey, feels heavy, and shows white at every edge; on bare garment it is blacker.",
  source: "Common practice, no source.",
  example: {
    fails: yaml`
      knockouts: []
    `,
    passes: yaml`
      knockouts:
        - { from: base, where: black, choke: 0.4 mm }
    `,
  },
  *check(print) {
    const { recipe } = print;
    const told = new Set<string>();
    for (const setup of recipe.setups.values()) {
      const printed = print.printed(setup);
      for (const base of printed) {
        if (recipe.plates.get(base.name)!.purpose !== "underbase") continue;
        for (const dark of printed) {
          const plate = recipe.plates.get(dark.name)!;
          const key = `${base.name} ${dark.name}`;
          const done = recipe.knockouts.some(({ from, where }) => from === base.name && where === dark.name);
          if (dark === base || done || told.has(key) || inkOf(recipe, plate).colour.lab.L > DARK_INK)
            continue;
          const where = new Thirds(print.picture.width, print.picture.height);
          for (let i = 0; i < dark.tones.length; i++)
            if (dark.tones[i]! >= COVERS && base.tones[i]! >= LIES) where.add(i);
          const area = print.areaCm2(where.sum);
          if (area < LEAST_CM2) continue;
          told.add(key);
          const least = misregistrationOf(recipe);
          const choke = mm(least + Math.max(0, trapOf(recipe, base.name)));
          yield {
            path: ["plates", base.name],
            part: "key",
            message: `${dark.name} prints over ${base.name} on ${cm2(area)}, ${placeWords(where)}, and will turn grey there; knock ${base.name} out where ${dark.name} prints`,
            data: {
              add: {
                list: ["knockouts"],
                text: `{ from: ${base.name}, where: ${dark.name}, choke: ${choke} }`,
              },
            },
          };
        }
      }
    }
  },
};

/** What is as dark as the garment is the garment. */
export const needlessBase: PixelRule = {
  id: "needless-base",
  looksAt: "pixels",
  level: "warning",
  why: "An underbase below colours as dark as the garment makes them lighter than they should be, and costs ink and hand.",
  source: "Common practice, no source.",
  example: {
    fails: yaml`
      # a picture with large parts as black as the garment
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
    `,
    passes: yaml`
      # a picture with large parts as black as the garment
      plates:
        base: { ink: white, purpose: underbase, extract: { artwork: opaque, lightness: [18, 100], fade: 10 } }
    `,
  },
  *check(print) {
    const { recipe, picture } = print;
    const told = new Set<string>();
    for (const setup of recipe.setups.values()) {
      for (const garment of setup.garments) {
        const own = recipe.garments.get(garment)!.colour.lab;
        if (own.L > SHADOW_GARMENT) continue;
        const printed = print.printed(setup);
        const dark = printed.filter(
          (plate) => inkOf(recipe, recipe.plates.get(plate.name)!).colour.lab.L <= DARK_INK,
        );
        for (const base of printed) {
          if (recipe.plates.get(base.name)!.purpose !== "underbase" || told.has(base.name)) continue;
          const where = new Thirds(picture.width, picture.height);
          for (let i = 0; i < base.tones.length; i++) {
            if (base.tones[i]! < LIES || picture.data[i * 4 + 3]! < 128 || covered(dark, i)) continue;
            const { L, a, b } = labAt(picture.data, i * 4);
            if (deltaE00(L, a, b, own.L, own.a, own.b) <= AS_GARMENT) where.add(i);
          }
          const area = print.areaCm2(where.sum);
          if (area < LEAST_CM2) continue;
          told.add(base.name);
          yield {
            path: ["plates", base.name],
            part: "key",
            message: `${base.name} lies under ${cm2(area)} of artwork, ${placeWords(where)}, as dark as the ${garment} garment itself; leave it out there`,
          };
        }
      }
    }
  },
};

/** The other rule speaks of these. */
function covered(dark: readonly PrintPlate[], at: number): boolean {
  // An edge's pixel is dark by half of itself already.
  return dark.some(({ tones }) => tones[at]! >= LIES);
}
