import { describe, expect, it } from "vitest";
import { preparePrint } from "../../server/engine/print/model.ts";
import { PrintToPrint } from "../../server/engine/print/steadiness.ts";
import { printConditions, printStations } from "../../server/render/plan/print-plan.ts";
import type { Print } from "../../server/render/print.ts";
import { steadinessOf } from "../../server/render/steadiness.ts";
import { recipeOf } from "./jobs.ts";

const [WIDTH, HEIGHT] = [30, 30];
const PLATES = `  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { artwork: opaque } }
  night: { ink: ember, extract: { artwork: opaque } }
`;
const recipe = recipeOf({ plates: PLATES, order: "base, ember, night" });
type Tone = (x: number, y: number) => number;
const plate = (tone: Tone) => ({
  tones: Uint8Array.from({ length: WIDTH * HEIGHT }, (_, i) => tone(i % WIDTH, Math.floor(i / WIDTH))),
});
const none: Tone = () => 0;

/** How steady a print of these plates is. */
const steady = (base: Tone, ember: Tone, night: Tone = none, of = recipe) => {
  const plates = new Map(Object.entries({ base, ember, night }).map(([name, tone]) => [name, plate(tone)]));
  const picture = { width: WIDTH, height: HEIGHT };
  return steadinessOf({ recipe: of, plates, picture, pixels: WIDTH * HEIGHT } as unknown as Print, "dark");
};
const half: Tone = () => 128;
const solid: Tone = () => 255;

/** Changes of one colour from print to print, of the areas that these tones print. */
const changes = (...tones: number[]) => {
  const setup = recipe.setups.get("dark")!;
  const ready = preparePrint(printConditions(recipe, setup, "black"), printStations(recipe, setup));
  const toPrint = new PrintToPrint(ready, setup.yuleNielsen);
  const mean = toPrint.look(tones.map((tone, s) => ready.areas[s]![tone]!));
  return { mean, most: Math.max(...toPrint.changes) };
};

describe("how colours change from print to print", () => {
  it("is the change of the one colour where there is one", () => {
    const found = steady(half, half)!;
    const { mean, most } = changes(128, 128, 0);
    expect(mean).toBeGreaterThan(1);
    expect(found.mean).toBeCloseTo(mean, 9);
    // One print in sixteen is more than 5 %.
    expect(found.p95).toBeCloseTo(most, 9);
    expect([found.where, new Set(found.plates)]).toEqual(["in several places", new Set(["base", "ember"])]);
  });

  it("keeps within what 95 % of all prints of all pixels keep within", () => {
    // Of 900 pixels 45 change, which is just what is left out, or 46.
    const so =
      (many: number): Tone =>
      (x, y) =>
        x + WIDTH * y < many ? 128 : 255;
    expect(steady(so(45), so(45))!.p95).toBe(0);
    expect(steady(so(46), so(46))!.p95).toBeGreaterThan(0);
    // 95 % of 19 × 16 prints are 288.8: one more than stay as they are, if one pixel changes.
    const few =
      (solids: number): Tone =>
      (x, y) =>
        y > 0 || x > 18 ? 0 : x < solids ? 255 : 128;
    expect(steady(few(18), few(18))!.p95).toBeGreaterThan(0);
  });

  it("is nothing of solids, and of a halftone alone", () => {
    const still = { mean: 0, p95: 0, where: "in several places", plates: [] };
    expect(steady(solid, solid)).toEqual(still);
    expect(steady(none, half)).toEqual(still);
  });

  it("is over all that prints, and nothing of what does not", () => {
    const { mean } = changes(128, 128, 0);
    const left: Tone = (x) => (x < 15 ? 128 : 0);
    const right: Tone = (x) => (x < 15 ? 128 : 255);
    expect(steady(left, left)!.mean).toBeCloseTo(mean, 9);
    // Half of it is solid.
    expect(steady(right, right)!.mean).toBeCloseTo(mean / 2, 9);
    expect(steady(none, none)).toBeUndefined();
  });

  it("tells where it is most, and which plates meet there, the most unsteady first", () => {
    const left: Tone = (x) => (x < 10 ? 128 : 255);
    expect(steady(left, left)!.where).toBe("on the left");
    // Nearer to solid, nearer to still.
    expect(steady(() => 230, half)!.plates).toEqual(["ember", "base"]);
    expect(steady(half, () => 230)!.plates).toEqual(["base", "ember"]);
    // However little of it there is.
    const dot: Tone = (x, y) => (x + y === 0 ? 240 : 255);
    expect(new Set(steady(dot, dot)!.plates)).toEqual(new Set(["base", "ember"]));
    expect(new Set(steady(half, half, half)!.plates)).toEqual(new Set(["base", "ember", "night"]));
  });

  it("counts a halftone that stands alone neither for nor against its plate", () => {
    const left: Tone = (x) => (x < 10 ? 128 : 0);
    expect(steady(half, left)!.plates).toEqual(["base", "ember"]);
    expect(steady(left, half)!.plates).toEqual(["base", "ember"]);
  });

  it("tells no place of what nobody sees", () => {
    // A tone near solid whose changes are under half a ΔE00, on all of the print but its left edge.
    const means = Array.from({ length: 256 }, (_, tone) => changes(tone, tone, 0).mean);
    const faint = means.findLastIndex((mean) => mean > 0.3 && mean < 0.5);
    expect(faint).toBeGreaterThan(128);
    const tone: Tone = (x) => (x < 1 ? 128 : faint);
    expect(steady(tone, tone)!.where).toBe("on the left");
    const all: Tone = () => faint;
    expect(steady(all, all)!.where).toBe("in several places");
  });

  it("is not known of a setup that prints on nothing, or has too many stations", () => {
    const of = (change: object) => {
      const dark = { ...recipe.setups.get("dark")!, ...change };
      return steady(half, half, half, { ...recipe, setups: new Map([["dark", dark]]) });
    };
    expect(of({ garments: [] })).toBeUndefined();
    expect(of({})).toBeDefined();
    const many = Array.from({ length: 24 }, (_, i) => ({ plate: ["base", "ember", "night"][i % 3] }));
    expect(of({ order: many })).toBeUndefined();
  });

  it("leaves out stations whose plates have no screen", () => {
    const plates = new Map([
      ["base", plate(half)],
      ["ember", plate(half)],
    ]);
    const picture = { width: WIDTH, height: HEIGHT };
    const print = { recipe, plates, picture, pixels: WIDTH * HEIGHT } as unknown as Print;
    expect(steadinessOf(print, "dark")!.mean).toBeCloseTo(changes(128, 128, 0).mean, 1);
  });
});
