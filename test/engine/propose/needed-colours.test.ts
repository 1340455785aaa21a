import { describe, expect, it } from "vitest";
import { labelAreas } from "../../../server/engine/areas/label.ts";
import { planesOf, type Rgb, rgbOf, yuvOf } from "../../../server/engine/areas/planes.ts";
import { near, neededColours } from "../../../server/engine/propose/needed-colours.ts";
import { pictureOf } from "../pictures.ts";

const RED: Rgb = [216, 67, 31];
const WHITE: Rgb = [250, 250, 250];
const BLUE: Rgb = [32, 96, 192];
const HALF = RED.map((v, c) => Math.round((v + WHITE[c]!) / 2)) as unknown as Rgb;
const SIZE = 30;
const ALL = SIZE * SIZE;

interface Given {
  readonly page?: Rgb;
  readonly compressed?: boolean;
  /** Where all around a pixel counts. */
  readonly whole?: (x: number, y: number) => boolean;
  readonly clear?: (x: number, y: number) => boolean;
}

function needed(
  at: (x: number, y: number) => Rgb,
  colours: readonly Rgb[],
  { page, compressed = false, whole = () => true, clear = () => false }: Given = {},
) {
  const places = Array.from({ length: ALL }, (_, i) => [i % SIZE, Math.floor(i / SIZE)] as const);
  const picture = pictureOf(
    SIZE,
    places.map(([x, y]) => [...at(x, y), clear(x, y) ? 0 : 255] as const),
  );
  const kept = Uint8Array.from(places, ([x, y]) => (whole(x, y) ? 1 : 0));
  const found = neededColours(picture, planesOf(picture), kept, colours, { least: 14, page, compressed });
  return { ...found, rgbs: found.colours.map(({ rgb }) => rgb), picture };
}

const bothWays = (at: (x: number, y: number) => Rgb) => [at, (x: number, y: number) => at(y, x)];
const halves = (x: number) => (x < 12 ? RED : WHITE);

