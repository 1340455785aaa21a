import { expect, it } from "vitest";
import { knockOut } from "../../../server/engine/knockout.ts";
import { mergePlates } from "../../../server/engine/merge.ts";
import { Forward } from "../../../server/engine/solve/forward.ts";
import type { SolvePlan } from "../../../server/engine/solve/plan.ts";
import { random } from "../../property.ts";
import { allSolved, nested, SHELF } from "./prints.ts";

/** Seven stations: 0 is knocked out by 6 and by hand-made 3, 2 carries hand-made 7, 4 and 5 are made by hand. */
const MIXED: SolvePlan = {
  ...allSolved(),
  plates: 8,
  solved: [0, 1, 2, 6],
  sources: [[], [], [7], [], [], [], [], []],
  stations: allSolved().stations.map((station) =>
    station.plate === 0
      ? {
          ...station,
          knockedOutBy: [
            { plate: 3, above: 0 },
            { plate: 6, above: 0 },
          ],
        }
      : station,
  ),
};

it("sees what the stages make of the tones: merges and knockouts, of solved and of hand-made plates", () => {
  const next = random(5);
  const forward = new Forward(MIXED);
  for (let i = 0; i < 60; i++) {
    const bytes = Array.from({ length: 8 }, () =>
      Uint8Array.of(next() < 0.3 ? 0 : next() < 0.3 ? 255 : next() * 256),
    );
    const hand = Float64Array.from(bytes, ([byte]) => byte / 255);
    forward.set(hand);
    forward.at(Float64Array.from(MIXED.solved, (p) => hand[p]));

    const printed = bytes.slice(0, 7).map((tones) => tones.slice());
    mergePlates(bytes[2], [bytes[7]], printed[2]);
    knockOut(bytes[0], [bytes[3], bytes[6]], printed[0]);
    const full = forward.print.colour(printed.map(([byte]) => byte / 255));
    // The stages round to bytes, the solver does not.
    [full.r, full.g, full.b].forEach(
      (v, band) => void expect(Math.abs(forward.bands[band] - v)).toBeLessThan(0.004),
    );
  }
});

it.each([
  ["all solved", allSolved()],
  ["with plates made by hand", MIXED],
  [
    "with gain",
    {
      ...MIXED,
      conditions: { ...MIXED.conditions, compensated: false },
      stations: MIXED.stations.map((s) => ({
        ...s,
        gain: {
          tones: [
            [0, 0],
            [0.5, 0.68],
            [1, 1],
          ] as const,
        },
      })),
    },
  ],
  [
    "with a knockout above a tone",
    {
      ...MIXED,
      stations: MIXED.stations.map((station) =>
        station.plate === 0 ? { ...station, knockedOutBy: [{ plate: 6, above: 0.4 }] } : station,
      ),
    },
  ],
  ["with light spreading", { ...MIXED, conditions: { ...MIXED.conditions, n: 1.7 } }],
] as const)("has the slopes that small steps show, %s", (_, plan) => {
  const next = random(6);
  const forward = new Forward(plan);
  for (let i = 0; i < 30; i++) {
    forward.set(Float64Array.from({ length: plan.plates }, next));
    // In the middle of a byte's step, where the tone table has one slope.
    const tones = Float64Array.from(plan.solved, () => (Math.floor(next() * 255) + 0.5) / 255);
    forward.slopes(tones);
    const slopes = forward.slope.slice();
    plan.solved.forEach((__, j) => {
      const h = 2e-4;
      const [up, down] = [h, -h].map((step) => {
        forward.at(tones.with(j, tones[j] + step));
        return forward.bands.slice();
      });
      for (let band = 0; band < 3; band++) {
        expect(Math.abs((up[band] - down[band]) / (2 * h) - slopes[3 * j + band])).toBeLessThan(0.01);
      }
    });
  }
});

