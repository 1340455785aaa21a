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

/**
 * The same as pixels, as a drawing whose edges are shares of colours, and as flat art in areas; each with tones for plates
 * that come from files.
 */
export function pictures(seed: number, side = SIDE): Picture[] {
  const plain = picture(seed, side);
  const next = random(seed + 1);
  const bytes = (least: number, most: number) =>
    Uint8Array.from({ length: side * side }, () => least + Math.floor(next() * (most - least + 1)));
  const colours = Uint8Array.from({ length: 5 * 4 }, (_, i) =>
    i % 4 === 3 ? (i < 16 ? 255 : 0) : Math.floor(next() * 256),
  );
  const given = new Map(names.map((name) => [name, bytes(0, 255)]));
  const areas = { colours, first: bytes(0, 4), second: bytes(0, 4), share: bytes(128, 255) };
  return [
    { ...plain, given },
    { ...drawing(seed, side), drawn: true, given },
    { ...plain, areas, given },
  ];
}

/** Stripes across at a slant, each two colours with the pixels between them mixed of both. */
function drawing(seed: number, side: number): Picture {
  const next = random(seed + 2);
  const colours = Array.from({ length: 6 }, () => Array.from({ length: 3 }, () => Math.floor(next() * 256)));
  const data = new Uint8Array(side * side * 4);
  for (let y = 0; y < side; y++)
    for (let x = 0; x < side; x++) {
      const along = (x + 0.6 * y) / 5;
      const from = Math.floor(along);
      // The first fifth of a stripe is the edge before it.
      const share = Math.min(1, (along - from) * 5);
      const [a, b] = [colours[(from + 5) % 6]!, colours[from % 6]!];
      const mixed = a.map((v, band) => Math.round(v + share * (b[band]! - v)));
      data.set([...mixed, 255], (y * side + x) * 4);
    }
  return { width: side, height: side, data };
}

export const names = ["a", "b", "c", "d"] as const;
const extract: fc.Arbitrary<Extraction> = fc.oneof(
  fc.constant<Extraction>({ by: "artwork" }),
  fc.constantFrom<Extraction>(
    { by: "given", tones: undefined, film: false },
    { by: "given", tones: Array.from({ length: 256 }, (_, tone) => 255 - tone), film: true },
  ),
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
    [
      { plate: "a", way: "choke" as const, distance: 0.6 },
      { plate: "b", way: "spread" as const, distance: 1.2, under: ["a", "c"] },
    ],
    [{ plate: "a", way: "spread" as const, distance: 1.2, under: ["b"], solid: true }],
  ),
  thinnest: fc.constantFrom(
    [],
    [{ plate: "a", line: 1.5, gap: 1.2 }],
    [{ plate: "a", line: 1.5, gap: 3 }],
    [{ plate: "b", line: 0, gap: 2 }],
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