describe("colours that a picture needs", () => {
  it("are counted, with what lies calm and what is the page's", () => {
    for (const at of bothWays(halves)) {
      const { colours, strange, all, calm, pageShare, picture } = needed(at, [RED, WHITE]);
      expect(colours).toEqual([
        { rgb: RED, pixels: 12 * SIZE },
        { rgb: WHITE, pixels: 18 * SIZE },
      ]);
      expect([strange, all, pageShare]).toEqual([[], ALL, 0]);
      const { inside, first } = labelAreas(picture, [RED, WHITE]);
      expect(calm).toBe(inside.reduce((sum, v) => sum + v, 0));
      const onPage = needed(at, [RED, WHITE], { page: WHITE });
      expect(onPage.pageShare).toBe(18 * SIZE);
      expect(onPage.calm).toBe(inside.reduce((sum, v, i) => sum + (first[i] === 0 ? v : 0), 0));
    }
  });

  it("are none of what is clear", () => {
    const { colours, all } = needed(halves, [RED, WHITE], { clear: (_, y) => y < 10 });
    expect(all).toBe(20 * SIZE);
    expect(colours.map(({ pixels }) => pixels)).toEqual([12 * 20, 18 * 20]);
  });

  it("are not those of edges between two others, however they run", () => {
    for (const at of [
      ...bothWays((x) => (x < 12 ? RED : x === 12 ? HALF : WHITE)),
      // Soft ones, which have an inside of their own.
      ...bothWays((x) => (x < 12 ? RED : x < 15 ? HALF : WHITE)),
      ...bothWays((x) => (x < 12 ? WHITE : x < 15 ? HALF : RED)),
      (x: number, y: number): Rgb => (x + y < 28 ? RED : x + y === 28 ? HALF : WHITE),
      (x: number, y: number): Rgb => (x - y < 0 ? RED : x === y ? HALF : WHITE),
    ])
      for (const order of [
        [RED, HALF, WHITE],
        [HALF, WHITE, RED],
      ])
        expect(needed(at, order).rgbs).toEqual(order.filter((rgb) => rgb !== HALF));
  });

  it("are those of bands wider than an edge is soft, which is more in compressed art", () => {
    const kept = (wide: number, compressed: boolean) =>
      bothWays((x) => (x < 5 ? RED : x < 5 + wide ? HALF : WHITE)).map(
        (at) => needed(at, [RED, HALF, WHITE], { compressed }).rgbs.length,
      );
    const [both, all] = [
      [2, 2],
      [3, 3],
    ];
    expect([kept(3, false), kept(4, false)]).toEqual([both, all]);
    expect([kept(8, true), kept(10, true)]).toEqual([both, all]);
  });

  it("are those that lie off the way between two others: by eight steps of a byte in clean art", () => {
    const [r, w] = [yuvOf(RED), yuvOf(WHITE)];
    const way = w.map((v, k) => v - r[k]!) as [number, number, number];
    // Square to the way.
    const across = [0, way[2], -way[1]].map((v) => v / Math.hypot(way[1], way[2])) as [
      number,
      number,
      number,
    ];
    const off = (by: number): Rgb =>
      rgbOf(r.map((v, k) => v + way[k]! / 2 + by * across[k]!) as [number, number, number]);
    const kept = (by: number, compressed: boolean) =>
      needed((x) => (x < 12 ? RED : x < 15 ? off(by) : WHITE), [RED, off(by), WHITE], { compressed }).rgbs
        .length;
    expect([kept(7, false), kept(9.2, false)]).toEqual([2, 3]);
    // In compressed art differences of colour count less, and those of 20 in all.
    expect([kept(20, true), kept(45, true)]).toEqual([2, 3]);
  });

  it("are those of fills that are a mixture of others, and of lines that are none", () => {
    for (const at of bothWays((x) => (x < 10 ? RED : x < 20 ? WHITE : HALF)))
      expect(needed(at, [RED, HALF, WHITE]).rgbs).toEqual([RED, HALF, WHITE]);
    for (const at of bothWays((x) => (x < 10 ? RED : x === 20 ? BLUE : WHITE)))
      expect(needed(at, [RED, BLUE, WHITE]).rgbs).toEqual([RED, BLUE, WHITE]);
  });

  it("are not those that the picture hardly has", () => {
    expect(needed(halves, [RED, BLUE, WHITE]).rgbs).toEqual([RED, WHITE]);
    // Of every third pixel, three times as many are taken to be missed: at least fourteen.
    const dots = (count: number) => (x: number, y: number) =>
      x < 12 ? RED : x === 20 && y < count ? BLUE : WHITE;
    expect(needed(dots(6), [RED, BLUE, WHITE]).rgbs).toEqual([RED, WHITE]);
    expect(needed(dots(20), [RED, BLUE, WHITE]).rgbs).toEqual([RED, BLUE, WHITE]);
  });

  it("are the page's in any case, and the last one", () => {
    expect(needed(() => RED, [RED, WHITE], { page: WHITE }).rgbs).toEqual([RED, WHITE]);
    expect(needed(() => RED, [RED, WHITE]).rgbs).toEqual([RED]);
    expect(needed(() => BLUE, [RED]).rgbs).toEqual([RED]);
  });

  it("leave strange what is none of them and no mixture of two", () => {
    const spots = [
      [20, 5],
      [22, 15],
      [5, 25],
    ] as const;
    const at = (x: number, y: number) => (spots.some(([a, b]) => a === x && b === y) ? BLUE : halves(x));
    const { strange, rgbs } = needed(at, [RED, WHITE]);
    expect(rgbs).toEqual([RED, WHITE]);
    expect(strange.sort((p, q) => p - q)).toEqual(spots.map(([x, y]) => y * SIZE + x).sort((p, q) => p - q));
  });

  it("are not told apart by less than the noise of compression", () => {
    const off = (v: number): Rgb => rgbOf([120 + v, 40, -30]);
    const at = (x: number) => (x < 12 ? off(0) : off(7));
    expect(needed(at, [off(0), off(7)]).rgbs).toHaveLength(2);
    expect(needed(at, [off(0), off(7)], { compressed: true }).rgbs).toHaveLength(1);
    const far = (x: number) => (x < 12 ? off(0) : off(30));
    expect(needed(far, [off(0), off(30)], { compressed: true }).rgbs).toHaveLength(2);
  });

  it("are told apart by luma sooner than by colour in compressed art", () => {
    const ground: Rgb = rgbOf([120, 0, 0]);
    const of = (other: Rgb, side: number) =>
      needed((x, y) => (x >= 5 && x < 5 + side && y >= 5 && y < 5 + side ? other : ground), [ground, other], {
        compressed: true,
      }).rgbs;
    for (const colour of [rgbOf([120, 14, 0]), rgbOf([120, 0, 14])]) {
      // A few pixels may be the ground's, softened; in the middle of many nothing else is near.
      expect(of(colour, 4)).toEqual([ground]);
      expect(of(colour, 20)).toEqual([ground, colour]);
    }
    expect(of(rgbOf([146, 0, 0]), 4)).toHaveLength(2);
  });

  it("are not those that resampling makes beside what is clear", () => {
    const rim: Rgb = RED.map((v) => v + 14) as unknown as Rgb;
    const at = (x: number) => (x < 20 ? RED : rim);
    const clear = (x: number) => x >= 23;
    expect(needed(at, [RED, rim], { clear }).rgbs).toEqual([RED, rim]);
    expect(needed(at, [RED, rim], { clear, whole: (x) => x < 20 }).rgbs).toEqual([RED]);
    const farther: Rgb = RED.map((v) => Math.min(255, v + 40)) as unknown as Rgb;
    expect(
      needed((x) => (x < 20 ? RED : farther), [RED, farther], { clear, whole: (x) => x < 20 }).rgbs,
    ).toHaveLength(2);
  });
});

it("two colours are one up to a ΔE00 of 4", () => {
  const grey = (v: number): Rgb => [v, v, v];
  // L* of 128 is 53.59; ΔE00 between greys nearby is close to the difference of their L*, about 0.39 a step.
  expect(near(grey(128), grey(138))).toBe(true);
  expect(near(grey(128), grey(139))).toBe(false);
});
