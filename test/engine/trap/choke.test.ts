import fc from "fast-check";
import { expect, it } from "vitest";
import { choke, spread } from "../../../server/engine/trap/choke.ts";
import { holds, random } from "../../property.ts";

interface Map {
  readonly width: number;
  readonly height: number;
  readonly tones: Uint8Array;
}

type Way = (tones: Uint8Array, width: number, height: number, radius: number, out: Uint8Array) => void;

function apply(way: Way, { width, height, tones }: Map, radius: number): Map {
  // Rubbish in the buffer that is given must not matter.
  const out = new Uint8Array(tones.length).fill(77);
  way(tones, width, height, radius, out);
  return { width, height, tones: out };
}

function rows(...lines: number[][]): Map {
  return { width: lines[0].length, height: lines.length, tones: Uint8Array.from(lines.flat()) };
}

function draw(width: number, height: number, tone: (x: number, y: number) => number): Map {
  const tones = new Uint8Array(width * height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) tones[y * width + x] = Math.round(Math.min(255, Math.max(0, tone(x, y))));
  }
  return { width, height, tones };
}

/** Ink in pixels' worth of solid. */
const ink = ({ tones }: Map) => tones.reduce((sum, tone) => sum + tone, 0) / 255;

/**
 * The brush's definition, pixel by pixel: what lies up to `radius` away counts fully, what lies `radius` + 1 away not
 * at all, and in between tones are moved by the distance beyond the radius. Nothing prints outside of the picture.
 */
function slowly(way: Way, { width, height, tones }: Map, radius: number): Map {
  const reach = Math.ceil(radius) + 1;
  return draw(width, height, (x, y) => {
    let tone = way === choke ? 255 : 0;
    for (let dy = -reach; dy <= reach; dy++) {
      for (let dx = -reach; dx <= reach; dx++) {
        const moved = Math.round(255 * Math.min(1, Math.max(0, Math.hypot(dx, dy) - radius)));
        const inside = x + dx >= 0 && x + dx < width && y + dy >= 0 && y + dy < height;
        const there = inside ? tones[(y + dy) * width + x + dx] : 0;
        tone = way === choke ? Math.min(tone, there + moved) : Math.max(tone, there - moved);
      }
    }
    return tone;
  });
}

it("takes rows that are longer than what the loops' memory begins with", () => {
  const next = random(2);
  const wide = draw(12_000, 3, () => (next() < 0.9 ? 255 : next() * 256));
  const made = apply(choke, wide, 0.7).tones;
  expect(Buffer.compare(made, slowly(choke, wide, 0.7).tones)).toBe(0);
});

const tone = fc.oneof(fc.constantFrom(0, 255), fc.nat(255));
/** Small pictures, noisy or in flat patches. */
const maps: fc.Arbitrary<Map> = fc
  .record({
    width: fc.integer({ min: 1, max: 9 }),
    height: fc.integer({ min: 1, max: 9 }),
    patches: fc.boolean(),
  })
  .chain(({ width, height, patches }) =>
    fc
      .array(tone, { minLength: width * height, maxLength: width * height })
      .map((list) =>
        draw(width, height, (x, y) => (patches ? list[(y >> 2) * width + (x >> 2)] : list[y * width + x])),
      ),
  );
const radii = fc.oneof(
  fc.constantFrom(0, 0.25, 0.5, 1, 1.5, 2, Math.SQRT2, 3),
  fc.double({ min: 0, max: 4.5, noNaN: true }),
);

