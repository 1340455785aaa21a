import { expect, it } from "vitest";
import { labFromBytes } from "../../../server/engine/colour/cielab.ts";
import { preparePrint, type Station } from "../../../server/engine/print/model.ts";
import { PRINTS, PrintToPrint, registerDraw } from "../../../server/engine/print/steadiness.ts";
import { random } from "../../property.ts";
import { colourOfShares, difference, draws, filmOfPlate, overprintShares } from "./rasterised.ts";

const WHITE = labFromBytes(245, 245, 242);
const conditions = (misregistrationMm: number) => ({
  garment: WHITE,
  n: 1,
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
  for (let i = 0; i < 60; i++) {
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
