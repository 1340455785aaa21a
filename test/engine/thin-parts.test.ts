import { expect, it } from "vitest";
import { type LostRuns, runsOf, runsWithin } from "../../server/engine/lost-parts.ts";
import { isSource, reachOf, type StageNode } from "../../server/engine/stages/stage.ts";
import { withoutThinParts } from "../../server/engine/thin-parts.ts";
import { choke, spread } from "../../server/engine/trap/choke.ts";
import { random } from "../property.ts";
import { madeOf } from "./stages/run.ts";

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

/** The same on the whole picture at once, pixel by pixel. */
function slowly(tones: Uint8Array, width: number, height: number, linePixels: number, gapPixels: number) {
  const out = tones.slice();
  const changed = (across: number, isLine: boolean) => {
    if (across < 1 || !out.some((tone) => tone >= 230)) return [];
    const [first, second] = isLine ? [choke, spread] : [spread, choke];
    const core = new Uint8Array(out.length);
    const made = new Uint8Array(out.length);
    first(out, width, height, across / 2, core);
    second(core, width, height, 0.75 * across, made);
    const before = out.slice();
    const around = (at: number) =>
      [-2, -1, 0, 1, 2].flatMap((dy) =>
        [-2, -1, 0, 1, 2].flatMap((dx) => {
          const [x, y] = [(at % width) + dx, Math.floor(at / width) + dy];
          return x < 0 || y < 0 || x >= width || y >= height ? [] : [before[y * width + x]!];
        }),
      );
    return [...out.keys()].filter((at) => {
      const [from, to] = [before[at]!, made[at]!];
      const goes = isLine
        ? from - to > 2 && core[at]! <= 25 && around(at).some((tone) => tone >= 230)
        : to - from > 2 && core[at]! >= 230 && around(at).some((tone) => tone <= 25);
      if (goes) out[at] = to <= 10 ? 0 : to >= 245 ? 255 : to;
      return goes && Math.abs(to - from) >= 128;
    });
  };
  const lines = changed(linePixels, true);
  const gaps = changed(gapPixels, false);
  return {
    tones: out,
    lines: runsOf(
      lines.filter((at) => !gaps.includes(at)),
      width,
    ),
    gaps: runsOf(
      gaps.filter((at) => !lines.includes(at)),
      width,
    ),
  };
}

it("is what a slow twin makes of the whole picture, and hears what it lost, wherever solids lie among tints", () => {
  const next = random(23);
  const [width, height] = [57, 90];
  for (let n = 0; n < 12; n++) {
    // Solids in some rows alone, with slanted soft edges; tints and single dots everywhere.
    const top = Math.floor(60 * next());
    const shapes = Array.from({ length: 14 }, () => {
      const [x, y, turn] = [width * next(), top + 30 * next(), Math.PI * next()];
      return {
        x,
        y,
        c: Math.cos(turn),
        s: Math.sin(turn),
        half: 0.5 + 4 * next() ** 2,
        long: 3 + 12 * next(),
        clear: next() < 0.4,
      };
    });
    const noise = Array.from({ length: width * height }, () => (next() < 0.85 ? 0 : 229 * next()));
    const tones = Uint8Array.from(noise, (tint, at) => {
      const [u, v] = [at % width, Math.floor(at / width)];
      let tone = v < top || v > top + 30 ? tint : 0;
      for (const { x, y, c, s, half, long, clear } of shapes) {
        const off = Math.max(
          Math.abs((u - x) * s - (v - y) * c) - half,
          Math.abs((u - x) * c + (v - y) * s) - long,
        );
        const cover = Math.max(0, Math.min(1, 0.5 - off));
        tone = clear ? tone * (1 - cover) : tone + (255 - tone) * cover;
      }
      return Math.round(tone);
    });
    const [line, gap] = [0.2 + 0.5 * next(), 0.2 + 0.5 * next()];
    const node = withoutThinParts(source, { plate: "ember", line, gap });
    const heard: unknown[] = [];
    const onLost = (plate: string, lost: LostRuns) => heard.push([plate, lost]);
    const out = madeOf(node, [tones], { width, height, pixelsPerMm: 8, onLost });
    const { tones: wanted, ...lost } = slowly(tones, width, height, 8 * line, 8 * gap);
    expect(Buffer.compare(out, wanted), `picture ${n}`).toBe(0);
    expect(heard[0]).toEqual(["ember", lost]);
  }
});

it("looks as far as lines and gaps are drawn in and grow back, and as their edges and brushes are wide", () => {
  // 2.5 times half of 0.4 and of 0.6 mm are 12.5 pixels.
  expect(reachOf(withoutThinParts(source, { plate: "ember", line: 0.4, gap: 0.6 }), 10)).toBe(
    13 + 1 + 4 + 2 * 2,
  );
});

it("loses nothing where a pixel is larger than line and gap", () => {
  const heard: LostRuns[] = [];
  const grid = {
    width: 2,
    height: 1,
    pixelsPerMm: 1,
    onLost: (_: string, lost: LostRuns) => heard.push(lost),
  };
  const node = withoutThinParts(source, { plate: "ember", line: 0.5, gap: 0.9 });
  expect([...madeOf(node, [Uint8Array.of(255, 0)], grid)]).toEqual([255, 0]);
  expect(heard[0]).toEqual({ lines: [], gaps: [] });
});

it("is where lines or gaps alone are asked for, and nothing where neither is", () => {
  for (const [line, gap] of [
    [0.1, 0],
    [0, 0.1],
  ] as const)
    expect(withoutThinParts(source, { plate: "ember", line, gap })).toMatchObject({
      stage: "hold",
      part: [line, gap],
    });
});

it("has lost no line that was left out between two solids and closed with the gaps beside it", () => {
  // Solids with a gap, a line and a gap of two pixels each between them.
  const [width, height] = [40, 30];
  const bars = [2, 16, 20, 22];
  const tones = Uint8Array.from({ length: width * height }, (_, at) => {
    const x = at % width;
    return (x >= bars[0]! && x < bars[1]!) || (x >= 18 && x < bars[2]!) || (x >= bars[3]! && x < 38)
      ? 255
      : 0;
  });
  const heard: LostRuns[] = [];
  const grid = { width, height, pixelsPerMm: 10, onLost: (_: string, lost: LostRuns) => heard.push(lost) };
  const out = madeOf(withoutThinParts(source, { plate: "ember", line: 0.3, gap: 0.8 }), [tones], grid);
  const middle = 15 * width;
  expect(out.subarray(middle + 2, middle + 38).every((tone) => tone === 255)).toBe(true);
  // At the picture's borders, where it is clear outside, gaps stay open.
  expect(runsWithin(heard[0]!.lines, 6, 24, 6)).toEqual([]);
  expect(runsWithin(heard[0]!.gaps, 15, 16, 15)).toEqual([15, 16, 18, 15, 20, 22]);
});
