import { expect, it } from "vitest";
import type { StageNode } from "../../server/engine/stages/stage.ts";
import { isSource } from "../../server/engine/stages/stage.ts";
import { withoutThinParts } from "../../server/engine/thin-parts.ts";

const SIDE = 120;
const source: StageNode = { stage: "extract", takes: [], plate: 0 };

/** How much of each pixel of a picture of 120 × 120 at 10 px/mm a shape covers, as tones up to `solid`. */
function covered(inside: (xMm: number, yMm: number) => boolean, solid = 255): Uint8Array {
  return Uint8Array.from({ length: SIDE * SIDE }, (_, at) => {
    let hits = 0;
    for (let j = 0; j < 8; j++)
      for (let i = 0; i < 8; i++)
        if (inside(((at % SIDE) + (i + 0.5) / 8) / 10, (Math.floor(at / SIDE) + (j + 0.5) / 8) / 10)) hits++;
    return Math.round((solid * hits) / 64);
  });
}

function held(tones: Uint8Array, thinnest: { line: number; gap: number }, pixelsPerMm = 10): Uint8Array {
  const node = withoutThinParts(source, { plate: "ember", ...thinnest });
  if (isSource(node)) return tones;
  const out = new Uint8Array(tones.length).fill(9);
  node.run([tones], out, { width: SIDE, height: SIDE, pixelsPerMm });
  return out;
}

const ink = (tones: Uint8Array) => tones.reduce((sum, tone) => sum + tone, 0) / 255;
const box = (x: number, y: number, w: number, h: number) => (u: number, v: number) =>
  u >= x && u < x + w && v >= y && v < y + h;
const slant = (across: number) => (x: number, y: number) =>
  Math.abs(0.8 * (x - 6) + 0.6 * (y - 6)) < across / 2;

it("leaves out lines thinner than the thinnest, and keeps thicker ones", () => {
  for (const line of [0.3, 0.47]) {
    expect(ink(held(covered(slant(line * 0.75)), { line, gap: 0 }))).toBeLessThan(
      0.02 * ink(covered(slant(line))),
    );
    const thick = covered(slant(line * 1.5));
    // But for its ends, which are corners.
    expect(Math.abs(ink(held(thick, { line, gap: 0 })) - ink(thick))).toBeLessThan(0.015 * ink(thick));
  }
});

it("closes gaps thinner than the thinnest, and keeps wider ones", () => {
  const gapped = (gap: number) => covered((x, y) => !slant(gap)(x, y));
  const closed = held(gapped(0.2), { line: 0, gap: 0.3 });
  // Half a millimetre in from the border, where film is clear outside.
  for (let y = 6; y < 114; y++) for (let x = 6; x < 114; x++) expect(closed[y * SIDE + x]).toBe(255);
  const wide = gapped(0.45);
  expect(Math.abs(ink(held(wide, { line: 0, gap: 0.3 })) - ink(wide))).toBeLessThan(2);
});

it("keeps the corners of what is thick", () => {
  const square = covered(box(3, 3, 5, 4));
  expect(held(square, { line: 0.4, gap: 0.4 })).toEqual(square);
});

it("takes a thin tail off a body, but for a stump", () => {
  const body = covered(box(2, 2, 4, 8));
  const tailed = covered((x, y) => box(2, 2, 4, 8)(x, y) || box(6, 6, 5, 0.2)(x, y));
  const lost = ink(tailed) - ink(held(tailed, { line: 0.4, gap: 0 }));
  // 5 × 0.2 mm are 100 pixels.
  expect(lost).toBeGreaterThan(90);
  expect(ink(held(tailed, { line: 0.4, gap: 0 }))).toBeGreaterThanOrEqual(ink(body));
});

it("leaves halftones alone, however thin their parts", () => {
  const tint = covered(slant(0.2), 128);
  expect(held(tint, { line: 0.5, gap: 0.5 })).toEqual(tint);
});

it("does nothing where a pixel is larger than the line", () => {
  const line = covered(slant(0.2));
  expect(held(line, { line: 0.5, gap: 0.5 }, 1)).toEqual(line);
});

it("is the plate itself where all lines and gaps are held", () => {
  expect(withoutThinParts(source, { plate: "ember", line: 0, gap: 0 })).toBe(source);
});
