import { expect, it } from "vitest";
import { CLEAR, type Drawn, messages, RED } from "../printed.ts";

/** 400 mm square, of which the left part is solid on both plates. */
const drawn = (solid: number): Drawn => ({
  width: 100,
  height: 100,
  at: (x) => (x < solid ? RED : CLEAR),
});

/** Open area (138 / 208)² × 113 µm = 49.74 cm³/m². */
const job = (more = "") => `artwork: { file: a.png, width: 400 mm }
meshes: { base: { count: 122/in, thread: 70 um, opening: 138 um, thickness: 113 um } }
usual-mesh: { colour: base, underbase: base }
plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { artwork: opaque }${more} }
setups:
  dark: { garments: [black], order: [base, flash, ember] }
`;

it("speaks of two solid plates through open mesh on a large area", async () => {
  // A quarter of 400 × 400 mm.
  const [said, ...more] = await messages("heavy-print", job(), drawn(25));
  expect(said).toMatch(/^on 400 cm² this setup lays 90 cm³\/m² of wet ink or more, up to 99; /);
  expect(more).toEqual([]);
});

it("counts strokes", async () => {
  const [said] = await messages("heavy-print", job(", hits: 2"), drawn(25));
  expect(said).toContain("up to 149;");
});

it("is silent of a small area", async () => {
  expect(await messages("heavy-print", job(), drawn(18))).toEqual([]);
});
