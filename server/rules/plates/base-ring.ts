import { Thirds } from "../../engine/inspect/thirds.ts";
import { choke } from "../../engine/trap/choke.ts";
import { placeWords } from "../../language/place-words.ts";
import { misregistrationOf } from "../../render/plan/print-plan.ts";
import { inkOf, SAME_MM, trapOf } from "../job.ts";
import type { PixelRule } from "../rule.ts";
import { mm } from "../words.ts";
import { yaml } from "../yaml.ts";

/** L* up to which an ink shows white beside it most. Common practice, no source. */
const DARK_INK = 30;
/** Shorter rings are not worth a word. Common practice, no source. */
const LEAST_MM = 10;
const SOLID = 204;

/** An underbase that comes out from under dark outlines. */
export const baseRing: PixelRule = {
  id: "base-ring",
  looksAt: "pixels",
  level: "warning",
  why: "An underbase that reaches to the outer edge of a dark outline shows as a white ring around it as soon as the screens are a little off.",
  source: "Common practice, no source; the distance is the shop's misregistration, else 0.2 mm.",
  example: {
    fails: yaml`
      # a picture with black outlines
      traps: []
    `,
    passes: yaml`
      # a picture with black outlines
      traps:
        - { plate: base, choke: 0.2 mm }
    `,
  },
  *check(print) {
    const { recipe, picture, pixelMm } = print;
    const { width, height } = picture;
    const least = misregistrationOf(recipe);
    const told = new Set<string>();
    for (const setup of recipe.setups.values()) {
      const printed = print.printed(setup);
      const over = printed.filter(({ name }) => recipe.plates.get(name)!.purpose !== "underbase");
      const dark = over.filter(
        ({ name }) => inkOf(recipe, recipe.plates.get(name)!).colour.lab.L <= DARK_INK,
      );
      const bases = printed.filter(({ name }) => recipe.plates.get(name)!.purpose === "underbase");
      if (dark.length === 0 || bases.length === 0) continue;
      const cover = new Uint8Array(width * height);
      for (const { tones } of over)
        for (let i = 0; i < cover.length; i++) cover[i] = Math.min(255, cover[i]! + tones[i]!);
      const sure = new Uint8Array(cover.length);
      choke(cover, width, height, least / pixelMm, sure);
      for (const base of bases) {
        if (told.has(base.name) || trapOf(recipe, base.name) >= least - SAME_MM) continue;
        const where = new Thirds(width, height);
        let open = 0;
        for (let i = 0; i < sure.length; i++) {
          const beyond = base.tones[i]! - sure[i]!;
          if (beyond <= 0 || !dark.some(({ tones }) => tones[i]! >= SOLID)) continue;
          open += beyond / 255;
          where.add(i);
        }
        const ringMm = (open * pixelMm ** 2) / least;
        if (ringMm < LEAST_MM) continue;
        told.add(base.name);
        const index = recipe.traps.find(({ plate }) => plate === base.name)?.index;
        const wanted = `{ plate: ${base.name}, choke: ${mm(least)} }`;
        yield {
          path: index === undefined ? ["plates", base.name] : ["traps", index],
          ...(index === undefined ? { part: "key" as const } : {}),
          message: `${base.name} reaches the outer edge of dark outlines along ${Math.round(ringMm)} mm, ${placeWords(where)}, and shows as a white ring when screens are ${mm(least)} off; choke it by ${mm(least)} or more`,
          ...(index === undefined ? { data: { add: { list: ["traps"], text: wanted } } } : {}),
        };
      }
    }
  },
};
