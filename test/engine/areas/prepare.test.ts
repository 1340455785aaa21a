import { describe, expect, it } from "vitest";
import { prepare } from "../../../server/engine/areas/prepare.ts";
import { coloursOf, writeAreas } from "../../../server/engine/extract/areas.ts";
import type { PreparationPlan } from "../../../server/engine/plan.ts";
import type { Areas, Picture } from "../../../server/engine/raster.ts";
import { generator } from "../../logos/sent.ts";

type Rgb = readonly [number, number, number];
const WHITE: Rgb = [255, 255, 255];
const RED: Rgb = [200, 16, 46];
const NAVY: Rgb = [16, 48, 122];
const GREY: Rgb = [128, 128, 128];
const BLACK: Rgb = [0, 0, 0];
const [WIDTH, HEIGHT] = [96, 80];
const PER_MM = 2;

/** Drawn at eight times the size and made smaller by means, so that edges are mixtures. */
function drawn(at: (x: number, y: number) => Rgb | undefined, noise = 0): Picture {
  const data = new Uint8Array(WIDTH * HEIGHT * 4);
  const random = generator(1);
  for (let y = 0; y < HEIGHT; y++)
    for (let x = 0; x < WIDTH; x++) {
      const sum = [0, 0, 0, 0];
      for (let v = 0; v < 8; v++)
        for (let u = 0; u < 8; u++) {
          const rgb = at(x + (u + 0.5) / 8, y + (v + 0.5) / 8);
          if (!rgb) continue;
          for (let c = 0; c < 3; c++) sum[c]! += rgb[c]!;
          sum[3]!++;
        }
      const n = Math.max(1, sum[3]!);
      const pixel = [0, 1, 2].map((c) => Math.round(sum[c]! / n + noise * (2 * random() - 1)));
      data.set(
        [...pixel.map((v) => Math.max(0, Math.min(255, v))), Math.round((255 * sum[3]!) / 64)],
        4 * (y * WIDTH + x),
      );
    }
  return { width: WIDTH, height: HEIGHT, data };
}

const disc = (x: number, y: number, cx: number, cy: number, r: number) => Math.hypot(x - cx, y - cy) < r;

function flat(colours: readonly Rgb[], enclosed: "kept" | "cut" | "counters-cut" = "kept"): PreparationPlan {
  return { background: { rgb: WHITE, within: 4, enclosed }, flat: { colours, speckMm: 0.2 } };
}

/** How much of each pixel a colour covers, 0–1. */
function covers(areas: Areas, colour: Rgb): Float64Array {
  const values = new Uint8Array(areas.colours.length / 4);
  for (let k = 0; k < values.length - 1; k++)
    if (colour.every((v, c) => areas.colours[4 * k + c] === v)) values[k] = 255;
  const tones = new Uint8Array(areas.first.length);
  writeAreas(areas, values, tones);
  return Float64Array.from(tones, (tone) => tone / 255);
}

function truth(at: (x: number, y: number) => boolean): Float64Array {
  return Float64Array.from({ length: WIDTH * HEIGHT }, (_, i) => {
    const [x, y] = [i % WIDTH, Math.floor(i / WIDTH)];
    let n = 0;
    for (let v = 0; v < 8; v++)
      for (let u = 0; u < 8; u++) n += at(x + (u + 0.5) / 8, y + (v + 0.5) / 8) ? 1 : 0;
    return n / 64;
  });
}

const most = (values: Float64Array) => values.reduce((sum, v) => Math.max(sum, v), 0);
const total = (values: Float64Array) => values.reduce((sum, v) => sum + v, 0);

/** A badge: a navy ring around white, and a red disc in the white. */
const badge = (x: number, y: number): Rgb =>
  disc(x, y, 48, 40, 12) ? RED : disc(x, y, 48, 40, 22) ? WHITE : disc(x, y, 48, 40, 32) ? NAVY : WHITE;

