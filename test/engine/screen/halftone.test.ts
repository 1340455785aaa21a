import { describe, expect, it } from "vitest";
import { bytesPerRow } from "../../../server/engine/screen/bits.ts";
import { blueNoise } from "../../../server/engine/screen/blue-noise.ts";
import { Halftone, type Screening } from "../../../server/engine/screen/halftone.ts";
import { spotFunction } from "../../../server/engine/screen/spot-functions.ts";
import { supercellFor } from "../../../server/engine/screen/supercell.ts";
import { thresholdTile, tileRow } from "../../../server/engine/screen/tile.ts";
import { random } from "../../property.ts";
import { drawn, unpacked } from "./drawn.ts";

const LINEAR = Float64Array.from({ length: 256 }, (_, tone) => tone / 255);
const AM: Screening = { method: "am", rulingLpi: 45, angle: 22.5, dot: "round" };

const flat = (tone: number, width = 40, height = 40) => ({
  tones: new Uint8Array(width * height).fill(tone),
  width,
  height,
  curve: LINEAR,
});

/** The share of a film that is ink. */
function share(halftone: Halftone): number {
  const { filmWidth: width, filmHeight: height } = halftone;
  const bits = new Uint8Array(bytesPerRow(width) * height);
  halftone.draw({ x: 0, y: 0, width, height }, bits);
  return bits.reduce((sum, byte) => sum + ONES[byte]!, 0) / (width * height);
}

/** How many bits of a byte are set. */
const ONES = Array.from({ length: 256 }, (_, byte) => byte.toString(2).replaceAll("0", "").length);