for (const [name, way] of [
  ["chokes", choke],
  ["spreads", spread],
] as const) {
  it(`${name} exactly as the brush is defined, at any radius, borders included`, () => {
    holds(
      fc.property(maps, radii, (map, radius) => {
        expect(apply(way, map, radius)).toEqual(slowly(way, map, radius));
      }),
      600,
    );
  });

  it(`${name} wide plates as the brush is defined`, () => {
    const next = random(7);
    for (const radius of [0.4, 2, 3.7]) {
      // Bands of noise, of blank and of solid ink, of widths that meet the steps of sixteen in every way.
      const noise = Array.from({ length: 400 * 14 }, () => next() * 255);
      const map = draw(333, 14, (x, y) => {
        const band = Math.floor(x / 37) % 3;
        return band === 0 ? 0 : band === 1 ? 255 : noise[y * 400 + x];
      });
      expect(apply(way, map, radius)).toEqual(slowly(way, map, radius));
    }
  });

  it(`${name} with a brush wider than the plate and than a step`, () => {
    const next = random(3);
    const map = draw(41, 23, () => (next() < 0.97 ? (way === choke ? 255 : 0) : next() * 255));
    for (const radius of [15.5, 17, 44.2]) expect(apply(way, map, radius)).toEqual(slowly(way, map, radius));
  });

  it(`${name} alike after a wider plate and a wider brush`, () => {
    const map = draw(20, 20, (x, y) => (x * y) % 256);
    const before = apply(way, map, 1.2);
    apply(
      way,
      draw(5000, 3, () => 255),
      30,
    );
    expect(apply(way, map, 1.2)).toEqual(before);
  });

  it(`${name} flat plates with a few specks as the brush is defined`, () => {
    for (const ground of [0, 120, 255]) {
      const map = draw(200, 12, (x, y) =>
        y === 5 && [0, 63, 64, 130, 199].includes(x) ? 255 - ground : ground,
      );
      expect(apply(way, map, 2.6)).toEqual(slowly(way, map, 2.6));
    }
  });

  it(`${name} by nothing without changing a tone`, () => {
    holds(
      fc.property(maps, (map) => {
        expect(apply(way, map, 0)).toEqual(map);
      }),
    );
  });

  it(`leaves the plate itself alone when it ${name}`, () => {
    const map = rows([0, 255, 0], [255, 90, 255]);
    apply(way, map, 1.3);
    expect(map).toEqual(rows([0, 255, 0], [255, 90, 255]));
  });
}

it("draws an edge in by a fraction of a pixel alike in all four directions", () => {
  const solid = draw(5, 5, () => 255);
  // The picture's borders are edges: half a pixel is half of the ink of the outermost pixels.
  expect(apply(choke, solid, 0.5)).toEqual(
    rows(
      [128, 128, 128, 128, 128],
      [128, 255, 255, 255, 128],
      [128, 255, 255, 255, 128],
      [128, 255, 255, 255, 128],
      [128, 128, 128, 128, 128],
    ),
  );
});

it("pushes a single dot out by a fraction of a pixel", () => {
  const dot = draw(5, 5, (x, y) => (x === 2 && y === 2 ? 255 : 0));
  // Half a pixel: neighbours at 1 lose 0.5 of solid (255 − 128); at √2, 0.914 (255 − 233).
  expect(apply(spread, dot, 0.5)).toEqual(
    rows([0, 0, 0, 0, 0], [0, 22, 127, 22, 0], [0, 127, 255, 127, 0], [0, 22, 127, 22, 0], [0, 0, 0, 0, 0]),
  );
});

it("moves an edge between blank rows and solid rows as one between columns", () => {
  const upright = draw(12, 12, (x) => (x < 6 ? 255 : 0));
  const lying = draw(12, 12, (_, y) => (y < 6 ? 255 : 0));
  const turned = ({ width, height, tones }: Map) => draw(height, width, (x, y) => tones[x * width + y]);
  for (const radius of [0.3, 0.5, 1, 1.7, 2.25]) {
    expect(apply(choke, lying, radius)).toEqual(turned(apply(choke, upright, radius)));
    expect(apply(spread, lying, radius)).toEqual(turned(apply(spread, upright, radius)));
  }
});

/** Ink on one side of an edge through the middle, antialiased; `degrees` is the direction of the edge's normal. */
function halfPlane(size: number, degrees: number): Map {
  const [nx, ny] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  return draw(size, size, (x, y) => {
    const beyond = (x + 0.5 - size / 2) * nx + (y + 0.5 - size / 2) * ny;
    return 255 * (0.5 - beyond);
  });
}

