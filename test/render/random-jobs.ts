import fc from "fast-check";
import type { Extraction, SeparationPlan } from "../../server/engine/plan.ts";
import type { Picture } from "../../server/engine/raster.ts";
import { separate } from "../../server/engine/separate.ts";
import { random } from "../property.ts";

const SIDE = 24;

/** A square of blocks of a few colours, some of them half clear, with single odd pixels. */
export function picture(seed: number, side = SIDE): Picture {
  const next = random(seed);
  const data = new Uint8Array(side * side * 4);
  const word = new Uint32Array(data.buffer);
  const colours = Array.from({ length: 9 }, () => Math.floor(next() * 2 ** 32));
  for (let i = 0; i < word.length; i++) {
    const block = (Math.floor(i / side / 6) * 4 + Math.floor((i % side) / 6)) % colours.length;
    word[i] = next() < 0.1 ? Math.floor(next() * 2 ** 32) : colours[block]!;
  }
  return { width: side, height: side, data };
}

export const names = ["a", "b", "c", "d"] as const;
const extract: fc.Arbitrary<Extraction> = fc.oneof(
  fc.constant<Extraction>({ by: "artwork" }),
  fc.record({
    by: fc.constant("lightness" as const),
    from: fc.integer({ min: 0, max: 50 }),
    to: fc.integer({ min: 50, max: 100 }),
    fade: fc.integer({ min: 0, max: 40 }),
  }),
  fc.record({
    by: fc.constant("near" as const),
    colour: fc.constant({ L: 55, a: 20, b: 30 }),
    within: fc.integer({ min: 1, max: 30 }),
    fade: fc.integer({ min: 0, max: 40 }),
  }),
);
const distance = fc.constantFrom(0, 0.5, 1.5);
/** Separations of four plates at one pixel a millimetre, with everything that a recipe may ask for. */
export const plans: fc.Arbitrary<SeparationPlan> = fc.record({
  plates: fc
    .tuple(extract, extract, extract, extract)
    .map((all) =>
      all.map((one, i) => ({ name: names[i]!, extract: one, strength: { by: "flat" } as const })),
    ),
  adjustments: fc.array(
    fc.record({
      plate: fc.constantFrom(...names),
      curve: fc.constantFrom(
        [
          [0, 0],
          [0.5, 0.7],
          [1, 1],
        ] as const,
        [
          [0, 0.1],
          [1, 0.8],
        ] as const,
      ),
      region: fc.constantFrom(undefined, {
        shape: "ellipse",
        centre: [9, 9],
        radii: [7, 5],
        feather: 2,
      } as const),
    }),
    { maxLength: 3 },
  ),
  merges: fc.constantFrom(
    [],
    [{ fold: "d", into: "a" }],
    [
      { fold: "d", into: "c" },
      { fold: "c", into: "b" },
    ],
  ),
  knockouts: fc.array(
    fc.record({ from: fc.constantFrom("a", "b"), where: fc.constantFrom("b", "a"), choke: distance }),
    { maxLength: 2 },
  ),
  traps: fc.constantFrom(
    [],
    [{ plate: "a", way: "choke" as const, distance: 1 }],
    [{ plate: "b", way: "spread" as const, distance: 0.7 }],
  ),
  smallestDot: fc.constantFrom(0, 0.04),
});

/** What `separate` makes of it, in hexadecimal. */
export function separated(art: Picture, plan: SeparationPlan): Record<string, string> {
  const plates: Record<string, string> = {};
  for (const step of separate(art, 1, plan))
    if (typeof step !== "number") plates[step.name] = Buffer.from(step.tones).toString("hex");
  return plates;
}
