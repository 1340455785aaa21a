import { expect, it } from "vitest";
import { Diffusion } from "../../../server/engine/screen/diffusion.ts";
import { random } from "../../property.ts";

const GRAIN = 5;
const [ACROSS, DOWN] = [150, 120];
/** The last grains of a row are cut off. */
const WIDTH = ACROSS * GRAIN - 3;
const CURVE = Float64Array.from({ length: 256 }, (_, tone) => (tone / 255) ** 1.5);

/** Grains of a film, 1 = ink, each asked for by its first row; a row must be of whole grains. */
function grainsOf(diffusion: Diffusion, toneAt: (x: number, row: number) => number): number[][] {
  return Array.from({ length: DOWN }, (_, row) => {
    const { from, offset } = diffusion.row(row * GRAIN, (x) => toneAt(x, row));
    expect([from.length, offset]).toEqual([WIDTH, 0]);
    // Ink whatever the tone is, or none.
    expect(from.every((tone, x) => (tone <= 0 || tone > 255 * 128) && tone === from[x - (x % GRAIN)])).toBe(
      true,
    );
    return Array.from({ length: ACROSS }, (_, cell) => (from[cell * GRAIN]! <= 0 ? 1 : 0));
  });
}

it("hands on what each grain gives too much in Floyd and Steinberg's shares, about thresholds that vary evenly", () => {
  const next = random(3);
  const tones = Array.from({ length: DOWN }, () =>
    Float64Array.from({ length: WIDTH }, () => (next() < 0.1 ? 255 * Math.round(next()) : 255 * next())),
  );
  const grains = grainsOf(new Diffusion(GRAIN, CURVE, WIDTH, 2), (x, row) => tones[row]![x]!);
  const wanted = tones.map((row) =>
    Array.from({ length: ACROSS }, (_, cell) => {
      const middle = Math.min(cell * GRAIN + 2, WIDTH - 1);
      return CURVE[Math.round(row[middle]!)]!;
    }),
  );
  const flat = wanted.map((row) => row.map((tone) => tone === 0 || tone === 1));
  /** Of tenths of what was wanted, from 0.2 to 0.8: how often, and how often it became ink. */
  const tenths = Array.from({ length: 6 }, () => [0, 0]);
  for (let y = 0; y < DOWN; y++) {
    const ahead = y % 2 === 0 ? 1 : -1;
    for (let k = 0; k < ACROSS; k++) {
      const x = ahead === 1 ? k : ACROSS - 1 - k;
      const [tone, ink] = [wanted[y]![x]!, grains[y]![x]!];
      if (flat[y]![x] || tone < 0.2 - 1e-9 || tone > 0.8 + 1e-9) {
        if (ink !== (tone > 0.5 ? 1 : 0)) expect.fail(`${x}, ${y} wants ${tone} and has ${ink}`);
      } else {
        const tenth = tenths[Math.min(5, Math.max(0, Math.floor(10 * tone - 2)))]!;
        tenth[0]!++;
        tenth[1]! += ink;
      }
      if (flat[y]![x]) continue;
      for (const [dx, dy, part] of [
        [ahead, 0, 7],
        [-ahead, 1, 3],
        [0, 1, 5],
        [ahead, 1, 1],
      ] as const) {
        const [u, v] = [x + dx, y + dy];
        if (v < DOWN && u >= 0 && u < ACROSS && !flat[v]![u]) wanted[v]![u]! += ((tone - ink) * part) / 16;
      }
    }
  }
  // Thresholds lie anywhere from 0.2 to 0.8: in the first tenth a twelfth is ink, in the last all but a twelfth.
  for (const [i, [all, ink]] of tenths.entries())
    expect(Math.abs(ink! / all! - (2 * i + 1) / 12), `tenth ${i} of ${all}`).toBeLessThan(0.04);
});

it("asks for tones once a row of grains", () => {
  const diffusion = new Diffusion(GRAIN, CURVE, WIDTH, 0);
  const first = diffusion.row(GRAIN, () => 100);
  for (let y = GRAIN; y < 2 * GRAIN; y++) expect(diffusion.row(y, () => expect.fail())).toBe(first);
});
