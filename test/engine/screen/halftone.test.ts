import { describe, expect, it } from "vitest";
import { bytesPerRow, mirrorRows, packBits, setBits } from "../../../server/engine/screen/bits.ts";
import { blueNoise } from "../../../server/engine/screen/blue-noise.ts";
import { Halftone, type Screening } from "../../../server/engine/screen/halftone.ts";
import { SPOT_FUNCTIONS } from "../../../server/engine/screen/spot-functions.ts";
import { angleOf, rulingOf, supercellFor } from "../../../server/engine/screen/supercell.ts";
import { thresholdTile, tileRow } from "../../../server/engine/screen/tile.ts";
import { random } from "../../property.ts";

const LINEAR = Float64Array.from({ length: 256 }, (_, tone) => tone / 255);
const AM: Screening = { method: "am", rulingLpi: 45, angle: 22.5, dot: "round" };

/** The bits of a whole film as rows of 0 and 1. */
function drawn(halftone: Halftone): Uint8Array[] {
  const { filmWidth: width, filmHeight: height } = halftone;
  const bits = new Uint8Array(bytesPerRow(width) * height);
  halftone.draw({ x: 0, y: 0, width, height }, bits);
  return unpacked(bits, width, height);
}

function unpacked(bits: Uint8Array, width: number, height: number): Uint8Array[] {
  const stride = bytesPerRow(width);
  return Array.from({ length: height }, (_, y) =>
    Uint8Array.from({ length: width }, (_, x) => (bits[y * stride + (x >> 3)]! >> (7 - (x & 7))) & 1),
  );
}

const flat = (tone: number, width = 40, height = 40) => ({
  tones: new Uint8Array(width * height).fill(tone),
  width,
  height,
  curve: LINEAR,
});

function share(rows: readonly Uint8Array[]): number {
  return rows.reduce((sum, row) => sum + row.reduce((a, b) => a + b, 0), 0) / (rows.length * rows[0]!.length);
}

describe("supercells", () => {
  it("hold ruling within 0.5 % and angle within 0.1° at any resolution of film", () => {
    for (const dpi of [360, 600, 720, 1200, 1440, 2400, 2540])
      for (const lpi of [25, 35, 45, 55, 65])
        for (const angle of [0, 7.5, 15, 22.5, 45, 52.5, 61, 82.5, 90, -22.5, 105]) {
          const cell = supercellFor(dpi, lpi, angle);
          expect(Math.abs(rulingOf(cell, dpi) / lpi - 1), `${dpi} ${lpi} ${angle}`).toBeLessThan(0.005);
          expect(Math.abs(angleOf(cell) - angle), `${dpi} ${lpi} ${angle}`).toBeLessThan(0.1);
        }
  });

  it("have the standard's ruling and angle where one cell is given by whole pixels", () => {
    // ISO 32000-1, type 10 example: 300 dpi, X = 5, Y = 6.
    const cell = { cells: 1, across: 5, up: 6 };
    expect(rulingOf(cell, 300)).toBeCloseTo(38.411, 3);
    expect(angleOf(cell)).toBeCloseTo(50.194, 3);
  });

  it("refuse a ruling finer than the film", () => {
    expect(supercellFor(1200, 600, 0).cells).toBeGreaterThan(1);
  });
});

describe("tiles", () => {
  it.each([
    { cells: 3, across: 20, up: 9 },
    { cells: 2, across: 12, up: 12 },
    { cells: 5, across: 30, up: -18 },
    { cells: 2, across: 16, up: 0 },
    { cells: 2, across: 0, up: 16 },
  ])("rank each pixel of the supercell once, and repeat along both of its sides: %j", (cell) => {
    const tile = thresholdTile(cell, SPOT_FUNCTIONS.Round);
    const area = cell.across ** 2 + cell.up ** 2;
    expect(tile.width * tile.height).toBe(area);
    expect([...tile.ranks].sort((a, b) => a - b)).toEqual(Array.from({ length: area }, (_, i) => i));
    const at = (x: number, y: number) => {
      const { row, offset } = tileRow(tile, y);
      return tile.ranks[row * tile.width + ((((x + offset) % tile.width) + tile.width) % tile.width)]!;
    };
    for (let y = -7; y < 40; y += 3)
      for (let x = 0; x < 60; x += 7) {
        expect(at(x + cell.across, y - cell.up)).toBe(at(x, y));
        expect(at(x + cell.up, y + cell.across)).toBe(at(x, y));
      }
  });

  it("let all dots grow together", () => {
    const cell = supercellFor(1200, 45, 22.5);
    const tile = thresholdTile(cell, SPOT_FUNCTIONS.Round);
    const area = tile.width * tile.height;
    for (const tone of [0.02, 0.1, 0.5]) {
      const sizes = new Map<string, number>();
      for (let y = 0; y < tile.height; y++)
        for (let x = 0; x < tile.width; x++) {
          if (tile.ranks[y * tile.width + x]! >= tone * area) continue;
          const [px, py] = [x + 0.5, y + 0.5];
          const i = Math.floor((cell.cells * (px * cell.across - py * cell.up)) / area);
          const j = Math.floor((cell.cells * (px * cell.up + py * cell.across)) / area);
          const n = cell.cells;
          const dot = `${((i % n) + n) % n} ${((j % n) + n) % n}`;
          sizes.set(dot, (sizes.get(dot) ?? 0) + 1);
        }
      const counts = [...sizes.values()];
      expect(counts).toHaveLength(cell.cells ** 2);
      expect(Math.max(...counts) - Math.min(...counts)).toBeLessThanOrEqual(2);
    }
  });
});

