import { expect, it } from "vitest";
import { coveredEdges, mixTones } from "../../../server/engine/extract/covered-edges.ts";

type Rgba = readonly [number, number, number, number];
const BLACK: Rgba = [10, 10, 12, 255];
const GOLD: Rgba = [240, 190, 40, 255];
const CLEAR: Rgba = [0, 0, 0, 0];

/** A colour of which `share` covers another; alpha not premultiplied. */
function mixed(a: Rgba, b: Rgba, share: number): Rgba {
  const alpha = a[3] * share + b[3] * (1 - share);
  const channel = (c: 0 | 1 | 2) =>
    alpha === 0 ? 0 : Math.round((a[c] * a[3] * share + b[c] * b[3] * (1 - share)) / alpha);
  return [channel(0), channel(1), channel(2), Math.round(alpha)];
}

function picture(width: number, height: number, at: (x: number, y: number) => Rgba) {
  const data = new Uint8Array(width * height * 4);
  for (let y = 0; y < height; y++) for (let x = 0; x < width; x++) data.set(at(x, y), 4 * (y * width + x));
  return { data, width, height, drawn: true };
}

/** What a plate gets that takes one colour wholly and of its mixtures nothing. */
function tonesOf(art: ReturnType<typeof picture>, own: Rgba): Uint8Array {
  const tones = new Uint8Array(art.width * art.height);
  for (let i = 0; i < tones.length; i++)
    if (own.every((v, c) => Math.abs(art.data[4 * i + c]! - v) <= 6)) tones[i] = 255;
  mixTones(coveredEdges(art), tones);
  return tones;
}

it.each([
  ["black on gold", BLACK, GOLD],
  ["gold on black", GOLD, BLACK],
  ["black on nothing", BLACK, CLEAR],
] as const)("gives pixels along an edge their share of it, at any slant: %s", (_, own, other) => {
  for (const degrees of [0, 12, 30, 45, 78, 90]) {
    const [nx, ny] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
    const covered = (x: number, y: number) => {
      let hits = 0;
      for (let j = 0; j < 16; j++)
        for (let i = 0; i < 16; i++)
          if ((x + (i + 0.5) / 16 - 12.3) * nx + (y + (j + 0.5) / 16 - 12.1) * ny < 0) hits++;
      return hits / 256;
    };
    const art = picture(25, 25, (x, y) => mixed(own, other, covered(x, y)));
    const tones = tonesOf(art, own);
    for (let y = 2; y < 23; y++)
      for (let x = 2; x < 23; x++)
        expect(Math.abs(tones[y * 25 + x]! / 255 - covered(x, y)), `${degrees}° ${x}, ${y}`).toBeLessThan(
          0.04,
        );
  }
});

it.each([
  ["the one that is looked at first", true],
  ["it last", false],
])(
  "gives abutting shapes their shares though the garment shows through between them: drawn %s",
  (_, first) => {
    for (const degrees of [0, 20, 45, 70]) {
      const [nx, ny] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
      const covered = (x: number, y: number) => {
        let hits = 0;
        for (let j = 0; j < 16; j++)
          for (let i = 0; i < 16; i++)
            if ((x + (i + 0.5) / 16 - 12.3) * nx + (y + (j + 0.5) / 16 - 12.1) * ny < 0) hits++;
        return hits / 256;
      };
      // One shape laid over the other, each by its coverage (Porter & Duff's "over").
      const art = picture(25, 25, (x, y) => {
        const [a, b] = [covered(x, y), 1 - covered(x, y)];
        const [ofA, ofB] = first ? [a * (1 - b), b] : [a, b * (1 - a)];
        const alpha = ofA + ofB;
        const channel = (c: 0 | 1 | 2) => Math.round((GOLD[c] * ofA + BLACK[c] * ofB) / alpha);
        return [channel(0), channel(1), channel(2), Math.round(255 * alpha)];
      });
      const tones = tonesOf(art, GOLD);
      let off = 0;
      let edge = 0;
      for (let y = 2; y < 23; y++)
        for (let x = 2; x < 23; x++) {
          const covers = covered(x, y);
          const error = Math.abs(tones[y * 25 + x]! / 255 - covers);
          // Shares of 0.38 and 0.62 look alike.
          expect(error, `${degrees}° ${x}, ${y}`).toBeLessThan(0.13);
          if (covers === 0 || covers === 1) continue;
          edge++;
          off += error;
        }
      expect(off / edge).toBeLessThan(0.03);
    }
  },
);

