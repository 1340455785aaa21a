import { describe, expect, it } from "vitest";
import { AREAS, type DotScreen, dotWaves } from "../../../server/engine/press/dot-waves.ts";
import { rowMm } from "../../../server/engine/press/dots.ts";
import {
  coarsestMoire,
  isFaint,
  isVisible,
  PlateBeats,
  strongestBeat,
} from "../../../server/engine/press/moire.ts";
import { levelsOf, SIDE, STEPS } from "../../../server/engine/print/dot-overlap.ts";

const round = (rulingLpi: number, angle: number) => ({ rulingLpi, angle, dot: "round" }) as const;

describe("beats of mesh and dots, worked by hand", () => {
  it("of two gratings in one direction are the difference of their counts", () => {
    // Third harmonic of 60 lpi is 180: with 190/in that leaves 10 an inch, 2.54 mm.
    expect(coarsestMoire(190, round(60, 0)).periodMm).toBeCloseTo(2.54, 6);
    expect(coarsestMoire(190, round(60, 90)).periodMm).toBeCloseTo(2.54, 6);
    expect(coarsestMoire(180, round(60, 0)).periodMm).toBe(Number.POSITIVE_INFINITY);
  });

  it("of gratings at an angle are the distance of their wave vectors", () => {
    // 45 lpi at 22.5° and 112.5/in: (2, −1) dots lie at √5 · 45 = 100.6/in, 4.065° off the threads.
    const dots = Math.sqrt(5) * 45;
    const off = ((22.5 - (Math.atan2(1, 2) * 180) / Math.PI) * Math.PI) / 180;
    const difference = Math.sqrt(dots ** 2 + 112.5 ** 2 - 2 * dots * 112.5 * Math.cos(off));
    expect(coarsestMoire(112.5, round(45, 22.5)).periodMm).toBeCloseTo(25.4 / difference, 9);
  });

  it("of the weave's diagonal with the dots' fifth wave are too faint to be seen, and with the fourth are not", () => {
    // (5, 2) dots lie at √29 = 5.4 rulings, 21.8° off their rows: turned by 23.2° they lie on the diagonal, √2 · mesh.
    const faint = 45 - (Math.atan2(2, 5) * 180) / Math.PI;
    expect(coarsestMoire((45 * Math.sqrt(29)) / Math.SQRT2, round(45, faint)).periodMm).toBeLessThan(10);
    // (3, 2), √13 = 3.6 rulings, 33.69° off; the threads' own waves are far from any then.
    const falls = 45 - (Math.atan2(2, 3) * 180) / Math.PI;
    expect(coarsestMoire((45 * Math.sqrt(13)) / Math.SQRT2, round(45, falls)).periodMm).toBe(
      Number.POSITIVE_INFINITY,
    );
  });

  // Lines' waves run across them: those of lines at 0° fall on the threads that lie like them, at 45° on a diagonal.
  it.each([
    [0, 1, 1],
    [90, 1, 1],
    [45, Math.SQRT2, 2],
    [-45, Math.SQRT2, 2],
    [180, 1, 1],
  ])(
    "of lines at %d° fall in step with a mesh whose third they are, by the share that is open",
    (angle, rows, power) => {
      const { periodMm, strength } = coarsestMoire((3 * 45) / rows, { rulingLpi: 45, angle, dot: "line" });
      expect(periodMm).toBe(Number.POSITIVE_INFINITY);
      // The first and the sixth wave do too.
      for (const wave of [1, 6])
        expect(coarsestMoire((wave * 45) / rows, { rulingLpi: 45, angle, dot: "line" }).periodMm).toBe(
          Number.POSITIVE_INFINITY,
        );
      // Twice the lines' third wave at their worst area, 1 / 3 π, times sinc of openings of 0.6 of the pitch, or its square.
      expect(strength).toBeCloseTo((2 / (3 * Math.PI)) * 0.5046 ** power, 2);
    },
  );

  it("of a mesh much finer than all waves of the dots are as short as what is between them", () => {
    // The waves of 25 lpi end at 6 √2 · 25 = 212/in.
    const { periodMm } = coarsestMoire(1000, round(25, 22.5));
    expect(periodMm).toBeGreaterThan(25.4 / 1000);
    expect(periodMm).toBeLessThan(25.4 / (1000 - 213));
  });

  it("of threads are kept up to the dots' high harmonics: 55 lpi at 45° on 305/in", () => {
    // (4, 4) dots lie at 4 √2 · 55 = 311.1/in along the threads: 6.1 an inch are left.
    const beat = coarsestMoire(305, round(55, 45));
    expect(beat.periodMm).toBeCloseTo(25.4 / (4 * Math.SQRT2 * 55 - 305), 6);
    expect(beat.periodMm).toBeCloseTo(4.146, 3);
    expect(beat.strength).toBeGreaterThan(0.01);
    expect(isVisible(beat, 55)).toBe(true);
  });

  it("are the slowest that is seen of all waves of mesh and dots, each with each", () => {
    for (const [mesh, lpi, angle] of [
      [190, 60, 0],
      [230, 55, 7.5],
      [156, 45, 22.5],
      [305, 65, 37],
      [110, 25, 61],
      [355, 68, 12.5],
    ] as const) {
      const turn = (angle * Math.PI) / 180;
      let least = Number.POSITIVE_INFINITY;
      for (const [threadsX, threadsY] of [
        [1, 0],
        [0, 1],
        [1, 1],
        [1, -1],
        [-1, 0],
        [0, -1],
        [-1, -1],
        [-1, 1],
      ] as const)
        for (let i = -6; i <= 6; i++)
          for (let j = -6; j <= 6; j++) {
            const length = Math.hypot(i, j);
            // Twice the dots' wave, times the share of the threads' (sinc of openings of 0.6 of the pitch), is 1 % at least.
            const threads = 0.5046 ** (threadsX * threadsY === 0 ? 1 : 2);
            if (length === 0 || 2 * dotWaves("round").most(i, j) * threads < 0.01) continue;
            const at = Math.atan2(j, i) + turn;
            const [x, y] = [length * lpi * Math.cos(at), length * lpi * Math.sin(at)];
            // A faint beat counts as one of half its period.
            const faint = 2 * dotWaves("round").most(i, j) * threads < 0.02 ? 2 : 1;
            least = Math.min(least, faint * Math.hypot(x - threadsX * mesh, y - threadsY * mesh));
          }
      const { periodMm, strength } = coarsestMoire(mesh, round(lpi, angle));
      expect(strength < 0.02 ? periodMm / 2 : periodMm).toBeCloseTo(25.4 / least, 6);
    }
  });

  it("are seen where they span more than 3.3 rows, faint ones of less than 2 % of tone over twice as many", () => {
    for (const [strength, rows] of [
      [0.03, 3.3],
      [0.02, 3.3],
      [0.015, 6.6],
    ] as const) {
      expect(isVisible({ periodMm: rows * rowMm(45), strength }, 45)).toBe(false);
      expect(isVisible({ periodMm: (rows + 0.01) * rowMm(45), strength }, 45)).toBe(true);
    }
  });

  it("repeat with every quarter turn, and mirrored", () => {
    for (const angle of [3, 7.5, 22.5, 37]) {
      const { periodMm } = coarsestMoire(230, round(55, angle));
      for (const same of [angle + 90, -angle, 180 + angle])
        expect(coarsestMoire(230, round(55, same)).periodMm).toBeCloseTo(periodMm, 6);
    }
  });
});

