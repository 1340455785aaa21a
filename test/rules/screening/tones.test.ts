import { describe, expect, it } from "vitest";
import { type Drawn, messages, type Pixel, RED } from "../printed.ts";

/** Black at L* so that darkness gives the tone asked for; 100 pixels on 100 mm, so a column of 100 is 1 cm². */
const grey = (tone: number): Pixel => {
  // Darkness is 1 − L*/100 (strength: darkness); sRGB grey of that L*.
  const L = 100 * (1 - tone);
  const fy = (L + 16) / 116;
  const Y = L > 8 ? fy ** 3 : (L * 27) / 24389;
  const v = Y <= 0.0031308 ? Y * 12.92 : 1.055 * Y ** (1 / 2.4) - 0.055;
  const byte = Math.round(v * 255);
  return [byte, byte, byte];
};
const tones = (...parts: readonly [until: number, tone: number][]): Drawn => ({
  width: 100,
  height: 100,
  at: (x) => grey(parts.find(([until]) => x < until)?.[1] ?? 1),
});
const job = (more: string, plate = "") => `artwork: { file: a.png, width: 100 mm }
garments: { white: { colour: "#f4f3ef" } }
traps: []
knockouts: []
plates:
  black: { ink: black, extract: { artwork: opaque }, strength: darkness${plate} }
setups:
  light: { garments: [white], order: [black] }
${more}`;

describe("dots-under-mesh", () => {
  // At 45 lpi a mesh of 90/in has a pitch as wide as a dot of π/4 · 0.25 = 20 %.
  const mesh = (count: number) => job(`meshes: { m: { count: ${count}/in } }`, ", mesh: m");

  it("speaks of tones whose dots are no wider than the mesh's pitch, with their area", async () => {
    expect(await messages("dots-under-mesh", mesh(90), tones([10, 0.15], [40, 0.3]))).toEqual([
      "tones of black up to 20 % are dots no wider than the pitch of mesh m and will print unevenly, on 10 cm²; take a finer mesh, or a coarser ruling",
    ]);
  });

  it("is silent of larger dots, of a finer mesh, and of no mesh", async () => {
    expect(await messages("dots-under-mesh", mesh(90), tones([10, 0.25], [40, 0.3]))).toEqual([]);
    expect(await messages("dots-under-mesh", mesh(225), tones([10, 0.15], [40, 0.3]))).toEqual([]);
    expect(await messages("dots-under-mesh", job(""), tones([10, 0.15], [40, 0.3]))).toEqual([]);
  });
});

describe("dots-under-mesh, where films are compensated", () => {
  const gained = (more: string) =>
    job(
      `meshes: { m: { count: 90/in } }\nscreening: { gain: [[0, 0], [20, 40], [50, 70], [100, 100]]${more} }`,
      ", mesh: m",
    );

  it("goes by the film's tone: 20 % on film are a plate's 40 %", async () => {
    const [message] = await messages("dots-under-mesh", gained(""), tones([10, 0.35], [40, 0.5]));
    expect(message).toMatch(
      /^tones of black up to (39|40) % are dots no wider than the pitch of mesh m .* on 10 cm²/,
    );
    expect(await messages("dots-under-mesh", gained(""), tones([10, 0.45], [40, 0.5]))).toEqual([]);
  });

  it("goes by the plate's where they are not, and is silent of grains", async () => {
    const raw = gained(", compensate: false");
    expect(await messages("dots-under-mesh", raw, tones([10, 0.35], [40, 0.5]))).toEqual([]);
    expect(await messages("dots-under-mesh", gained(", method: fm"), tones([10, 0.35], [40, 0.5]))).toEqual(
      [],
    );
  });
});

describe("lost-tones", () => {
  it("speaks of tones under half the smallest dot, with their area", async () => {
    expect(
      await messages("lost-tones", job("screening: { smallest-dot: 12% }"), tones([25, 0.04], [60, 0.3])),
    ).toEqual([
      "black loses its lightest tones, under 6.1 %, on 25 cm², on the left: less than half the smallest dot; steepen its curve there, or hold a smaller dot",
    ]);
  });

  it("is silent where the screens hold them", async () => {
    expect(
      await messages("lost-tones", job("screening: { smallest-dot: 3% }"), tones([25, 0.04], [60, 0.3])),
    ).toEqual([]);
  });
});

describe("filled-shadows", () => {
  it("speaks of tones that close when dots grow, with their area", async () => {
    // t + 0.8 t (1 − t) = 0.97 at t = 0.889.
    expect(await messages("filled-shadows", job(""), tones([30, 0.93], [60, 0.3]))).toEqual([
      "tones of black over 89 % will fill in when dots grow, on 30 cm², on the left; open them with a curve, or count them as solid",
    ]);
  });

  it("goes by the gain that was measured, and is silent where films are compensated for it", async () => {
    const gain =
      "screening: { smallest-dot: 3%, gain: [[0, 0], [50, 80], [80, 97], [100, 100]], compensate: false }";
    // 80 % print as 97 %: a tone of 84 % fills, which the usual gain would have left open.
    expect(await messages("filled-shadows", job(gain), tones([30, 0.84], [60, 0.3]))).toEqual([
      "tones of black over 80 % will fill in when dots grow, on 30 cm², on the left; open them with a curve, or count them as solid",
    ]);
    const compensated = gain.replace(", compensate: false", "");
    expect(await messages("filled-shadows", job(compensated), tones([30, 0.93], [60, 0.3]))).toEqual([]);
  });

  it("is silent of solids where no dot is too small", async () => {
    const all = job("screening: { smallest-dot: 0% }");
    expect(await messages("filled-shadows", all, tones([30, 1], [60, 0.5]))).toEqual([]);
  });

  it("is silent of solids and of middle tones", async () => {
    expect(await messages("filled-shadows", job(""), tones([30, 1], [60, 0.8]))).toEqual([]);
  });
});

describe("wet-ink", () => {
  const wet = (order: string) => `artwork: { file: a.png, width: 100 mm }
garments: { white: { colour: "#f4f3ef" } }
inks:
  a: { colour: "#d8431f", opacity: 70% }
  b: { colour: "#1e8c3c", opacity: 70% }
  c: { colour: "#1e3c8c", opacity: 70% }
  d: { colour: "#8c1e8c", opacity: 70% }
traps: []
knockouts: []
plates:
  a: { ink: a, extract: { artwork: opaque } }
  b: { ink: b, extract: { artwork: opaque } }
  c: { ink: c, extract: { artwork: opaque } }
  d: { ink: d, extract: { lightness: [0, 60] } }
setups:
  light: { garments: [white], order: [${order}] }`;
  const art: Drawn = { width: 100, height: 100, at: (x) => (x < 20 ? RED : [250, 240, 230]) };

  it("speaks of more than three solids without a flash, with area and place", async () => {
    expect(await messages("wet-ink", wet("a, b, c, d"), art)).toEqual([
      "up to 400 % ink wet-on-wet on 20 cm², on the left, over 300 %, and will smear; flash between, or take ink out there",
    ]);
  });

  it("is silent with a flash between", async () => {
    expect(await messages("wet-ink", wet("a, b, flash, c, d"), art)).toEqual([]);
    expect(await messages("wet-ink", wet("a, b, c, cool-down"), art)).toEqual([]);
  });
});
