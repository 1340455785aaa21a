import fc from "fast-check";
import type { Extraction } from "../../../server/engine/plan.ts";

const range = (by: "lightness" | "chroma" | "opacity", most: number) =>
  fc
    .tuple(
      fc.integer({ min: 0, max: most }),
      fc.integer({ min: 0, max: most }),
      fc.integer({ min: 0, max: 60 }),
    )
    .map(([a, b, fade]): Extraction => ({ by, from: Math.min(a, b), to: Math.max(a, b), fade }));
const hues = fc
  .tuple(fc.integer({ min: 0, max: 360 }), fc.integer({ min: 0, max: 360 }), fc.integer({ min: 0, max: 180 }))
  .map(([from, to, fade]): Extraction => ({ by: "hue", from, to, fade }));
const channel = fc.double({ min: -110, max: 110, noNaN: true });
export const labs = fc.oneof(
  fc.record({ L: fc.double({ min: 0, max: 100, noNaN: true }), a: channel, b: channel }),
  // Whole numbers meet the ends of ranges exactly, and the axes.
  fc.record({
    L: fc.integer({ min: 0, max: 100 }),
    a: fc.integer({ min: -4, max: 4 }),
    b: fc.integer({ min: -4, max: 4 }),
  }),
);
const nearness = fc
  .tuple(labs, fc.integer({ min: 0, max: 60 }), fc.integer({ min: 0, max: 60 }))
  .map(([lab, within, fade]): Extraction => ({ by: "near", colour: lab, within, fade }));
const leaf = fc.oneof(
  range("lightness", 100),
  range("chroma", 130),
  range("opacity", 100),
  hues,
  nearness,
  fc.constant<Extraction>({ by: "artwork" }),
);
export const { extractions } = fc.letrec<{ extractions: Extraction }>((tie) => {
  const parts = fc.array(tie("extractions"), { maxLength: 4 });
  return {
    extractions: fc.oneof(
      { depthSize: "small", withCrossShrink: true },
      leaf,
      parts.map((of): Extraction => ({ by: "all", of })),
      parts.map((of): Extraction => ({ by: "any", of })),
      tie("extractions").map((of): Extraction => ({ by: "except", of })),
    ),
  };
});
/** Of the artwork, 0–100. */
export const opacities = fc.integer({ min: 0, max: 255 }).map((alpha) => (alpha * 100) / 255);
