import { expect, it } from "vitest";
import { type DotLattice, dotLattices } from "../../../server/engine/print/dot-lattices.ts";
import { demichel } from "../../../server/engine/print/halftone.ts";
import { eachRing, NestedMixer } from "../../../server/engine/print/nesting.ts";
import { random } from "../../property.ts";
import { draws, filmOfPlate, overprintShares } from "./rasterised.ts";

const SCREEN = { method: "am", rulingLpi: 45, angle: 22.5, dot: "round" } as const;

const lattices = (angles: readonly number[], misregistrationMm: number) =>
  dotLattices(
    angles.map((angle) => ({ method: "am", rulingLpi: 45, angle, dot: "round" })),
    misregistrationMm,
  );

function weights(areas: readonly number[], angles: readonly number[], register: number): number[] {
  const sum = new Float64Array(2 ** areas.length);
  eachRing(areas, lattices(angles, register), (weight, within) => {
    for (const [mask, share] of demichel(within).entries()) sum[mask] += weight * share;
  });
  return [...sum];
}

it("gives a 40 % dot all of itself within a 60 % one in perfect register, less in any other, and 24 % by chance", () => {
  const both = (register: number) => weights([0.4, 0.6], [22.5, 22.5], register)[3];
  expect(both(0)).toBeCloseTo(0.4, 9);
  const films = [102, 153].map((tone) =>
    filmOfPlate(Uint8Array.of(tone), 1, 1, SCREEN, { width: 440, height: 440 }),
  );
  const part = { x: 60, y: 60, width: 320, height: 320 };
  for (const [register, expected] of [
    [0.1, 0.375],
    [0.2, 0.34],
  ] as const) {
    const seen = overprintShares(films, draws(2, 400, register, 11), part)[3];
    expect(Math.abs(seen - expected)).toBeLessThan(0.01);
    expect(Math.abs(both(register) - seen)).toBeLessThan(0.01);
  }
  expect(both(1)).toBeCloseTo(0.24, 9);
  expect(weights([0.4, 0.6], [22.5, 52.5], 0)[3]).toBeCloseTo(0.24, 9);
});

it("keeps every plate's area, and covers the ground once", () => {
  const next = random(3);
  for (let i = 0; i < 60; i++) {
    const areas = Array.from({ length: 5 }, () => (next() < 0.2 ? Math.round(next()) : next()));
    const sum = weights(areas, [22.5, 52.5, 22.5, 52.5, 22.5], 0.05 * (i % 5));
    expect(sum.reduce((all, share) => all + share)).toBeCloseTo(1, 4);
    for (const [s, area] of areas.entries()) {
      const own = sum.reduce((all, share, mask) => (mask & (1 << s) ? all + share : all), 0);
      expect(Math.abs(own - area)).toBeLessThan(0.0025);
    }
  }
});

it("changes nothing for a halftone alone on its lattice", () => {
  expect(weights([0.3, 1, 0], [22.5, 22.5, 22.5], 0.1)).toEqual([...demichel([0.3, 1, 0])]);
});

/** Where each plate's dot of a lattice lies in each ring, without a thought for speed: its share of that ring. */
function ringsOf({ stations, overlap }: DotLattice, areas: readonly number[]) {
  const halftones = stations.filter((s) => areas[s] > 0 && areas[s] < 1);
  const ends = [...new Set([0, ...halftones.map((s) => areas[s]), 1])].sort((a, b) => a - b);
  return ends.slice(1).map((high, k) => {
    const low = ends[k];
    const within = (s: number, until: number) => (until === 1 ? areas[s] : overlap.at(areas[s], until));
    const share = (s: number) => (within(s, high) - within(s, low)) / (high - low);
    return { weight: high - low, shares: new Map(halftones.map((s) => [s, share(s)])) };
  });
}

it.each([
  ["two lattices and a plate alone", [22.5, 52.5, 22.5, 52.5, 22.5, 37.5]],
  ["one lattice", [22.5, 22.5, 22.5, 22.5]],
  ["no lattice", [22.5, 52.5, 82.5]],
])("mixes tabled overprints ring by ring, of %s", (_, angles) => {
  const next = random(17);
  const found = lattices(angles, 0.1);
  const table = Float32Array.from({ length: 3 * 2 ** angles.length }, next);
  const mixer = new NestedMixer(table, angles.length, found);
  for (let i = 0; i < 80; i++) {
    // Plates of one tone, clear and solid ones among them.
    const areas = angles.map(() => (next() < 0.3 ? [0, 1, 0.4][Math.floor(3 * next())] : next()));
    let rings = [{ weight: 1, areas }];
    for (const lattice of found)
      rings = rings.flatMap((ring) =>
        ringsOf(lattice, areas).map(({ weight, shares }) => ({
          weight: ring.weight * weight,
          areas: ring.areas.map((a, s) => shares.get(s) ?? a),
        })),
      );
    const wanted = [0, 0, 0];
    for (const ring of rings)
      for (const [mask, share] of demichel(ring.areas).entries())
        for (let k = 0; k < 3; k++) wanted[k] += ring.weight * share * table[3 * mask + k];
    mixer.mix(Float64Array.from(areas));
    // Parts of a ring under a ten-thousandth are left out.
    for (let k = 0; k < 3; k++) expect(Math.abs(mixer.mixed[k] - wanted[k])).toBeLessThan(5e-4);
  }
});