it("leaves a clear line between two colours as it is", () => {
  // Clearer than shapes that abut leave it, or of another colour.
  for (const between of [
    [125, 100, 26, 120],
    [40, 160, 220, 200],
  ] as const)
    expect(coveredEdges(picture(9, 9, (x) => (x < 4 ? BLACK : x === 4 ? between : GOLD))).at.length).toBe(0);
});

/** Edge pixels of a column between two colours, each once a row but for the first and last; and the share of the left one. */
function found(left: Rgba, between: Rgba, right: Rgba): { readonly rows: number; readonly share: number } {
  const { at, share } = coveredEdges(picture(5, 5, (x) => (x < 2 ? left : x === 2 ? between : right)));
  return { rows: at.length, share: share[0]! };
}
const grey = (v: number): Rgba => [v, v, v, 255];

it("takes colours of more than 40 of 255 apart for an edge", () => {
  expect(found([100, 90, 90, 255], [120, 90, 90, 255], [140, 90, 90, 255]).rows).toBe(0);
  // 21 of 41.
  expect(found([100, 90, 90, 255], [120, 90, 90, 255], [141, 90, 90, 255])).toEqual({ rows: 3, share: 131 });
});

it("takes what lies nearly on the line between them: within 4 of 255, and 3 % of a great contrast", () => {
  const beside = (off: number) =>
    found([100, 90, 90, 255], [120, 90 + off, 90, 255], [141, 90, 90, 255]).rows;
  expect([4, 5].map(beside)).toEqual([3, 0]);
  const far = (off: number) => found([0, 90, 90, 255], [120, 90 + off, 90, 255], [255, 90, 90, 255]).rows;
  expect([8, 9].map(far)).toEqual([3, 0]);
});

it("takes no share under 1.5 % of either", () => {
  expect([3, 4, 251, 252].map((v) => found(grey(0), grey(v), grey(255)).rows)).toEqual([0, 3, 3, 0]);
});

it("finds the pixels on both sides across an edge, along rows, columns and both diagonals", () => {
  for (const [step, slope] of [
    [[1, 0], (x: number, _: number) => 2 * x],
    [[0, 1], (_: number, y: number) => 2 * y],
    [[1, 1], (x: number, y: number) => x + y],
    [[-1, 1], (x: number, y: number) => y - x],
  ] as const) {
    // Steepest along the step: 0, 80 and 200, of which 80 is 120 of 200 of the first.
    const level = (x: number, y: number) => [0, 30, 80, 150, 200][slope(x - 2, y - 2) + 2] ?? 100;
    const { at, one, other, share } = coveredEdges(picture(5, 5, (x, y) => grey(level(x, y))));
    const middle = [...at].indexOf(12);
    const [dx, dy] = step;
    expect([one[middle], other[middle]]).toEqual([12 - dx - 5 * dy, 12 + dx + 5 * dy]);
    expect(share[middle]).toBe(153);
  }
});

it("takes translucent colours by what they cover", () => {
  const red: Rgba = [200, 20, 20, 128];
  expect(found(red, mixed(red, CLEAR, 0.5), CLEAR)).toEqual({ rows: 3, share: 128 });
  const blue: Rgba = [20, 20, 200, 220];
  expect(Math.abs(found(red, mixed(red, blue, 0.25), blue).share - 64)).toBeLessThanOrEqual(1);
});

it("leaves a pixel that two abutting shapes share as good as not", () => {
  // Gold covers 0.995 of it, and black, laid first, the rest.
  const between: Rgba = [239, 190, 40, 254];
  expect(found(GOLD, between, BLACK).rows).toBe(0);
});

