import { describe, expect, it } from "vitest";
import { AREAS, dotWaves } from "../../server/engine/press/dot-waves.ts";
import { rowMm, toneOfMeshPitch, toneSteps } from "../../server/engine/press/dots.ts";
import { inkVolume, openArea } from "../../server/engine/press/mesh.ts";
import { coarsestMoire, isFaint, isVisible, PlateBeats } from "../../server/engine/press/moire.ts";
import { levelsOf, SIDE, STEPS } from "../../server/engine/print/dot-overlap.ts";
import { volumeOf } from "../../server/render/ink-needs.ts";

/** A mesh maker's table, 225 threads/in: d, w in µm; open area in %; thickness in µm; ink volume in cm³/m². */
const MESH_TABLE = [
  [40, 73, 42, 59, 25],
  [48, 65, 33, 72, 24],
  [54, 59, 27, 84, 23],
] as const;

const round = (rulingLpi: number, angle: number) => ({ rulingLpi, angle, dot: "round" }) as const;

describe("meshes, as in a mesh maker's table", () => {
  it.each(MESH_TABLE)("thread %i µm, opening %i µm: %i % open", (d, w, open) => {
    expect(Math.round(openArea({ opening: w / 1000, thread: d / 1000 }) * 100)).toBe(open);
  });

  it.each(MESH_TABLE)(
    "thread %i µm, opening %i µm: the ink volume, to its rounding",
    (d, w, _, thickness, volume) => {
      const mesh = { opening: w / 1000, thread: d / 1000, thickness: thickness / 1000 };
      expect(Math.round(inkVolume(mesh))).toBe(volume);
      // An eighth open, 80 µm thick: 10 cm³.
      expect(inkVolume({ opening: 1, thread: Math.sqrt(8) - 1, thickness: 0.08 })).toBeCloseTo(10, 9);
      const named = {
        count: 225,
        openingMm: mesh.opening,
        threadMm: mesh.thread,
        thicknessMm: mesh.thickness,
      };
      expect(volumeOf(named)).toBe(inkVolume(mesh));
      expect(volumeOf({ ...named, thicknessMm: undefined })).toBeUndefined();
    },
  );
});

describe("halftone cells, by the arithmetic of the PostScript Language Reference", () => {
  it("have (dpi ÷ lpi)² + 1 tones", () => {
    // 300 dpi and 60 lpi at 45°: cells of 4, 4 give 33 levels at 53 lpi; the undivided figure is 26.
    expect(toneSteps(300, 300 / Math.hypot(4, 4))).toBe(33);
    expect(toneSteps(300, 60)).toBe(26);
    expect(toneSteps(1200, 45)).toBe(712);
  });

  it("stand in rows an inch over their ruling apart", () => {
    expect(rowMm(45)).toBeCloseTo(0.5644, 4);
    expect(rowMm(25.4)).toBe(1);
  });

  it("hold a round dot as wide as the mesh's pitch at π/4 of the squared ratio", () => {
    // A dot of 113 µm on a pitch of 564 µm: π/4 · 0.04.
    expect(toneOfMeshPitch(225, 45)).toBeCloseTo(Math.PI / 100, 12);
    expect(toneOfMeshPitch(90, 45)).toBeCloseTo(0.19635, 5);
    expect(toneOfMeshPitch(10, 45)).toBe(1);
  });
});

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

  it("are not seen at the ratios and the angle that mesh makers call safe", () => {
    for (const ratio of [2.5, 3.75, 5])
      for (const lpi of [35, 45, 55, 65])
        expect(isVisible(coarsestMoire(lpi * ratio, round(lpi, 22.5)), lpi)).toBe(false);
  });

  it("are seen where mesh makers see a risk: at 0° and 90°, and at 45° on the weave's diagonal", () => {
    for (const ratio of [3, 4, 5]) expect(isVisible(coarsestMoire(45 * ratio, round(45, 0)), 45)).toBe(true);
    for (const ratio of [3, 4, 5])
      expect(isVisible(coarsestMoire(45 * ratio * 1.01, round(45, 90)), 45)).toBe(true);
    expect(isVisible(coarsestMoire(45 * Math.sqrt(8), round(45, 45)), 45)).toBe(true);
  });
});

describe("a dot's waves", () => {
  it("are those of a disc: J1(2π r k) r / k", () => {
    // A disc of the middle of part 4: area 4.5 / 16; J1 by its integral (Abramowitz & Stegun 9.1.20).
    const J1 = (x: number) => {
      let sum = 0;
      for (let i = 0; i < 2000; i++) {
        const t = ((i + 0.5) / 2000) * Math.PI;
        sum += Math.cos(t - x * Math.sin(t)) / 2000;
      }
      return sum;
    };
    const radius = Math.sqrt(4.5 / AREAS / Math.PI);
    for (const [i, j] of [
      [1, 0],
      [0, -1],
      [1, 1],
      [2, -1],
      [3, 0],
    ] as const) {
      const k = Math.hypot(i, j);
      const disc = Math.abs((radius * J1(2 * Math.PI * radius * k)) / k);
      expect(dotWaves("SimpleDot").at(i, j, 4)).toBeCloseTo(disc, 2);
    }
  });

  it("of lines run across them: sin(π a) / π", () => {
    expect(dotWaves("line").at(0, 1, 7)).toBeCloseTo(Math.sin((Math.PI * 7.5) / 16) / Math.PI, 2);
    expect(dotWaves("line").at(1, 0, 7)).toBeLessThan(0.01);
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
  });

  it("are too short to be seen from 20° on, and strong at 15°", () => {
    for (const apart of [20, 22.5, 30, 45]) expect(isFaint(worst(45, 22.5, 45, 22.5 + apart))).toBe(true);
    expect(worst(45, 22.5, 45, 37.5).strength).toBeGreaterThan(0.1);
  });

  it("move the area that both print as rasterised dots do", () => {
    const { strength } = new PlateBeats(round(45, 22.5), round(45, 23.5), 300).of(7, 7);
    const level = (7.5 / 16) * STEPS;
    const levels = levelsOf("round");
    let wave = 0;
    for (let dy = 0; dy < SIDE; dy++)
      for (let dx = 0; dx < SIDE; dx++) {
        let both = 0;
        for (let y = 0; y < SIDE; y++)
          for (let x = 0; x < SIDE; x++)
            if (
              levels[y * SIDE + x]! < level &&
              levels[((y + dy) % SIDE) * SIDE + ((x + dx) % SIDE)]! < level
            )
              both++;
        wave += ((both / SIDE ** 2) * Math.cos((2 * Math.PI * dx) / SIDE)) / SIDE ** 2;
      }
    // Up and down by twice the wave along rows, and as much across them.
    expect(strength).toBeCloseTo(4 * wave, 6);
  });
});
