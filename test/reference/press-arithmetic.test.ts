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

describe("beats of mesh and dots", () => {
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