it("leaves two dots that touch at a pixel's corners apart, as no edge runs so", () => {
  const dots = picture(5, 5, (x, y) => {
    if (x === y && (x === 1 || x === 3)) return grey(x === 1 ? 0 : 255);
    return grey(x === 2 && y === 2 ? 100 : 101);
  });
  expect(coveredEdges(dots).at.length).toBe(0);
});

it("leaves a strip that is two pixels wide between two colours, since it has a colour of its own", () => {
  const strip = picture(9, 9, (x, y) => grey(x + y < 8 ? 0 : x + y > 9 ? 255 : 100));
  expect(coveredEdges(strip).at.length).toBe(0);
});

it("looks for no edge in a picture's last column, behind which the next row begins", () => {
  expect(coveredEdges(picture(5, 5, (x) => grey([255, 0, 0, 0, 100][x]!))).at.length).toBe(0);
});

it.each([0, 1, 2, 3])("finds an edge that shows in channel %d alone", (channel) => {
  const of = (v: number): Rgba => {
    const colour: [number, number, number, number] = [90, 90, 90, channel === 3 ? 0 : 255];
    colour[channel] = v;
    return colour;
  };
  expect(found(of(20), of(55), of(90))).toEqual({ rows: 3, share: 128 });
  // 10 of 75, and 82 of 165.
  expect(found(of(20), of(85), of(95))).toEqual({ rows: 3, share: 34 });
  expect(found(of(255), of(172), of(90))).toEqual({ rows: 3, share: 127 });
});

it("leaves a translucent pixel that is darker or lighter than both colours beside it", () => {
  // Off either by 3 % of what is between them: no share of any.
  expect(found(GOLD, [3, 5, 11, 222], BLACK).rows).toBe(0);
  expect(found(GOLD, [247, 195, 41, 222], BLACK).rows).toBe(0);
});

it("gives abutting shapes of any colour their shares, half and half, on either side", () => {
  // Yellow covers half, and black half of what is left: a quarter yellow, half black.
  const [yellow, between]: Rgba[] = [
    [255, 255, 40, 255],
    [Math.round((255 + 2 * 10) / 3), Math.round((255 + 2 * 10) / 3), Math.round((40 + 2 * 12) / 3), 191],
  ];
  for (const { rows, share } of [found(yellow, between, BLACK), found(BLACK, between, yellow)]) {
    expect(rows).toBe(3);
    expect(Math.abs(share / 255 - 0.5)).toBeLessThan(0.03);
  }
});

it("leaves gradients and colours between that lie off the line as they are", () => {
  const gradient = picture(40, 9, (x) => [100 + 2 * x, 90, 80, 255]);
  expect(coveredEdges(gradient).at.length).toBe(0);
  const line = picture(9, 9, (x) => (x < 4 ? BLACK : x === 4 ? [40, 160, 220, 255] : GOLD));
  expect(coveredEdges(line).at.length).toBe(0);
});

it("finds the same in a Node buffer that begins at an odd place in memory", () => {
  const art = picture(9, 9, (x) => mixed(BLACK, GOLD, x < 4 ? 1 : x === 4 ? 0.3 : 0));
  // A Buffer is a Uint8Array whose `slice` does not copy.
  const data = Buffer.alloc(art.data.length + 3).subarray(3);
  data.set(art.data);
  expect(coveredEdges(art).at.length).toBe(7);
  expect(coveredEdges({ ...art, data })).toEqual(coveredEdges(art));
});

it("mixes tones as they were, not as it has mixed them", () => {
  const edges = {
    at: Uint32Array.of(1, 2),
    one: Uint32Array.of(0, 1),
    other: Uint32Array.of(2, 3),
    share: Uint8Array.of(51, 204),
  };
  const tones = Uint8Array.of(0, 10, 101, 200);
  mixTones(edges, tones);
  // 0.2 · 0 + 0.8 · 101; 0.8 · 10 + 0.2 · 200.
  expect([...tones]).toEqual([0, 81, 48, 200]);
});