describe("a flat tone", () => {
  it.each(["round", "ellipse", "line", "square", "Diamond", "CosineDot"] as const)(
    "of 1 to 99 %% has that area on film within 0.25 %%, with %s dots",
    (dot) => {
      for (let percent = 1; percent < 100; percent += 7) {
        const tone = Math.round(percent * 2.55);
        const rows = drawn(new Halftone(flat(tone), { ...AM, dot }, 1200, 1230, 1230));
        expect(Math.abs(share(rows) - tone / 255), `${percent} %`).toBeLessThan(0.0025);
      }
    },
  );

  it.each(["fm", "diffusion"] as const)("has it in grains too: %s", (method) => {
    for (const tone of [13, 64, 128, 200, 242]) {
      const rows = drawn(new Halftone(flat(tone), { method, grainMm: 25.4 / 600 }, 600, 512, 512));
      expect(Math.abs(share(rows) - tone / 255), `${method} ${tone}`).toBeLessThan(0.0025);
    }
  });

  it("of nothing is clear and of everything solid, whatever the curve between", () => {
    const curve = LINEAR.map((tone) => tone ** 2);
    for (const screening of [
      AM,
      { method: "fm", grainMm: 0.1 },
      { method: "diffusion", grainMm: 0.1 },
    ] as const) {
      expect(share(drawn(new Halftone({ ...flat(0), curve }, screening, 600, 100, 100)))).toBe(0);
      expect(share(drawn(new Halftone({ ...flat(255), curve }, screening, 600, 100, 100)))).toBe(1);
    }
  });

  it("is compensated by the curve", () => {
    const curve = LINEAR.map((tone) => tone ** 2);
    const rows = drawn(new Halftone({ ...flat(128), curve }, AM, 1200, 1230, 1230));
    expect(share(rows)).toBeCloseTo((128 / 255) ** 2, 2);
  });
});

describe("ruling and angle, measured in the bitmap by Fourier analysis", () => {
  it.each([
    [1200, 45, 22.5],
    [720, 35, 7.5],
    [600, 55, 52.5],
  ])("%i dpi, %i lpi, %f°", (dpi, rulingLpi, angle) => {
    const size = 1500;
    const rows = drawn(new Halftone(flat(90), { ...AM, rulingLpi, angle }, dpi, size, size));
    // The strongest wave near the one asked for: frequency in cycles a pixel, y down.
    const power = (fx: number, fy: number) => {
      let [re, im] = [0, 0];
      for (let y = 0; y < size; y += 1) {
        const row = rows[y]!;
        const [cy, sy] = [Math.cos(2 * Math.PI * fy * y), Math.sin(2 * Math.PI * fy * y)];
        let [rx, ix] = [0, 0];
        for (let x = 0; x < size; x++) {
          if (row[x] === 0) continue;
          rx += Math.cos(2 * Math.PI * fx * x);
          ix += Math.sin(2 * Math.PI * fx * x);
        }
        re += rx * cy - ix * sy;
        im += rx * sy + ix * cy;
      }
      return re * re + im * im;
    };
    const f = rulingLpi / dpi;
    let best = { at: [0, 0], power: 0 };
    const radians = (angle * Math.PI) / 180;
    // Steps of 0.25 % of the ruling along and across.
    for (let i = -3; i <= 3; i++)
      for (let j = -3; j <= 3; j++) {
        const along = f * (1 + i * 0.0025);
        const turn = radians + j * 0.0025;
        const [fx, fy] = [along * Math.cos(turn), -along * Math.sin(turn)];
        const p = power(fx, fy);
        if (p > best.power) best = { at: [i, j], power: p };
      }
    expect(Math.abs(best.at[0]!)).toBeLessThanOrEqual(1);
    expect(Math.abs(best.at[1]!)).toBeLessThanOrEqual(1);
  });
});

