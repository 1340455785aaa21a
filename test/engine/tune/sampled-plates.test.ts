import { expect, it } from "vitest";
import type { SolvedTones } from "../../../server/engine/extract/solved-tones.ts";
import type { SeparationPlan } from "../../../server/engine/plan.ts";
import { separate } from "../../../server/engine/separate.ts";
import { samplePixels } from "../../../server/engine/tune/sample.ts";
import { SampledPlates } from "../../../server/engine/tune/sampled-plates.ts";
import { type Pixel, pictureOf } from "../pictures.ts";
import { jobOf } from "./job.ts";

const [WIDTH, HEIGHT] = [24, 8];
/** Colours of all hues, some of them half clear; none so light that white is solid, since solids tell on pixels beside them. */
const picture = pictureOf(
  WIDTH,
  Array.from(
    { length: WIDTH * HEIGHT },
    (_, i): Pixel => [(i * 37) % 229, (i * 91) % 229, (i * 151) % 229, i % 7 === 0 ? 150 : 255],
  ),
);
const PER_MM = 2;

const plan: SeparationPlan = {
  plates: [
    { name: "white", extract: { by: "artwork" }, strength: { by: "lightness" } },
    {
      name: "gold",
      extract: { by: "hue", from: 40, to: 110, fade: 40 },
      strength: { by: "chroma", full: 80 },
    },
    { name: "leaf", extract: { by: "hue", from: 110, to: 200, fade: 40 }, strength: { by: "flat" } },
    { name: "black", extract: { by: "lightness", from: 0, to: 20, fade: 40 }, strength: { by: "flat" } },
  ],
  adjustments: [
    {
      plate: "leaf",
      curve: [
        [0, 0],
        [0.5, 0.2],
        [1, 1],
      ],
      region: undefined,
    },
    {
      plate: "gold",
      curve: [
        [0, 0],
        [1, 0.6],
      ],
      region: { shape: "rectangle", from: [0, 0], to: [6, 4], feather: 2 },
    },
  ],
  merges: [{ fold: "leaf", into: "gold" }],
  knockouts: [{ from: "white", where: "black", above: 0.3, choke: 0 }],
  traps: [],
  smallestDot: 0.06,
};

/** What the stages make of the whole picture, read at the sampled pixels. */
function asSeparated(of: SeparationPlan, x: Uint32Array, y: Uint32Array): Map<string, number[]> {
  const plates = new Map<string, number[]>();
  for (const step of separate(picture, PER_MM, of))
    if (typeof step !== "number")
      plates.set(
        step.name,
        [...x].map((at, i) => step.tones[y[i]! * WIDTH + at]!),
      );
  return plates;
}

it("has at its pixels what the stages make of the whole picture", () => {
  const sample = samplePixels(picture, 100);
  expect(sample.count).toBe(100);
  const plates = new SampledPlates(jobOf(plan), sample, picture, PER_MM, []);
  const names = plan.plates.map(({ name }) => name);
  const screens = names.filter((name) => name !== "leaf");
  const said = () => new Map(screens.map((name) => [name, [...plates.final[names.indexOf(name)]!]]));
  expect(said()).toEqual(asSeparated(plan, sample.x, sample.y));

  const darker = { by: "lightness", from: 0, to: 50, fade: 10 } as const;
  plates.keep(plates.changed(3, { extract: darker, strength: { by: "flat" }, curves: [] }));
  const greener = { by: "hue", from: 60, to: 200, fade: 10 } as const;
  plates.keep(
    plates.changed(2, { extract: greener, strength: { by: "flat" }, curves: [plan.adjustments[0]!] }),
  );
  const moved = {
    ...plan,
    plates: plan.plates.map((plate) =>
      plate.name === "black"
        ? { ...plate, extract: darker }
        : plate.name === "leaf"
          ? { ...plate, extract: greener }
          : plate,
    ),
  };
  expect(said()).toEqual(asSeparated(moved, sample.x, sample.y));
});

it("says which plate each prints with", () => {
  const sample = samplePixels(picture, 10);
  const screens = (merges: SeparationPlan["merges"]) =>
    new SampledPlates(jobOf({ ...plan, merges, knockouts: [] }), sample, picture, PER_MM, []).screenOf;
  expect(screens([])).toEqual([0, 1, 2, 3]);
  expect(screens([{ fold: "leaf", into: "white" }])).toEqual([0, 1, 0, 3]);
  expect(screens(plan.merges)).toEqual([0, 1, 1, 3]);
});

it("takes solved tones as they are solved, to the nearest byte, and all others by hand", () => {
  const sample = samplePixels(picture, 50);
  const solved: SolvedTones = {
    bytes: 0,
    solves: (p) => p === 1,
    write(r, g, b, alpha, out) {
      out[0] = 1;
      out[1] = ((r + 2 * g + 3 * b) / 1530) * (alpha / 255);
    },
  };
  const bare: SeparationPlan = { ...plan, adjustments: [], merges: [], knockouts: [], smallestDot: 0 };
  const { final } = new SampledPlates(jobOf(bare), sample, picture, PER_MM, [], solved);
  const byHand = new SampledPlates(jobOf(bare), sample, picture, PER_MM, []).final;
  const wanted = Array.from(sample.x, (x, i) => {
    const [r, g, b, alpha] = picture.data.slice(4 * (sample.y[i] * WIDTH + x));
    return Math.round(255 * ((r + 2 * g + 3 * b) / 1530) * (alpha / 255));
  });
  expect([...final[1]]).toEqual(wanted);
  for (const p of [0, 2, 3]) expect(final[p]).toEqual(byHand[p]);
});