describe("flat art", () => {
  it("gives edge pixels to the two areas beside them, in the shares that they are drawn with", () => {
    const { picture } = prepare(drawn(badge), PER_MM, flat([WHITE, NAVY, RED]));
    const red = covers(picture.areas!, RED);
    const wanted = truth((x, y) => disc(x, y, 48, 40, 12));
    expect(most(red.map((v, i) => Math.abs(v - wanted[i]!)))).toBeLessThan(0.02);
  });

  it("keeps a grey out of the edge between black and white", () => {
    const at = (x: number, y: number): Rgb => (x < 30 ? GREY : disc(x, y, 62, 40, 20) ? BLACK : WHITE);
    const { picture } = prepare(drawn(at), PER_MM, flat([WHITE, BLACK, GREY]));
    const grey = covers(picture.areas!, GREY);
    expect(most(grey.filter((_, i) => i % WIDTH > 33))).toBe(0);
  });

  it("keeps a grey out of a level edge whose row of pixels has just that grey, and keeps a line of it", () => {
    const at = (x: number, y: number): Rgb => {
      if (x < 30) return GREY;
      if (x < 60) return y < 40.5 ? WHITE : BLACK;
      return Math.floor(y) === 20 ? GREY : WHITE;
    };
    const grey = covers(
      prepare(drawn(at), PER_MM, { flat: { colours: [WHITE, BLACK, GREY], speckMm: 0 } }).picture.areas!,
      GREY,
    );
    expect(most(grey.filter((_, i) => i % WIDTH > 33 && i % WIDTH < 57))).toBe(0);
    expect(grey[20 * WIDTH + 80]).toBe(1);
  });

  it("is the same through noise, but for pixels at edges", () => {
    const clean = prepare(drawn(badge), PER_MM, flat([WHITE, NAVY, RED])).picture.areas!;
    const noisy = prepare(drawn(badge, 14), PER_MM, flat([WHITE, NAVY, RED])).picture.areas!;
    for (const colour of [NAVY, RED]) {
      const [a, b] = [covers(clean, colour), covers(noisy, colour)];
      const off = a.reduce((sum, v, i) => sum + (v > 0.5 !== b[i]! > 0.5 ? 1 : 0), 0);
      expect(off).toBeLessThan(12);
    }
  });

  it("takes what noise alone made to what is around, and keeps a dot that was drawn", () => {
    const at = (x: number, y: number): Rgb => (disc(x, y, 20, 20, 2.5) ? RED : x > 60 ? NAVY : WHITE);
    const picture = drawn(at, 6);
    // Two pixels of dirt, one on white and one on navy.
    for (const [x, y] of [
      [40, 50],
      [80, 30],
    ] as const)
      picture.data.set(RED, 4 * (y * WIDTH + x));
    const red = covers(prepare(picture, PER_MM, flat([WHITE, NAVY, RED])).picture.areas!, RED);
    expect(red[50 * WIDTH + 40]).toBe(0);
    expect(red[30 * WIDTH + 80]).toBe(0);
    expect(red[20 * WIDTH + 20]).toBe(1);
  });

  it("leaves no tail of a soft edge: what a colour has is whole, or beside a pixel of it that is", () => {
    // Blurred over three pixels, as resampling does.
    const soft = (x: number, y: number) => {
      const inked = Math.max(0, Math.min(1, (30.2 - Math.hypot(x - 48, y - 40)) / 3 + 0.5));
      return WHITE.map((v, c) => v + inked * (NAVY[c]! - v)) as unknown as Rgb;
    };
    const picture = drawn(soft, 2);
    const { areas } = prepare(picture, PER_MM, { flat: { colours: [WHITE, NAVY], speckMm: 0.2 } }).picture;
    const navy = covers(areas!, NAVY);
    let edges = 0;
    for (let i = 0; i < navy.length; i++) {
      if (navy[i] === 0 || navy[i] === 1) continue;
      edges++;
      const around = [-WIDTH, 0, WIDTH].flatMap((row) => [-1, 0, 1].map((column) => navy[i + row + column]!));
      expect(Math.max(...around), `${i % WIDTH}, ${Math.floor(i / WIDTH)}`).toBeGreaterThanOrEqual(0.9);
    }
    expect(edges).toBeGreaterThan(100);
    // As large as it was drawn.
    expect(navy.reduce((sum, v) => sum + v, 0)).toBeCloseTo(Math.PI * 30.2 ** 2, -1.5);
  });

  it("keeps a line thinner than a pixel whole", () => {
    const at = (x: number, y: number): Rgb =>
      Math.abs(x - 30.5 - y * 0.2) < 0.42 ? BLACK : x > 80 ? NAVY : WHITE;
    const black = covers(prepare(drawn(at), PER_MM, flat([WHITE, NAVY, BLACK])).picture.areas!, BLACK);
    for (let y = 2; y < HEIGHT - 2; y++)
      expect(most(black.slice(y * WIDTH + 25, y * WIDTH + 55)), `row ${y}`).toBeGreaterThan(0.5);
  });

  it("has its own colours in the extraction, clear last", () => {
    const { picture } = prepare(drawn(badge), PER_MM, { flat: { colours: [WHITE, NAVY, RED], speckMm: 0 } });
    expect([...coloursOf(picture.areas!).data]).toEqual([
      ...WHITE,
      255,
      ...NAVY,
      255,
      ...RED,
      255,
      0,
      0,
      0,
      0,
    ]);
  });
});

