import { describe, expect, it } from "vitest";
import { rowMm, toneOfMeshPitch, toneSteps } from "../../server/engine/press/dots.ts";
import { inkVolume, openArea } from "../../server/engine/press/mesh.ts";
import { coarsestMoire, isVisible } from "../../server/engine/press/moire.ts";
import { volumeOf } from "../../server/render/ink-needs.ts";

/** A mesh maker's table, 225 threads/in: d, w in µm; open area in %; thickness in µm; ink volume in cm³/m². */
const MESH_TABLE = [
  [40, 73, 42, 59, 25],
  [48, 65, 33, 72, 24],
  [54, 59, 27, 84, 23],
] as const;

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
    expect(coarsestMoire(190, 60, 0).periodMm).toBeCloseTo(2.54, 6);
    expect(coarsestMoire(190, 60, 90).periodMm).toBeCloseTo(2.54, 6);
    expect(coarsestMoire(180, 60, 0).periodMm).toBe(Number.POSITIVE_INFINITY);
  });

  it("of gratings at an angle are the distance of their wave vectors", () => {
    // 45 lpi at 22.5° and 112.5/in: (2, −1) dots lie at √5 · 45 = 100.6/in, 4.065° off the threads.
    const dots = Math.sqrt(5) * 45;
    const off = ((22.5 - (Math.atan2(1, 2) * 180) / Math.PI) * Math.PI) / 180;
    const difference = Math.sqrt(dots ** 2 + 112.5 ** 2 - 2 * dots * 112.5 * Math.cos(off));
    expect(coarsestMoire(112.5, 45, 22.5).periodMm).toBeCloseTo(25.4 / difference, 9);
  });

  it("of the weave's diagonal with the fifth harmonic are too weak to be seen, and with the fourth are not", () => {
    // (4, 3) dots lie at 5 · 45/in, 36.87° off their rows: turned by 8.13° they lie on the diagonal, √2 · mesh.
    const onDiagonal = 45 - (Math.atan2(3, 4) * 180) / Math.PI;
    expect(coarsestMoire((45 * 5) / Math.SQRT2, 45, onDiagonal).periodMm).toBeLessThan(10);
    // (3, 2), √13 = 3.6 rulings, 33.69° off; the threads' own waves are far from any then.
    const falls = 45 - (Math.atan2(2, 3) * 180) / Math.PI;
    expect(coarsestMoire((45 * Math.sqrt(13)) / Math.SQRT2, 45, falls).periodMm).toBe(
      Number.POSITIVE_INFINITY,
    );
  });

  it("are the slowest of all waves of mesh and dots, each with each", () => {
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
        for (let i = -9; i <= 9; i++)
          for (let j = -9; j <= 9; j++) {
            const length = Math.hypot(i, j);
            if (length === 0 || length > (threadsX * threadsY === 0 ? 5.2 : 4)) continue;
            const at = Math.atan2(j, i) + turn;
            const [x, y] = [length * lpi * Math.cos(at), length * lpi * Math.sin(at)];
            least = Math.min(least, Math.hypot(x - threadsX * mesh, y - threadsY * mesh));
          }
      expect(coarsestMoire(mesh, lpi, angle).periodMm).toBeCloseTo(25.4 / least, 6);
    }
  });

  it("are seen where they span more than 3.3 rows", () => {
    expect(isVisible({ periodMm: 3.3 * rowMm(45) }, 45)).toBe(false);
    expect(isVisible({ periodMm: 3.31 * rowMm(45) }, 45)).toBe(true);
  });

  it("repeat with every quarter turn, and mirrored", () => {
    for (const angle of [3, 7.5, 22.5, 37]) {
      const { periodMm } = coarsestMoire(230, 55, angle);
      for (const same of [angle + 90, -angle, 180 + angle])
        expect(coarsestMoire(230, 55, same).periodMm).toBeCloseTo(periodMm, 6);
    }
  });

  it("are not seen at the ratios and the angle that mesh makers call safe", () => {
    for (const ratio of [2.5, 3.75, 5])
      for (const lpi of [35, 45, 55, 65])
        expect(isVisible(coarsestMoire(lpi * ratio, lpi, 22.5), lpi)).toBe(false);
  });

  it("are seen where mesh makers see a risk: at 0° and 90°, and at 45° on the weave's diagonal", () => {
    for (const ratio of [3, 4, 5]) expect(isVisible(coarsestMoire(45 * ratio, 45, 0), 45)).toBe(true);
    for (const ratio of [3, 4, 5]) expect(isVisible(coarsestMoire(45 * ratio * 1.01, 45, 90), 45)).toBe(true);
    expect(isVisible(coarsestMoire(45 * Math.sqrt(8), 45, 45), 45)).toBe(true);
  });
});
