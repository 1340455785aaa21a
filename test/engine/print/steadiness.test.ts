import { expect, it } from "vitest";
import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { labFromBytes, labFromLinear } from "../../../server/engine/colour/cielab.ts";
import { linearOfBands, mixingBands } from "../../../server/engine/print/bands.ts";
import { levelsOf, SIDE } from "../../../server/engine/print/dot-overlap.ts";
import { demichel, power } from "../../../server/engine/print/halftone.ts";
import {
  MOST_TABLED,
  type PrintModel,
  preparePrint,
  type Station,
} from "../../../server/engine/print/model.ts";
import { PRINTS, PrintToPrint, registerDraw } from "../../../server/engine/print/steadiness.ts";
import { random } from "../../property.ts";
import { colourOfShares, difference, draws, filmOfPlate, overprintShares } from "./rasterised.ts";

const WHITE = labFromBytes(245, 245, 242);
const conditions = (misregistrationMm: number, n = 1) => ({
  garment: WHITE,
  n,
  compensated: true,
  smallestDot: 0,
  misregistrationMm,
});
const INKS = [labFromBytes(0, 130, 190), labFromBytes(210, 30, 90), labFromBytes(250, 210, 20)];
const screen = (angle: number) => ({ method: "am", rulingLpi: 45, angle, dot: "round" }) as const;
const stationsAt = (...angles: number[]): Station[] =>
  angles.map((angle, s) => ({
    ink: {
      colour: INKS[s % 3],
      opacity: 0.2,
    },
    screen: screen(angle),
  }));

function steadiness(stations: readonly Station[], r: number): { mean: number; p95: number } {
  const toPrint = new PrintToPrint(preparePrint(conditions(r), stations), 1);
  const next = random(5);
  const all: number[] = [];
  for (let i = 0; i < 20; i++) {
    toPrint.look(stations.map(() => 0.1 + 0.8 * next()));
    all.push(...toPrint.changes);
  }
  all.sort((a, b) => a - b);
  return { mean: all.reduce((a, b) => a + b) / all.length, p95: all[Math.floor(0.95 * all.length)] };
}

it("grows with the register, as three transparent inks of one lattice do", () => {
  const figures = [0, 0.1, 0.2, 0.4].map((r) => steadiness(stationsAt(22.5, 22.5, 22.5), r));
  expect(figures[0].p95).toBeCloseTo(0, 9);
  for (let i = 1; i < figures.length; i++) expect(figures[i].mean).toBeGreaterThan(1.5 * figures[i - 1].mean);
  expect(figures[3].p95).toBeGreaterThan(2);
});

it("is nothing where angles differ, one plate prints alone, or all are solid", () => {
  const apart = new PrintToPrint(preparePrint(conditions(0.2), stationsAt(22.5, 52.5, 82.5)), 1);
  expect(apart.look([0.5, 0.5, 0.5])).toBe(0);
  expect(apart.meets([0.5, 0.5, 0.5])).toBe(false);
  const one = new PrintToPrint(preparePrint(conditions(0.2), stationsAt(22.5, 22.5)), 1);
  expect([one.look([0.5, 1]), one.look([0, 0.5])]).toEqual([0, 0]);
  expect([one.meets([0.5, 1]), one.meets([0.5, 0.5])]).toEqual([false, true]);
});

it("is about what films show that are laid over one another print by print", () => {
  const stations = stationsAt(22.5, 22.5, 22.5);
  const tones = [150, 110, 90];
  const films = tones.map((tone) =>
    filmOfPlate(Uint8Array.of(tone), 1, 1, screen(22.5), { width: 440, height: 440 }),
  );
  const part = { x: 60, y: 60, width: 320, height: 320 };
  const prints = draws(3, 60, 0.2, 21).map((shift) =>
    colourOfShares(overprintShares(films, [shift], part), conditions(0.2), stations),
  );
  const [r, g, b] = (["r", "g", "b"] as const).map(
    (k) => prints.reduce((sum, c) => sum + c[k], 0) / prints.length,
  );
  const seen = prints.reduce((sum, c) => sum + difference(c, { r, g, b }), 0) / prints.length;
  const toPrint = new PrintToPrint(preparePrint(conditions(0.2), stations), 1);
  const told = toPrint.look(tones.map((tone) => tone / 255));
  // Sixteen draws of it against sixty others, each about a quarter of their mean wide.
  expect(told / seen).toBeGreaterThan(0.6);
  expect(told / seen).toBeLessThan(1.6);
});

it("draws the register from a normal distribution, the same each time", () => {
  const all = Array.from({ length: 40 }, (_, s) =>
    Array.from({ length: PRINTS }, (__, d) => registerDraw(s, d)).flat(),
  ).flat();
  const mean = all.reduce((a, b) => a + b) / all.length;
  const variance = all.reduce((a, b) => a + (b - mean) ** 2, 0) / all.length;
  expect(Math.abs(mean)).toBeLessThan(0.06);
  expect(Math.abs(variance - 1)).toBeLessThan(0.1);
  expect(registerDraw(3, 7)).toEqual(registerDraw(3, 7));
});

