import Color from "colorjs.io";
import { converter, differenceCiede2000 } from "culori";
import { expect, it } from "vitest";
import { deltaE00 } from "../../server/engine/colour/ciede2000.ts";
import { labFromBytes } from "../../server/engine/colour/cielab.ts";
import { random } from "../property.ts";

// culori and colorjs.io, two independent implementations of CIELAB (D50, Bradford adaptation) and ΔE00.
const COLOURS = 10_000;

const next = random(31);
const colours = Array.from({ length: COLOURS }, () => {
  const [r, g, b] = [next(), next(), next()].map((v) => Math.floor(v * 256));
  return { bytes: [r, g, b] as const, lab: labFromBytes(r, g, b) };
});

const toLab = converter("lab");

it("agrees with culori on CIELAB under D50", () => {
  let worst = 0;
  for (const { bytes, lab } of colours) {
    const [r, g, b] = bytes.map((v) => v / 255);
    const other = toLab({ mode: "rgb", r, g, b });
    worst = Math.max(worst, Math.abs(other.l - lab.L), Math.abs(other.a - lab.a), Math.abs(other.b - lab.b));
  }
  // Seen: 4.2e-5. Its matrix from sRGB to XYZ under D50 differs in the eighth decimal.
  expect(worst).toBeLessThan(1e-4);
});

it("agrees with colorjs.io on CIELAB under D50", () => {
  let worst = 0;
  for (const { bytes, lab } of colours) {
    const [r, g, b] = bytes.map((v) => v / 255);
    const [L, A, B] = new Color("srgb", [r, g, b]).to("lab").coords as [number, number, number];
    worst = Math.max(worst, Math.abs(L - lab.L), Math.abs(A - lab.a), Math.abs(B - lab.b));
  }
  // Seen: 2e-13. colorjs.io derives its matrices in full precision, as the engine does.
  expect(worst).toBeLessThan(1e-9);
});

/** Pairs far apart, near to each other, where the formula is made for, all but opposite in hue, and with a grey. */
const pairs = colours.map(({ lab }, i) => {
  const far = colours[(i * 7 + 1) % COLOURS].lab;
  const near = { L: lab.L + next() * 2 - 1, a: lab.a + next() * 6 - 3, b: lab.b + next() * 6 - 3 };
  const turn = 1 + 10 ** (-1 - next() * 6);
  const opposite = { L: far.L, a: -lab.a * next() * 2, b: 0 };
  opposite.b = ((lab.b * opposite.a) / (lab.a || 1)) * turn;
  const grey = { L: far.L, a: 0, b: 0 };
  return [lab, [near, far, opposite, grey][i % 4]] as const;
});

it("agrees with culori on ΔE00", () => {
  // Its ΔE00 reads `lab65` colours; given as such, their numbers are taken as they are.
  const difference = differenceCiede2000();
  let worst = 0;
  for (const [x, y] of pairs) {
    const other = difference(
      { mode: "lab65", l: x.L, a: x.a, b: x.b },
      { mode: "lab65", l: y.L, a: y.a, b: y.b },
    );
    worst = Math.max(worst, Math.abs(other - deltaE00(x.L, x.a, x.b, y.L, y.a, y.b)));
  }
  expect(worst).toBeLessThan(1e-9);
});

it("agrees with colorjs.io on ΔE00", () => {
  let worst = 0;
  for (const [x, y] of pairs) {
    const other = new Color("lab", [x.L, x.a, x.b]).deltaE(new Color("lab", [y.L, y.a, y.b]), "2000");
    worst = Math.max(worst, Math.abs(other - deltaE00(x.L, x.a, x.b, y.L, y.a, y.b)));
  }
  expect(worst).toBeLessThan(1e-9);
});
