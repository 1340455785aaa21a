import { describe, expect, it } from "vitest";
import { labFromBytes } from "../../../server/engine/colour/cielab.ts";
import { preparePrint } from "../../../server/engine/print/model.ts";
import type { DotName } from "../../../server/engine/screen/spot-functions.ts";
import { random } from "../../property.ts";
import { colourOfShares, difference, draws, filmOfPlate, overprintShares } from "./rasterised.ts";

const BLACK = labFromBytes(0x17, 0x17, 0x1a);
const WHITE = { colour: labFromBytes(245, 245, 242), opacity: 0.9 };
const PATCHES = 2;
/** A part of whole cells at 45 lpi and 0°, so that a film's own tone is its plate's. */
const MARGIN = 60;
const SIDE = 320 + 2 * MARGIN;
const PART = { x: MARGIN, y: MARGIN, width: SIDE - 2 * MARGIN, height: SIDE - 2 * MARGIN };
/** Many prints, and few places of each, since prints differ more: 2000 places change the means by 0.01 at most. */
const PRINTS = 400;
const PLACES = 400;

interface Screens {
  readonly dot: DotName;
  readonly ruling: number;
  /** Of the plates, in turn. */
  readonly angles: readonly number[];
}

/** Mean ΔE00 to films laid over one another: of the proof, and of one that takes dots for independent. */
function against({ dot, ruling, angles }: Screens, plates: number, r: number, seed: number) {
  const next = random(seed);
  let nested = 0;
  let independent = 0;
  for (let patch = 0; patch < PATCHES; patch++) {
    const colour = () => labFromBytes(next() * 255, next() * 255, next() * 255);
    const stations = Array.from({ length: plates }, (_, s) => ({
      ink: s === 0 ? WHITE : { colour: colour(), opacity: 0.3 + 0.5 * next() },
      screen: { method: "am", rulingLpi: ruling, angle: angles[s % angles.length], dot } as const,
    }));
    const tones = stations.map(() => Math.round(13 + 229 * next()));
    const films = tones.map((tone, s) =>
      filmOfPlate(Uint8Array.of(tone), 1, 1, stations[s].screen, { width: SIDE, height: SIDE }),
    );
    const conditions = { garment: BLACK, n: 1, compensated: true, smallestDot: 0, misregistrationMm: r };
    const shares = overprintShares(films, draws(plates, r === 0 ? 1 : PRINTS, r, seed + patch), PART, PLACES);
    const seen = colourOfShares(shares, conditions, stations);
    const areas = tones.map((tone) => tone / 255);
    nested += difference(preparePrint(conditions, stations).colour(areas), seen);
    const alone = stations.map(({ ink }) => ({ ink }));
    independent += difference(preparePrint(conditions, alone).colour(areas), seen);
  }
  return { nested: nested / PATCHES, independent: independent / PATCHES };
}

const SCREENS: readonly Screens[] = [
  { dot: "round", ruling: 45, angles: [22.5] },
  { dot: "ellipse", ruling: 55, angles: [22.5] },
  { dot: "line", ruling: 35, angles: [45] },
  { dot: "square", ruling: 45, angles: [0, 90] },
  { dot: "round", ruling: 65, angles: [22.5, 22.5, 52.5] },
];

describe("the proof of patches of two to six plates, round, elliptic, square and in lines", () => {
  it.each([
    [0, 0.1, 5],
    [0.1, 0.3, 3.5],
    [0.2, 0.3, 2],
    [0.4, 0.3, 0.5],
  ])("is their films' mean, register %s mm", (r, most, without) => {
    const results = SCREENS.flatMap((screens, i) =>
      [2, 3, 4, 6].map((plates) => against(screens, plates, r, 100 * i + 1000 * r + plates)),
    );
    const mean = (key: "nested" | "independent") =>
      results.reduce((sum, result) => sum + result[key], 0) / results.length;
    expect(mean("nested")).toBeLessThanOrEqual(most);
    // What independent dots would be off by: the check can tell them apart.
    expect(mean("independent")).toBeGreaterThan(without);
  });
});
