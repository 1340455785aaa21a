import type { SeparationPlan } from "../../../server/engine/plan.ts";
import type { Dial, TuneJob } from "../../../server/engine/tune/job.ts";
import { type Pixel, pictureOf } from "../pictures.ts";
import { PLAIN } from "../plans.ts";
import { jobOf } from "./job.ts";

/** Greys from dark to light, each twice. */
export const GREYS = pictureOf(
  8,
  Array.from({ length: 64 }, (_, i): Pixel => {
    const v = 20 + 7 * Math.floor(i / 2);
    return [v, v, v, 255];
  }),
);

const plan: SeparationPlan = {
  plates: [
    { name: "white", extract: { by: "artwork" }, strength: { by: "flat" } },
    { name: "black", extract: { by: "artwork" }, strength: { by: "flat" } },
  ],
  ...PLAIN,
  smallestDot: 0,
};

/** White over all as its curve says at 50 %, black up to a lightness, with a fade: three numbers, the last two of one plate. */
export function greysJob(white: number, to: number, fade: number, ...more: Dial[]): TuneJob {
  const dial = (plate: number, part: string, value: number, high: number): Dial => ({
    plate,
    part,
    value,
    low: 0,
    high,
    step: 8,
  });
  return {
    ...jobOf(plan),
    dials: [
      dial(0, "white tones", white, 100),
      dial(1, "black range", to, 100),
      dial(1, "black fade", fade, 90),
      ...more,
    ],
    plateAt: (plate, values) =>
      plate === 0
        ? {
            extract: { by: "artwork" },
            strength: { by: "lightness" },
            curves: [
              {
                curve: [
                  [0, 0],
                  [0.5, values[0]! / 100],
                  [1, 1],
                ],
                region: undefined,
              },
            ],
          }
        : {
            extract: { by: "lightness", from: 0, to: values[1]!, fade: values[2]! },
            strength: { by: "flat" },
            curves: [],
          },
  };
}
