import { describe, expect, it } from "vitest";
import { SPOT_FUNCTIONS } from "../../../server/engine/screen/spot-functions.ts";
import { supercellFor } from "../../../server/engine/screen/supercell.ts";
import { thresholdTile, tileRow } from "../../../server/engine/screen/tile.ts";

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