/** How far the edge moved: ink gained or lost a pixel of its length, along 60 px in the middle. */
function moved(before: Map, after: Map, degrees: number): number {
  const [tx, ty] = [-Math.sin((degrees * Math.PI) / 180), Math.cos((degrees * Math.PI) / 180)];
  const { width, height } = before;
  let sum = 0;
  let pixels = 0;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const [px, py] = [x + 0.5 - width / 2, y + 0.5 - height / 2];
      if (Math.abs(px * tx + py * ty) > 30 || Math.hypot(px, py) > 40) continue;
      pixels++;
      sum += (after.tones[y * width + x] - before.tones[y * width + x]) / 255;
    }
  }
  expect(pixels).toBeGreaterThan(4000);
  return sum / 60;
}

for (const degrees of [0, 10, 22.5, 30, 45, 63, 90, 135, 200, 300]) {
  it(`moves an edge by the true distance at ${degrees}°`, () => {
    const plane = halfPlane(110, degrees);
    for (const distance of [0.5, 1, 2.6, 5]) {
      // Within a quarter of a pixel; slanted edges of one pixel's softness hold less of a move by under a pixel.
      const within = distance < 1 ? 0.5 : 0.25;
      const choked = moved(plane, apply(choke, plane, distance), degrees);
      expect(Math.abs(choked + distance), `choke by ${distance} px moved ${choked}`).toBeLessThan(within);
      const pushed = moved(plane, apply(spread, plane, distance), degrees);
      expect(Math.abs(pushed - distance), `spread by ${distance} px moved ${pushed}`).toBeLessThan(within);
    }
  });
}

const square = draw(60, 60, (x, y) => (x >= 20 && x < 40 && y >= 20 && y < 40 ? 255 : 0));

it("keeps the corners of a choked square sharp", () => {
  const smaller = draw(60, 60, (x, y) => (x >= 24 && x < 36 && y >= 24 && y < 36 ? 255 : 0));
  expect(apply(choke, square, 4)).toEqual(smaller);
});

it("rounds the corners of a spread square, as a round brush does", () => {
  // s² + 4sd + πd² with s = 20, d = 8.
  const wanted = 400 + 640 + 64 * Math.PI;
  const seen = apply(spread, square, 8);
  expect(Math.abs(ink(seen) / wanted - 1)).toBeLessThan(0.03);
  // The corner of the square brush, 8 px away both ways, stays free of ink.
  expect(seen.tones[12 * 60 + 12]).toBe(0);
  expect(seen.tones[12 * 60 + 30]).toBe(255);
});

it("never grows a shape by a choke and then a spread", () => {
  holds(
    fc.property(maps, radii, (map, radius) => {
      const opened = apply(spread, apply(choke, map, radius), radius);
      expect(opened.tones.findIndex((value, i) => value > map.tones[i])).toBe(-1);
    }),
    400,
  );
});

it("never shrinks a shape by a spread and then a choke, away from the border", () => {
  holds(
    fc.property(maps, radii, (map, radius) => {
      const margin = 2 * (Math.ceil(radius) + 1);
      const wide = draw(map.width + 2 * margin, map.height + 2 * margin, (x, y) => {
        const [u, v] = [x - margin, y - margin];
        return u >= 0 && u < map.width && v >= 0 && v < map.height ? map.tones[v * map.width + u] : 0;
      });
      const closed = apply(choke, apply(spread, wide, radius), radius);
      expect(closed.tones.findIndex((value, i) => value < wide.tones[i])).toBe(-1);
    }),
    300,
  );
});

it("chokes never add ink and spreads never take any", () => {
  holds(
    fc.property(maps, radii, (map, radius) => {
      const less = apply(choke, map, radius).tones;
      const more = apply(spread, map, radius).tones;
      expect(map.tones.findIndex((value, i) => less[i] > value || more[i] < value)).toBe(-1);
    }),
  );
});

it("takes more ink away the farther it chokes", () => {
  const next = random(3);
  const map = draw(40, 30, () => 120 + next() * 135);
  const left = [0, 0.2, 0.5, 0.9, 1, 1.4, 2, 3].map((radius) => ink(apply(choke, map, radius)));
  expect(left).toEqual([...left].sort((a, b) => b - a));
  expect(new Set(left).size).toBe(left.length);
});

it("takes everything of a plate that is smaller than the choke", () => {
  expect(
    ink(
      apply(
        choke,
        draw(6, 4, () => 255),
        5,
      ),
    ),
  ).toBe(0);
});