it.each([
  ["all solved", nested(allSolved())],
  ["with plates made by hand", nested(MIXED)],
  ["in poor register", nested(allSolved(), 0.3)],
] as const)("has the slopes that steps of a tone show where dots nest, %s", (_, plan) => {
  const next = random(8);
  const forward = new Forward(plan);
  const off: number[] = [];
  for (let i = 0; i < 30; i++) {
    forward.set(Float64Array.from({ length: plan.plates }, next));
    const tones = Float64Array.from(plan.solved, () => (next() < 0.4 ? Math.round(next()) : next()));
    forward.slopes(tones);
    const slopes = forward.slope.slice();
    plan.solved.forEach((__, j) => {
      const h = 1 / 128;
      const [up, down] = [h, -h].map((step) => {
        const to = Math.min(1, Math.max(0, tones[j] + step));
        forward.at(tones.with(j, to));
        return { to, bands: forward.bands.slice() };
      });
      for (let band = 0; band < 3; band++) {
        const slope = (up.bands[band] - down.bands[band]) / (up.to - down.to);
        off.push(Math.abs(slope - slopes[3 * j + band]));
      }
    });
  }
  // Dots that grow past one another bend the way: one side's slope is not the other's.
  off.sort((a, b) => a - b);
  expect(off[Math.floor(off.length * 0.95)]).toBeLessThan(0.03);
});

it("is the print in full where dots nest, with plates made by hand among them", () => {
  const next = random(9);
  const plan = nested({ ...MIXED, sources: MIXED.sources.map(() => []), stations: allSolved().stations });
  const forward = new Forward(plan);
  for (let i = 0; i < 60; i++) {
    const tones = Float64Array.from({ length: 8 }, () => (next() < 0.4 ? Math.round(next()) : next()));
    forward.set(tones);
    forward.at(Float64Array.from(plan.solved, (p) => tones[p]));
    const full = forward.print.colour(tones.slice(0, 7));
    [full.r, full.g, full.b].forEach(
      (v, band) => void expect(Math.abs(forward.bands[band] - v)).toBeLessThan(0.002),
    );
  }
});

it("is the print in full where the dots of two alone nest, and with gain at every tone of a byte", () => {
  const two = nested(allSolved(SHELF.slice(0, 2)));
  const gain = {
    tones: [
      [0, 0],
      [0.5, 0.7],
      [1, 1],
    ] as const,
  };
  const grown: SolvePlan = {
    ...two,
    conditions: { ...two.conditions, compensated: false },
    stations: two.stations.map((station) => ({ ...station, gain })),
  };
  for (const plan of [two, grown]) {
    const forward = new Forward(plan);
    for (let byte = 0; byte <= 255; byte += 5) {
      const bytes = [byte, (byte * 3) % 256];
      forward.at(Float64Array.from(bytes, (v) => v / 255));
      const { r, g, b } = forward.print.colour(bytes.map((v, s) => forward.print.areas[s][v]));
      [r, g, b].forEach((v, band) => void expect(Math.abs(forward.bands[band] - v)).toBeLessThan(0.002));
    }
  }
});

it("counts wet ink between flashes, as it prints", () => {
  const forward = new Forward(MIXED);
  forward.set(Float64Array.of(0, 0, 0, 0.5, 1, 0.25, 0, 0.5));
  const wet = new Float64Array(2);
  forward.wetInk(Float64Array.of(0.8, 0.1, 0.5, 0.5), wet);
  expect(wet[0]).toBeCloseTo(0.8 * 0.5 * 0.5, 9);
  expect(wet[1]).toBeCloseTo(0.1 + (1 - 0.5 * 0.5) + 0.5 + 1 + 0.25 + 0.5, 9);
});

it("refuses more stations than can be tabled", () => {
  const many = [...SHELF, ...SHELF, ...SHELF];
  expect(() => new Forward(allSolved(many))).toThrow("21 printing stations are too many to solve for");
});