/** Shares of the overprints of some of a print's stations, by whole places of their cell, every second one each way. */
function sharesInCell({ lattices, areas: { length } }: PrintModel, draw: number, areas: readonly number[]) {
  const halftones = areas.map((a) => a > 0 && a < 1);
  let shares = demichel(areas.map((a, s) => (lattices.some(({ stations }) => stations.includes(s)) ? 0 : a)));
  for (const { stations, dot, register } of lattices) {
    const own = stations.filter((s) => halftones[s]);
    const within = new Float64Array(2 ** length);
    const levels = levelsOf(dot);
    const [places, step] = [SIDE / 2, 2];
    for (let place = 0; place < places * places; place++) {
      let mask = 0;
      for (const s of stations) {
        if (areas[s] === 1) mask |= 1 << s;
        // Alone on its lattice a halftone falls as chance has it; it is counted below.
        if (own.length < 2 || !own.includes(s)) continue;
        const [x, y] = registerDraw(s, draw).map((off) => step * Math.round(off * register * places));
        const at =
          ((step * Math.floor(place / places) + y) & 63) * SIDE + ((step * (place % places) + x) & 63);
        if (levels[at] < Math.round(256 * areas[s])) mask |= 1 << s;
      }
      within[mask] += 1 / (places * places);
    }
    const alone = own.length === 1 ? demichel(areas.map((a, s) => (s === own[0] ? a : 0))) : [1];
    const both = new Float64Array(2 ** length);
    shares.forEach((a, i) => {
      within.forEach((b, j) => {
        alone.forEach((c, k) => {
          both[i | j | k] += a * b * c;
        });
      });
    });
    shares = both;
  }
  return shares;
}

it.each([
  [1, [0.3, 0.55, 0.4, 0.7, 0.45]],
  [1.6, [0.3, 0.55, 0.4, 0.7, 0.45]],
  [1.6, [0.35, 0.6, 0, 0.5, 1]],
  [1, [0.5, 1, 0.25, 0.75, 0]],
  // As good as solid and clear, within half a step of tone.
  [1.6, [0.999, 0.55, 0.4, 0.7, 0.001]],
])("is the mean of its prints' differences, each mixed place by place: n = %d, areas %j", (n, areas) => {
  // Two lattices of two plates and a plate by itself.
  const print = preparePrint(conditions(0.2, n), stationsAt(22.5, 52.5, 22.5, 52.5, 37.5));
  const bands = mixingBands(n);
  const colourOf = (roots: readonly number[]) => {
    const [x, y, z] = roots.map((v) => power(v, n));
    return labFromLinear(linearOfBands(bands, x, y, z));
  };
  const prints = Array.from({ length: PRINTS }, (_, draw) => {
    const roots = [0, 0, 0];
    sharesInCell(print, draw, areas).forEach((share, mask) => {
      for (let k = 0; k < 3; k++) roots[k] += share * print.table![3 * mask + k];
    });
    return roots;
  });
  const mean = colourOf([0, 1, 2].map((k) => prints.reduce((sum, roots) => sum + roots[k] / PRINTS, 0)));
  const wanted = prints.map(colourOf).map(({ L, a, b }) => deltaE00(mean.L, mean.a, mean.b, L, a, b));
  const toPrint = new PrintToPrint(print, n);
  expect(toPrint.look(areas)).toBeCloseTo(wanted.reduce((sum, off) => sum + off) / PRINTS, 6);
  for (const [draw, off] of wanted.entries()) expect(toPrint.changes[draw]).toBeCloseTo(off, 6);
  expect(Math.max(...wanted)).toBeGreaterThan(0.1);
});

it("is not told of more stations than are tabled", () => {
  const many = preparePrint(conditions(0.2), stationsAt(...Array(MOST_TABLED + 1).fill(22.5)));
  expect(() => new PrintToPrint(many, 1)).toThrow(`${MOST_TABLED + 1} printing stations are too many`);
});

/** MurmurHash3's finaliser (Appleby, published in the public domain), in whole numbers without end. */
function mixed(seed: bigint): number {
  const cut = (v: bigint) => v & 0xffffffffn;
  let h = seed;
  h = cut((h ^ (h >> 16n)) * 0x85ebca6bn);
  h = cut((h ^ (h >> 13n)) * 0xc2b2ae35n);
  return Number(h ^ (h >> 16n));
}

it("draws the same prints wherever they are looked at: those of MurmurHash3's finaliser", () => {
  // Its published test values: nothing hashed from the seeds 1 and 2³² − 1.
  expect([mixed(1n), mixed(0xffffffffn)]).toEqual([0x514e28b7, 0x81f16f39]);
  const uniform = (seed: number) => (mixed((BigInt(seed) * 0x9e3779b9n) & 0xffffffffn) + 1) / 2 ** 32;
  for (let station = 0; station < 5; station++)
    for (let draw = 0; draw < PRINTS; draw++) {
      const seed = 2 * (64 * draw + station) + 1;
      const [x, y] = registerDraw(station, draw);
      expect(x ** 2 + y ** 2).toBeCloseTo(-2 * Math.log(uniform(seed)), 9);
      expect(Math.cos(Math.atan2(y, x) - 2 * Math.PI * uniform(seed + 1))).toBeCloseTo(1, 9);
    }
});