describe("beats of two plates", () => {
  const worst = (lpi: number, angle: number, lpi2: number, angle2: number, withinMm = 300) =>
    new PlateBeats(round(lpi, angle), round(lpi2, angle2), withinMm).worst;

  it("have the period p₁ p₂ / √(p₁² + p₂² − 2 p₁ p₂ cos Δ): 45 lpi at 22.5° and 25° beat every 12.9 mm", () => {
    const p = 25.4 / 45;
    const q = 25.4 / 48;
    expect(worst(45, 22.5, 45, 25).periodMm).toBeCloseTo(p / (2 * Math.sin((1.25 * Math.PI) / 180)), 6);
    expect(worst(45, 22.5, 45, 25).periodMm).toBeCloseTo(12.94, 2);
    const turned = (p * q) / Math.sqrt(p * p + q * q - 2 * p * q * Math.cos((4 * Math.PI) / 180));
    expect(worst(45, 22.5, 48, 26.5).periodMm).toBeCloseTo(turned, 6);
    expect(worst(45, 10, 48, 10).periodMm).toBeCloseTo(25.4 / 3, 6);
  });

  it("fall in step at equal angles, and over prints much smaller than they are", () => {
    expect(isFaint(worst(45, 22.5, 45, 22.5))).toBe(true);
    expect(isFaint(worst(45, 22.5, 45, 112.5))).toBe(true);
    expect(isFaint(worst(45, 22.5, 45, 22.6))).toBe(false);
    expect(isFaint(worst(45, 22.5, 45, 22.6, 30))).toBe(true);
    // 3 of an inch beat every 8.47 mm: of that a print of 2.2 mm has a quarter, and one of 2 mm less.
    expect(worst(45, 10, 48, 10, 2.2).periodMm).toBeCloseTo(25.4 / 3, 6);
    expect(worst(45, 10, 48, 10, 2).periodMm).not.toBeCloseTo(25.4 / 3, 1);
  });

  it("are too short to be seen from 20° on, and strong at 15°", () => {
    for (const apart of [20, 22.5, 30, 45]) expect(isFaint(worst(45, 22.5, 45, 22.5 + apart))).toBe(true);
    expect(worst(45, 22.5, 45, 37.5).strength).toBeGreaterThan(0.1);
  });

  it("move the area that both print as rasterised dots do", () => {
    const { strength } = new PlateBeats(round(45, 22.5), round(45, 23.5), 300).of(7, 7);
    const level = (7.5 / 16) * STEPS;
    const levels = levelsOf("round");
    // With a plate off by dx, and by every dy in turn, two columns share the product of what is ink in them.
    const columns = Array.from(
      { length: SIDE },
      (_, x) => levels.filter((here, at) => at % SIDE === x && here < level).length / SIDE,
    );
    let wave = 0;
    for (let dx = 0; dx < SIDE; dx++)
      for (let x = 0; x < SIDE; x++)
        wave += (columns[x] * columns[(x + dx) % SIDE] * Math.cos((2 * Math.PI * dx) / SIDE)) / SIDE ** 2;
    // Up and down by twice the wave along rows, and as much across them.
    expect(strength).toBeCloseTo(4 * wave, 6);
  });

  /** Every wave of one with every wave of the other, one of each two that are opposite. */
  function slowly(a: DotScreen, b: DotScreen, withinMm: number, partA: number, partB: number) {
    const wavesOf = ({ rulingLpi, angle, dot }: DotScreen, part: number) =>
      Array.from({ length: 169 }, (_, k) => [(k % 13) - 6, Math.floor(k / 13) - 6] as const)
        .filter(([i, j]) => (i !== 0 || j !== 0) && dotWaves(dot).most(i, j) >= 0.02)
        .map(([i, j]) => {
          const turn = Math.atan2(j, i) + (angle * Math.PI) / 180;
          const lines = rulingLpi * Math.hypot(i, j);
          return {
            i,
            j,
            x: lines * Math.cos(turn),
            y: lines * Math.sin(turn),
            a: dotWaves(dot).at(i, j, part),
          };
        });
    const beats = wavesOf(a, partA)
      .filter(({ i, j }) => i > 0 || (i === 0 && j > 0))
      .flatMap((p) =>
        wavesOf(b, partB).map((q) => ({
          periodMm: 25.4 / Math.hypot(p.x - q.x, p.y - q.y),
          strength: 2 * p.a * q.a,
        })),
      )
      .filter(({ periodMm }) => periodMm <= 4 * withinMm)
      .filter(({ periodMm }) => periodMm > (3.3 * 25.4) / Math.min(a.rulingLpi, b.rulingLpi))
      .filter(({ strength }) => strength >= 0.01);
    const most = Math.max(0, ...beats.map(({ strength }) => strength));
    const alike = beats.filter(({ strength }) => strength > 0.99 * most);
    return {
      strength: beats.reduce((sum, { strength }) => sum + strength, 0),
      periodMm:
        alike.length === 0 ? Number.POSITIVE_INFINITY : Math.max(...alike.map(({ periodMm }) => periodMm)),
    };
  }

  it.each([
    [round(45, 22.5), round(45, 25), 300],
    [round(45, 22.5), round(55, 37.5), 300],
    [round(45, 10), { rulingLpi: 48, angle: 10, dot: "line" }, 300],
    [{ rulingLpi: 35, angle: 0, dot: "ellipse" }, { rulingLpi: 35.2, angle: 1, dot: "ellipse" }, 10],
    [round(30, 7), round(60, 8), 100],
    // The fourth wave of one beats with the third of the other, weaker and slower than their first.
    [{ rulingLpi: 45, angle: 10, dot: "line" }, { rulingLpi: 58, angle: 10, dot: "line" }, 300],
  ] as const)("are those of all their waves, added up: %j and %j over %d mm", (a, b, withinMm) => {
    const beats = new PlateBeats(a, b, withinMm);
    let worst = 0;
    for (let p = 0; p < AREAS; p++)
      for (let q = 0; q < AREAS; q++) {
        worst = Math.max(worst, beats.of(p, q).strength);
        if (p % 5 > 0 || q % 7 > 0) continue;
        const wanted = slowly(a, b, withinMm, p, q);
        expect(beats.of(p, q).strength).toBeCloseTo(wanted.strength, 9);
        expect(beats.of(p, q).periodMm, `${p}, ${q}`).toBeCloseTo(wanted.periodMm, 6);
      }
    expect(beats.worst.strength).toBe(worst);
    expect(strongestBeat(a, b, withinMm)).toEqual(beats.worst);
  });

  it("are none where nothing beats", () => {
    const nothing = { periodMm: Number.POSITIVE_INFINITY, strength: 0 };
    expect(worst(45, 22.5, 45, 52.5)).toEqual(nothing);
    expect(isFaint(nothing)).toBe(true);
    expect([isFaint({ periodMm: 9, strength: 0.0099 }), isFaint({ periodMm: 9, strength: 0.01 })]).toEqual([
      true,
      false,
    ]);
  });
});