describe("a flat tone", () => {
  it.each(["round", "ellipse", "line", "square", "Diamond", "CosineDot"] as const)(
    "in %s dots has its area on film, from 1 to 99 in a hundred, within a quarter of one",
    (dot) => {
      for (let percent = 1; percent < 100; percent += 7) {
        const tone = Math.round(percent * 2.55);
        const film = new Halftone(flat(tone), { ...AM, dot }, 1200, 1230, 1230);
        expect(Math.abs(share(film) - tone / 255), `${percent} %`).toBeLessThan(0.0025);
      }
    },
  );

  it.each(["fm", "diffusion"] as const)("has it in grains too: %s", (method) => {
    for (const tone of [13, 64, 128, 200, 242]) {
      const film = new Halftone(flat(tone), { method, grainMm: 25.4 / 600 }, 600, 512, 512);
      expect(Math.abs(share(film) - tone / 255), `${method} ${tone}`).toBeLessThan(0.0025);
    }
  });

  it("of nothing is clear and of everything solid, whatever the curve between", () => {
    const curve = LINEAR.map((tone) => tone ** 2);
    for (const screening of [
      AM,
      { method: "fm", grainMm: 0.1 },
      { method: "diffusion", grainMm: 0.1 },
    ] as const) {
      expect(share(new Halftone({ ...flat(0), curve }, screening, 600, 100, 100))).toBe(0);
      expect(share(new Halftone({ ...flat(255), curve }, screening, 600, 100, 100))).toBe(1);
    }
  });

  it("is compensated by the curve", () => {
    const curve = LINEAR.map((tone) => tone ** 2);
    const film = new Halftone({ ...flat(128), curve }, AM, 1200, 1230, 1230);
    expect(share(film)).toBeCloseTo((128 / 255) ** 2, 2);
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
    const places = rows.map((row) => [...row.keys()].filter((x) => row[x] === 1));
    const power = (fx: number, fy: number) => {
      const cosines = Float64Array.from({ length: size }, (_, x) => Math.cos(2 * Math.PI * fx * x));
      const sines = Float64Array.from({ length: size }, (_, x) => Math.sin(2 * Math.PI * fx * x));
      let [re, im] = [0, 0];
      for (let y = 0; y < size; y++) {
        const [cy, sy] = [Math.cos(2 * Math.PI * fy * y), Math.sin(2 * Math.PI * fy * y)];
        let [rx, ix] = [0, 0];
        for (const x of places[y]!) {
          rx += cosines[x]!;
          ix += sines[x]!;
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

describe("each pixel of a film", () => {
  /** Rank of a film's pixel among those of its mask, and how many there are. */
  function ranksOf(screening: Screening, dpi: number): (x: number, y: number) => [rank: number, of: number] {
    if (screening.method !== "am") {
      const grain = Math.round((screening.grainMm * dpi) / 25.4);
      const noise = blueNoise(128);
      const cell = (at: number) => Math.floor(at / grain) % 128;
      return (x, y) => [noise[cell(y) * 128 + cell(x)]!, 128 * 128];
    }
    const cell = supercellFor(dpi, screening.rulingLpi, screening.angle);
    const tile = thresholdTile(cell, spotFunction(screening.dot));
    return (x, y) => {
      const { row, offset } = tileRow(tile, y);
      return [tile.ranks[row * tile.width + ((x + offset) % tile.width)]!, tile.ranks.length];
    };
  }

  it.each([
    [60, 50, 240, 200, AM],
    [33, 21, 111, 70, { ...AM, angle: 0, dot: "ellipse" }],
    [90, 70, 47, 41, { ...AM, rulingLpi: 55, angle: 45 }],
    [1, 1, 5, 3, AM],
    [3, 200, 17, 203, { method: "fm", grainMm: 25.4 / 1200 }],
    [41, 40, 300, 290, { method: "fm", grainMm: 0.1 }],
  ] as const)(
    "is ink where the tone between the plate's pixels reaches beyond its rank, or half of solid by an edge: %i × %i on %i × %i",
    (width, height, filmWidth, filmHeight, screening) => {
      const next = random(filmWidth);
      // Blocks of nothing, solid and noise, so that there are edges, soft tones and both side by side.
      const kinds = Array.from({ length: 64 }, () => Math.floor(next() * 3));
      const tones = Uint8Array.from({ length: width * height }, (_, i) => {
        const kind = kinds[(Math.floor((i % width) / 7) % 8) * 8 + (Math.floor(i / width / 7) % 8)]!;
        return kind === 0 ? 0 : kind === 1 ? 255 : Math.floor(next() * 256);
      });
      const curve = LINEAR.map((tone) => tone ** 1.3);
      const plate = { tones, width, height, curve };
      const rows = drawn(new Halftone(plate, screening, 1200, filmWidth, filmHeight));
      const inX = (x: number) => Math.min(width - 1, Math.max(0, x));
      const inY = (y: number) => Math.min(height - 1, Math.max(0, y));
      const tone = (x: number, y: number) => tones[inY(y) * width + inX(x)]!;
      const edges = Array.from(tones, (_, i) => {
        const [x, y] = [i % width, Math.floor(i / width)];
        const around = [-1, 0, 1].flatMap((dy) => [-1, 0, 1].map((dx) => tone(x + dx, y + dy)));
        return Math.min(...around) <= 25 && Math.max(...around) >= 230;
      });
      const edge = (x: number, y: number) => edges[inY(y) * width + inX(x)]!;
      const rankOf = ranksOf(screening, 1200);
      let checked = 0;
      for (let y = 0; y < filmHeight; y++)
        for (let x = 0; x < filmWidth; x++) {
          const px = ((x + 0.5) * width) / filmWidth - 0.5;
          const py = Math.min(height - 1, Math.max(0, ((y + 0.5) * height) / filmHeight - 0.5));
          const [left, above] = [Math.floor(px), Math.floor(py)];
          const [right, down] = [px - left, py - above];
          const v =
            (tone(left, above) * (1 - right) + tone(left + 1, above) * right) * (1 - down) +
            (tone(left, above + 1) * (1 - right) + tone(left + 1, above + 1) * right) * down;
          const byEdge =
            edge(left, above) || edge(left + 1, above) || edge(left, above + 1) || edge(left + 1, above + 1);
          const [rank, of] = rankOf(x, y);
          const inked = (at: number) =>
            byEdge ? at >= 128 : rank < Math.round(curve[Math.max(0, Math.floor(at))]! * of);
          // The film reads 128ths of a tone: either side of a tone's beginning may count.
          const [low, high] = [inked(v - 0.05), inked(Math.min(255, v + 0.05))];
          if (low !== high) continue;
          checked++;
          if (rows[y]![x] !== (low ? 1 : 0)) expect.fail(`${x}, ${y}: tone ${v}`);
        }
      expect(checked).toBeGreaterThan(0.8 * filmWidth * filmHeight);
    },
  );

  it.each([1, 7, 8, 15, 16, 17])("is drawn on a film %i pixels wide", (width) => {
    for (const screening of [
      AM,
      { method: "fm", grainMm: 0.02 },
      { method: "diffusion", grainMm: 0.06 },
    ] as const) {
      const plate = { ...flat(200, 3, 30), curve: LINEAR };
      const whole = new Halftone(plate, screening, 1200, width, 300);
      // In a column or two of grains most errors fall off the film.
      const close = screening.method === "diffusion" && width < 10 ? 0.25 : 0.1;
      expect(Math.abs(share(whole) - 200 / 255), screening.method).toBeLessThan(close);
      const below = new Halftone({ ...plate, tones: new Uint8Array(90) }, screening, 1200, width, 300);
      expect(share(below)).toBe(0);
    }
  });
});
