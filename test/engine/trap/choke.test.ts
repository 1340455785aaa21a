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
 * The brush's definition, pixel by pixel. What lies at distance d moves a tone to its own plus d − radius; where that is
 * less than its own it holds only down to a floor, which on an edge is the least tone around and elsewhere its own. A
 * spread is the choke of what does not print. Nothing prints outside of the picture.
 */
function slowly(way: Way, { width, height, tones }: Map, radius: number): Map {
  const reach = Math.ceil(radius) + 1;
  const flip = (tone: number) => (way === choke ? tone : 255 - tone);
  const at = (x: number, y: number) =>
    flip(x >= 0 && x < width && y >= 0 && y < height ? tones[y * width + x] : 0);
  const floors = Array.from(tones, (_, i) => {
    const [x, y] = [i % width, Math.floor(i / width)];
    const around = [-1, 0, 1].flatMap((dy) => [-1, 0, 1].map((dx) => at(x + dx, y + dy)));
    const [least, most] = [Math.min(...around), Math.max(...around)];
    const steep = 3 * Math.max(0, most - least - 128);
    return at(x, y) - Math.min(at(x, y) - least, steep, 16 * (most - at(x, y)), 255);
  });
  const floor = (x: number, y: number) =>
    x < 0 || x >= width || y < 0 || y >= height ? at(x, y) : floors[y * width + x];
  const moved = (tone: number, least: number, distance: number) => {
    const adds = Math.round(255 * (distance - radius));
    return adds < 0 ? Math.max(least, tone + adds) : tone + adds;
  };
  /** The middle of four pixels, of which the two edge pixels of a diagonal count, if there are two. */
  const midpoint = (u: number, v: number) => {
    const diagonals = [
      [
        [u, v],
        [u + 1, v + 1],
      ],
      [
        [u + 1, v],
        [u, v + 1],
      ],
    ].filter((pair) => pair.every(([x, y]) => at(x, y) > floor(x, y)));
    const means = diagonals.map(([[a, b], [c, d]]) => Math.ceil((at(a, b) + at(c, d)) / 2));
    const lows = diagonals.flat().map(([x, y]) => floor(x, y));
    return [Math.min(255, ...means), Math.min(255, ...lows)] as const;
  };
  const midpoints = Array.from({ length: (width + 1) * Math.max(0, height - 1) }, (_, i) =>
    midpoint((i % (width + 1)) - 1, Math.floor(i / (width + 1))),
  );
  return draw(width, height, (x, y) => {
    let tone = 255;
    for (let dy = -reach; dy <= reach; dy++) {
      for (let dx = -reach; dx <= reach; dx++) {
        const [u, v] = [x + dx, y + dy];
        tone = Math.min(tone, moved(at(u, v), floor(u, v), Math.hypot(dx, dy)));
        const last = Math.ceil(radius + 1) - 1.5;
        if (Math.max(Math.abs(dx + 0.5), Math.abs(dy + 0.5)) > last) continue;
        if (radius > 4 || u < -1 || u >= width || v < 0 || v >= height - 1) continue;
        // What the brush covers fully its pixels say.
        const away = Math.hypot(dx + 0.5, dy + 0.5);
        if (Math.round(255 * (away - radius)) <= -255) continue;
        const [mean, least] = midpoints[v * (width + 1) + u + 1];
        tone = Math.min(tone, moved(mean, least, away));
      }
    }
    return flip(tone);
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

/** How much of each pixel, of 16 × 16 samples, a shape covers. */
function covered(size: number, inside: (x: number, y: number) => boolean): Map {
  return draw(size, size, (x, y) => {
    let hits = 0;
    for (let j = 0; j < 16; j++)
      for (let i = 0; i < 16; i++) if (inside(x + (i + 0.5) / 16, y + (j + 0.5) / 16)) hits++;
    return (255 * hits) / 256;
  });
}

// In pixels: 0.01 mm at 300 ppi is 0.118, 0.02 mm at 150 the same; of pixels not of millimetres is what the brush knows.
const TRUE_WITHIN = 0.118;
const DISTANCES = [0.12, 0.3, 0.6, 0.9, 1.2, 2.4, 3.5, 5.3];

for (const degrees of [0, 5, 10, 15, 22.5, 30, 37, 45]) {
  it(`moves an edge by the true distance at ${degrees}°`, () => {
    const [nx, ny] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
    const size = 96;
    for (const offset of [0, 0.5]) {
      const plane = covered(size, (x, y) => (x - size / 2 - offset) * nx + (y - size / 2) * ny < 0);
      for (const distance of DISTANCES) {
        for (const [way, sign] of [
          [choke, -1],
          [spread, 1],
        ] as const) {
          const after = apply(way, plane, distance);
          let gained = 0;
          for (let y = 0; y < size; y++)
            for (let x = 0; x < size; x++) {
              const [u, v] = [x + 0.5 - size / 2, y + 0.5 - size / 2];
              if (Math.abs(v * nx - u * ny) > 24 || Math.abs(u * nx + v * ny) > 24) continue;
              gained += (after.tones[y * size + x] - plane.tones[y * size + x]) / 255;
            }
          const off = (gained / 48) * sign - distance;
          // Where every pixel of a slant lies the same way off, their rounding adds up.
          const within = degrees === 45 ? 0.145 : TRUE_WITHIN;
          expect(Math.abs(off), `${way.name} by ${distance} px, off ${offset}`).toBeLessThan(within);
        }
      }
    }
  });
}

it("chokes and spreads discs by the true distance", () => {
  for (const radius of [6, 20, 40]) {
    const middle = 50.31;
    const round = covered(101, (x, y) => Math.hypot(x - middle, y - middle) < radius);
    for (const distance of DISTANCES) {
      const choked = Math.sqrt(ink(apply(choke, round, distance)) / Math.PI);
      const grown = Math.sqrt(ink(apply(spread, round, distance)) / Math.PI);
      if (radius - distance > 1)
        expect(Math.abs(radius - distance - choked), `${radius} choked by ${distance}`).toBeLessThan(
          TRUE_WITHIN,
        );
      if (radius + distance < 48)
        expect(Math.abs(radius + distance - grown), `${radius} spread by ${distance}`).toBeLessThan(
          TRUE_WITHIN,
        );
    }
  }
});

it("chokes and spreads a turned square by the true distance, corners included", () => {
  const [c, s] = [Math.cos(0.35), Math.sin(0.35)];
  const side = 50;
  const box = covered(100, (x, y) => {
    const [u, v] = [(x - 50) * c + (y - 50) * s, (y - 50) * c - (x - 50) * s];
    return Math.abs(u) < side / 2 && Math.abs(v) < side / 2;
  });
  for (const d of DISTANCES) {
    const choked = (ink(apply(choke, box, d)) - (side - 2 * d) ** 2) / (4 * side);
    // The corners of a spread square are quarters of a disc.
    const grown = (ink(apply(spread, box, d)) - (side ** 2 + 4 * side * d + Math.PI * d * d)) / (4 * side);
    expect(Math.abs(choked), `choked by ${d}`).toBeLessThan(TRUE_WITHIN);
    expect(Math.abs(grown), `spread by ${d}`).toBeLessThan(TRUE_WITHIN);
  }
});

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

it("gives a drawn shape back by a choke and then a spread, and the other way round", () => {
  const box = (x: number, y: number) =>
    0.5 + Math.min(20 - Math.abs(0.9 * x + 0.436 * y), 14 - Math.abs(0.9 * y - 0.436 * x));
  const round = (x: number, y: number) => 0.5 + 18 - Math.hypot(x, y);
  for (const shape of [box, round]) {
    const map = draw(70, 70, (x, y) => 255 * shape(x - 35.2, y - 34.6));
    for (const radius of [0.3, 0.8, 1.4, 2.5]) {
      const opened = apply(spread, apply(choke, map, radius), radius);
      const closed = apply(choke, apply(spread, map, radius), radius);
      // A tenth of a pixel along an outline of 113 to 136 px, and what the brush takes of the box's four corners.
      for (const made of [opened, closed])
        expect(Math.abs(ink(made) - ink(map)), `by ${radius}`).toBeLessThan(14 + 0.9 * radius * radius);
    }
  }
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