describe("a background", () => {
  const alphaAt = ({ data }: Picture, x: number, y: number) => data[4 * (y * WIDTH + x) + 3];

  it("is cut from the border inward; what the drawing encloses is kept", () => {
    const { picture, cut } = prepare(drawn(badge), PER_MM, flat([WHITE, NAVY, RED]));
    expect(alphaAt(picture, 2, 2)).toBe(0);
    expect(alphaAt(picture, 48, 24)).toBe(255);
    expect(cut!.enclosedCut).toBe(0);
    const ring = total(truth((x, y) => disc(x, y, 48, 40, 22) && !disc(x, y, 48, 40, 12)));
    expect(Math.abs(cut!.enclosed - ring)).toBeLessThan(0.03 * ring);
    expect(total(covers(picture.areas!, WHITE))).toBeCloseTo(ring, -1);
  });

  it("takes its colour inside along where the recipe says so, and the customer's white is still compared with", () => {
    const { picture, cut } = prepare(drawn(badge), PER_MM, flat([WHITE, NAVY, RED], "cut"));
    expect(cut!.enclosedCut).toBe(cut!.enclosed);
    expect(most(covers(picture.areas!, WHITE))).toBe(0);
    expect(alphaAt(picture, 48, 24)).toBe(255);
    expect(alphaAt(picture, 2, 2)).toBe(0);
  });

  it("takes the counters of letters along, and leaves a white disc in a badge", () => {
    const letter = (x: number, y: number) =>
      x > 4 && x < 16 && y > 30 && y < 46 && !(x > 7 && x < 13 && y > 34 && y < 42);
    const at = (x: number, y: number): Rgb =>
      letter(x, y) ? RED : disc(x, y, 60, 40, 12) ? WHITE : disc(x, y, 60, 40, 30) ? NAVY : WHITE;
    const { picture, cut } = prepare(drawn(at), PER_MM, flat([WHITE, NAVY, RED], "counters-cut"));
    expect(alphaAt(picture, 10, 38)).toBe(0);
    expect(alphaAt(picture, 60, 40)).toBe(255);
    expect(cut!.enclosedCut).toBeGreaterThan(30);
  });

  it.each([
    [249, 3],
    [248, 4],
  ])("is one of the flat colours where it is at most six steps of a byte off in each: %i", (red, colours) => {
    const { areas } = prepare(drawn(badge), PER_MM, flat([[red, 255, 255], NAVY])).picture;
    expect(areas!.colours).toHaveLength(4 * colours);
  });

  it("leaves of a pixel what its area covers, and no more than its own alpha", () => {
    // Navy over three eighths of a pixel beside the page, and a pixel of the art that is clear by half beside it.
    const picture = drawn((x) => (x > 40.625 ? NAVY : WHITE));
    for (let x = 60; x < 70; x++) picture.data[4 * (40 * WIDTH + x) + 3] = 140;
    const { picture: ready } = prepare(picture, PER_MM, flat([WHITE, NAVY]));
    // Three eighths of 255 are 95.6.
    expect(alphaAt(ready, 40, 20)).toBe(96);
    expect([...ready.data.subarray(4 * (20 * WIDTH + 40), 4 * (20 * WIDTH + 40) + 3)]).toEqual([...NAVY]);
    expect([alphaAt(ready, 41, 20), alphaAt(ready, 65, 40), alphaAt(ready, 39, 20)]).toEqual([255, 140, 0]);
  });

  it("goes with a last row that is half clear, and past text at the edge", () => {
    const at = (x: number, y: number): Rgb => (x > 40 && x < 56 && y < 30 ? NAVY : WHITE);
    const picture = drawn(at);
    for (let x = 0; x < WIDTH; x++) picture.data[4 * ((HEIGHT - 1) * WIDTH + x) + 3] = 77;
    const { picture: ready } = prepare(picture, PER_MM, flat([WHITE, NAVY]));
    expect(most(covers(ready.areas!, WHITE))).toBe(0);
    expect(alphaAt(ready, 48, 0)).toBe(255);
  });

  it("leaves no rim of its colour around art with tones", () => {
    const at = (x: number, y: number): Rgb => (disc(x, y, 48, 40, 25) ? [180 - x, 40 + y, 60] : WHITE);
    const { picture, cut } = prepare(drawn(at), PER_MM, {
      background: { rgb: WHITE, within: 4, enclosed: "kept" },
    });
    expect(picture.areas).toBeUndefined();
    expect(cut!.page).toBeGreaterThan(5000);
    for (let i = 0; i < WIDTH * HEIGHT; i++) {
      const [r, g, b, alpha] = picture.data.subarray(4 * i);
      if (alpha! > 20) expect(Math.min(r!, g!, b!), `pixel ${i}`).toBeLessThan(150);
    }
  });
});
