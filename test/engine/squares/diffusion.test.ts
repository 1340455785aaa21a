import { expect, it } from "vitest";
import { type Lab, labFromLinear } from "../../../server/engine/colour/cielab.ts";
import { SquareDiffusion } from "../../../server/engine/squares/diffusion.ts";
import { Palette } from "../../../server/engine/squares/palette.ts";
import { random } from "../../property.ts";
import { LIGHTS } from "./inks.ts";

it("carries errors as a slow, obvious twin does, past what is clear and what is an ink's own colour", () => {
  const next = random(17);
  const [across, down] = [24, 20];
  const bands = LIGHTS.map(({ r, g, b }) => [r, g, b]);
  const cover = Array.from({ length: down }, () =>
    Array.from({ length: across }, () => (next() < 0.2 ? 0 : next() < 0.7 ? 1 : next())),
  );
  const light = cover.map((row) => row.map(() => (next() < 0.2 ? [...bands[2]!] : [next(), next(), next()])));
  const palette = new Palette(LIGHTS);
  const diffusion = new SquareDiffusion(palette, across);
  const found = light.map((row, y) => {
    const out = new Uint8Array(across).fill(77);
    diffusion.row({ light: Float64Array.from(row.flat()), cover: Float64Array.from(cover[y]!) }, y, out);
    return [...out];
  });

  const distances = (of: Lab) =>
    LIGHTS.map((other) => {
      const lab = labFromLinear(other);
      return Math.hypot(lab.L - of.L, lab.a - of.a, lab.b - of.b);
    });
  const errors = light.map((row) => row.map(() => [0, 0, 0]));
  const expected = light.map((row) => row.map(() => 0));
  for (let y = 0; y < down; y++) {
    const order = Array.from({ length: across }, (_, i) => (y % 2 === 0 ? i : across - 1 - i));
    const ahead = y % 2 === 0 ? 1 : -1;
    for (const x of order) {
      const covered = cover[y]![x]!;
      const [r, g, b] = light[y]![x]!;
      const own = distances(labFromLinear({ r: r!, g: g!, b: b! }));
      if (covered === 0) continue;
      if (covered === 1 && Math.min(...own) < 1) {
        expected[y]![x] = own.indexOf(Math.min(...own));
        continue;
      }
      const wanted = [r!, g!, b!].map((v, c) => {
        // The garment shows where it is not covered.
        const seen = covered * v + (1 - covered) * bands[0]![c]! + errors[y]![x]![c]!;
        const all = bands.map((ink) => ink[c]!);
        const half = (Math.max(...all) - Math.min(...all)) / 2;
        return Math.min(Math.max(...all) + half, Math.max(Math.min(...all) - half, seen));
      });
      const far = distances(labFromLinear({ r: wanted[0]!, g: wanted[1]!, b: wanted[2]! }));
      const k = far.indexOf(Math.min(...far));
      expected[y]![x] = k;
      for (const [dx, dy, part] of [
        [ahead, 0, 7],
        [-ahead, 1, 3],
        [0, 1, 5],
        [ahead, 1, 1],
      ] as const) {
        const to = errors[y + dy]?.[x + dx];
        if (to) for (let c = 0; c < 3; c++) to[c]! += ((wanted[c]! - bands[k]![c]!) * part) / 16;
      }
    }
  }
  expect(found).toEqual(expected);
});