describe("a window", () => {
  it("of the film holds the same bits as the whole, for dots in rows and for masks", () => {
    const next = random(5);
    const plate = {
      ...flat(0, 60, 50),
      tones: Uint8Array.from({ length: 3000 }, () => Math.floor(next() * 256)),
    };
    for (const screening of [AM, { method: "fm", grainMm: 0.1 }] as const) {
      const halftone = new Halftone(plate, screening, 1200, 243, 201);
      const whole = drawn(halftone);
      for (const [x, y, width, height] of [
        [0, 17, 243, 9],
        [31, 40, 100, 60],
        [242, 200, 1, 1],
        [7, 0, 9, 201],
      ] as const) {
        const bits = new Uint8Array(bytesPerRow(width) * height);
        halftone.draw({ x, y, width, height }, bits);
        expect(unpacked(bits, width, height)).toEqual(
          whole.slice(y, y + height).map((row) => row.slice(x, x + width)),
        );
      }
    }
  });

  it("in strips from the top gives error diffusion the same bits too", () => {
    const next = random(6);
    const plate = {
      ...flat(0, 60, 50),
      tones: Uint8Array.from({ length: 3000 }, () => Math.floor(next() * 256)),
    };
    const make = () => new Halftone(plate, { method: "diffusion", grainMm: 0.05 }, 1200, 240, 200);
    const whole = drawn(make());
    const strips = make();
    const rows: Uint8Array[] = [];
    for (let y = 0; y < 200; y += 33) {
      const height = Math.min(33, 200 - y);
      const bits = new Uint8Array(bytesPerRow(240) * height);
      strips.draw({ x: 0, y, width: 240, height }, bits);
      rows.push(...unpacked(bits, 240, height));
    }
    expect(rows).toEqual(whole);
  });
});

describe("edges of solid colour", () => {
  it("stay sharp at the film's resolution: no dots beside them", () => {
    // A slanted edge at 300 ppi, on film at 1200 dpi.
    const [width, height] = [60, 60];
    const tones = new Uint8Array(width * height);
    const inside = (x: number, y: number) => x + 0.3 * y < 40;
    for (let y = 0; y < height; y++)
      for (let x = 0; x < width; x++) {
        let covered = 0;
        for (let k = 0; k < 16; k++)
          if (inside(x + ((k % 4) + 0.5) / 4, y + (Math.floor(k / 4) + 0.5) / 4)) covered++;
        tones[y * width + x] = Math.round((covered / 16) * 255);
      }
    const rows = drawn(new Halftone({ tones, width, height, curve: LINEAR }, AM, 1200, 240, 240));
    for (let y = 8; y < 232; y++) {
      const row = rows[y]!;
      const changes = [...row].filter((bit, x) => x > 0 && bit !== row[x - 1]);
      expect(changes, `row ${y}`).toHaveLength(1);
      // Within a film pixel and a half of where the edge really is.
      const edge = row.indexOf(0);
      expect(Math.abs(edge - 4 * (40 - 0.3 * ((y + 0.5) / 4)))).toBeLessThan(1.6);
    }
  });
});

describe("blue noise", () => {
  it("ranks each pixel once, the same in every run", () => {
    const ranks = blueNoise(32);
    expect([...ranks].sort((a, b) => a - b)).toEqual(Array.from({ length: 1024 }, (_, i) => i));
    expect(blueNoise(32)).toEqual(ranks);
  });

  it("has little of the low frequencies that the eye sees", () => {
    const side = 64;
    const ranks = blueNoise(side);
    const power = (on: (rank: number) => boolean) => {
      let [low, high, lows, highs] = [0, 0, 0, 0];
      for (let v = 0; v < side / 2; v += 2)
        for (let u = 1; u < side / 2; u += 2) {
          let [re, im] = [0, 0];
          for (let at = 0; at < ranks.length; at++) {
            if (!on(ranks[at]!)) continue;
            const phase = (2 * Math.PI * ((at % side) * u + Math.floor(at / side) * v)) / side;
            re += Math.cos(phase);
            im += Math.sin(phase);
          }
          const f = Math.hypot(u, v);
          if (f < 8) [low, lows] = [low + re * re + im * im, lows + 1];
          else if (f > 16) [high, highs] = [high + re * re + im * im, highs + 1];
        }
      return low / lows / (high / highs);
    };
    expect(power((rank) => rank < ranks.length / 4)).toBeLessThan(0.1);
  });
});

describe("bits", () => {
  it("are packed, set and mirrored as by hand", () => {
    const next = random(9);
    for (const width of [1, 7, 8, 9, 16, 31, 64, 77]) {
      const stride = bytesPerRow(width);
      const line = new Uint8Array(stride * 8);
      for (let x = 0; x < width; x++) line[x] = next() < 0.5 ? 1 : 0;
      const bits = new Uint8Array(stride);
      packBits(line, bits, 0);
      expect([...unpacked(bits, width, 1)[0]!]).toEqual([...line.subarray(0, width)]);
      const from = Math.floor(next() * width);
      const to = from + Math.floor(next() * (width - from + 1));
      const set = new Uint8Array(stride);
      setBits(set, 0, from, to);
      expect([...unpacked(set, width, 1)[0]!]).toEqual(
        Array.from({ length: width }, (_, x) => (x >= from && x < to ? 1 : 0)),
      );
      mirrorRows(bits, width, 1);
      expect([...unpacked(bits, width, 1)[0]!]).toEqual([...line.subarray(0, width)].reverse());
    }
  });
});
