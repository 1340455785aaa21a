import { Thirds } from "../../engine/inspect/thirds.ts";
import { placeWords } from "../../language/place-words.ts";
import type { PixelRule } from "../rule.ts";
import { cm2, percent } from "../words.ts";
import { yaml } from "../yaml.ts";

const LEAST_CM2 = 1;

/** Wet ink upon wet ink, counted where it really lies. */
export const wetInk: PixelRule = {
  id: "wet-ink",
  looksAt: "pixels",
  level: "warning",
  why: "Where many inks lie wet on one another, the print stays soft, smears on the next screen and cures badly.",
  source:
    "The recipe's own limit (`solve.wet-ink`), else 300 % between two flashes: common practice, no source.",
  example: {
    fails: yaml`
      # four solid plates over the same place, with no flash between
      setups:
        dark: { garments: [black], order: [base, flash, gold, ember, rose, violet] }
    `,
    passes: yaml`
      setups:
        dark: { garments: [black], order: [base, flash, gold, ember, flash, rose, violet] }
    `,
  },
  *check(print) {
    const { width, height } = print.picture;
    const most = print.recipe.solve.wetInk;
    for (const [name, setup] of print.recipe.setups) {
      const wet = new Uint16Array(width * height);
      const peak = new Uint16Array(width * height);
      for (const step of setup.order) {
        if (step === "flash") wet.fill(0);
        const plate = typeof step === "string" ? undefined : print.plates.get(step.plate);
        if (!plate) continue;
        const { tones } = plate;
        for (let i = 0; i < wet.length; i++) {
          wet[i]! += tones[i]!;
          if (wet[i]! > peak[i]!) peak[i] = wet[i]!;
        }
      }
      const where = new Thirds(width, height);
      let peakOfAll = 0;
      for (let i = 0; i < peak.length; i++) {
        if (peak[i]! <= most * 255) continue;
        where.add(i);
        if (peak[i]! > peakOfAll) peakOfAll = peak[i]!;
      }
      const area = print.areaCm2(where.sum);
      if (area < LEAST_CM2) continue;
      yield {
        path: ["setups", name, "order"],
        message: `up to ${percent(peakOfAll / 255)} ink wet-on-wet on ${cm2(area)}, ${placeWords(where)}, over ${percent(most)}, and will smear; flash between, or take ink out there`,
      };
    }
  },
};
