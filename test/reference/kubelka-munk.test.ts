import { describe, expect, it } from "vitest";
import {
  layer,
  layerFromReadings,
  layerOfScattering,
  over,
  thick,
} from "../../server/engine/print/kubelka-munk.ts";
import { random } from "../property.ts";

// Kubelka, JOSA 38 (1948) 448. Computed from the published formula; each row agrees with the differential equation
// integrated step by step. K, S, X, ground, R on it, R over black, transmittance, R of a thick layer.
const ROWS = [
  [0.1, 1, 1, 0, 0.4610336233, 0.4610336233, 0.4452842133, 0.6417424305],
  [0.1, 1, 1, 1, 0.8289193378, 0.4610336233, 0.4452842133, 0.6417424305],
  [0.1, 1, 1, 0.8, 0.7123472869, 0.4610336233, 0.4452842133, 0.6417424305],
  [0.5, 2, 1, 0.05, 0.4825657066, 0.4810945375, 0.1694568096, 0.5],
  [2, 0.5, 1, 0.85, 0.1070619244, 0.1002751167, 0.08546304295, 0.1010205144],
  [0.02, 6, 0.5, 0.04, 0.7469137737, 0.7444254587, 0.2456735838, 0.9216156622],
  [0.02, 6, 1, 0.04, 0.8459627508, 0.8452040152, 0.1353776329, 0.9216156622],
  [1.2, 0.3, 2, 0.6, 0.1024914651, 0.1007407146, 0.05235977115, 0.1010205144],
  [0.22, 0.05, 1, 0.9, 0.5831836433, 0.03865907853, 0.7641835357, 0.09340033543],
  [1.47, 0.003, 1, 0.9, 0.04830065305, 0.0009648179521, 0.2292372175, 0.001018330995],
] as const;

describe("one layer (Kubelka 1948)", () => {
  it.each(ROWS)("K %d, S %d, X %d on %d reflects %d", (K, S, X, G, R, R0, T, Rinf) => {
    const found = layer(K, S, X);
    expect(over(found, G)).toBeCloseTo(R, 9);
    expect(found.reflected).toBeCloseTo(R0, 9);
    expect(Math.sqrt(found.transmittanceSquared)).toBeCloseTo(T, 9);
    expect(thick(K, S)).toBeCloseTo(Rinf, 9);
  });

  it("agrees with the differential equation dR/dX = S − 2(K + S)R + SR², integrated in small steps", () => {
    for (const [K, S, X, G, R] of ROWS) {
      const steps = 20_000;
      const h = X / steps;
      const slope = (r: number) => S - 2 * (K + S) * r + S * r * r;
      let r: number = G;
      for (let i = 0; i < steps; i++) {
        const k1 = slope(r);
        const k2 = slope(r + (h / 2) * k1);
        const k3 = slope(r + (h / 2) * k2);
        r += (h / 6) * (k1 + 2 * k2 + 2 * k3 + slope(r + h * k3));
      }
      expect(r).toBeCloseTo(R, 8);
    }
  });

  it("is exact at its limits: nothing, no absorption, no scattering, too thick to see through", () => {
    expect(over(layer(0.7, 0.4, 0), 0.35)).toBe(0.35);
    expect(layer(0, 2, 1.5).reflected).toBeCloseTo(3 / 4, 12);
    expect(over(layer(0, 2, 1.5), 1)).toBeCloseTo(1, 12);
    expect(over(layer(0.5, 0, 1), 0.8)).toBeCloseTo(0.8 * Math.exp(-1), 12);
    expect(over(layer(0.5, 2, 1e6), 0.01)).toBeCloseTo(thick(0.5, 2), 12);
  });
});

it("stacks: two layers of one ink are one of both thicknesses (Kubelka, JOSA 44 (1954) 330)", () => {
  const next = random(3);
  for (let i = 0; i < 200; i++) {
    const [K, S, x, y, G] = [next() * 3, 0.01 + next() * 5, next() * 2, next() * 2, next()];
    expect(over(layer(K, S, x), over(layer(K, S, y), G))).toBeCloseTo(over(layer(K, S, x + y), G), 10);
  }
});

it("combines unlike layers as the 1954 paper does: R = R1 + T1²R2 / (1 − R1R2)", () => {
  const [top, below] = [layer(0.4, 0.9, 1), layer(1.2, 0.3, 1)];
  const both =
    top.reflected + (top.transmittanceSquared * below.reflected) / (1 - top.reflected * below.reflected);
  expect(over(top, over(below, 0))).toBeCloseTo(both, 12);
});

it("finds a layer from readings over any two grounds", () => {
  const next = random(4);
  for (let i = 0; i < 200; i++) {
    const made = layer(next() * 4, 0.01 + next() * 6, 1);
    const [white, black] = [0.7 + 0.3 * next(), 0.1 * next()];
    const found = layerFromReadings(over(made, white), over(made, black), white, black);
    expect(found.reflected).toBeCloseTo(made.reflected, 7);
    expect(found.transmittanceSquared).toBeCloseTo(made.transmittanceSquared, 7);
  }
});

it("brings readings that no layer can give to one that can", () => {
  const darkOverWhite = layerFromReadings(0.3, 0.5);
  expect(darkOverWhite.transmittanceSquared).toBe(0);
  const bright = layerFromReadings(1.2, 0.1);
  expect(bright.transmittanceSquared).toBeLessThanOrEqual((1 - bright.reflected) ** 2);
});

it("finds the layer of a scattering that reflects what it is to over white", () => {
  const next = random(5);
  for (let i = 0; i < 500; i++) {
    const [S, R] = [10 ** (next() * 10 - 6), next()];
    const found = layerOfScattering(S, R);
    expect(over(found, 1)).toBeCloseTo(R, 11);
    // R₀ and T of one layer give its a = 1 + K / S (Kubelka 1948): made anew of K and S, it is the same.
    const a = (1 + found.reflected ** 2 - found.transmittanceSquared) / (2 * found.reflected);
    if (a - 1 < 1e-4 || found.reflected < 1e-3) continue;
    const again = layer((a - 1) * S, S, 1);
    expect(again.reflected).toBeCloseTo(found.reflected, 6);
    expect(again.transmittanceSquared).toBeCloseTo(found.transmittanceSquared, 6);
  }
});

it("finds it at the ends: white, black, and nothing that scatters", () => {
  expect(over(layerOfScattering(3, 1), 1)).toBeCloseTo(1, 12);
  expect(layerOfScattering(3, 0)).toEqual({ reflected: 0, transmittanceSquared: 0 });
  expect(layerOfScattering(0, 0.3).reflected).toBe(0);
  expect(layerOfScattering(0, 0.3).transmittanceSquared).toBeCloseTo(0.3, 12);
});
