import { describe, expect, it } from "vitest";
import { neighbourTraps, trapPairs } from "../../../server/render/plan/trap-plan.ts";
import { recipeOf } from "../jobs.ts";

const INKS = { white: "lab(97 0 0)", cream: "lab(90 2 8)", gold: "lab(70 10 60)", ink: "lab(10 0 0)" };
/** Plates, each of the ink that its name begins with. */
const job = (plates: readonly string[], order: string, more = "", parts: Record<string, string> = {}) => {
  const recipe = recipeOf({
    plates: plates
      .map((name) => `  ${name}: { ink: white, ${parts[name] ?? "extract: { artwork: opaque }"} }\n`)
      .join(""),
    order,
    more,
  });
  const { inks } = recipeOf({});
  const colours = new Map(
    Object.entries(INKS).map(([name, colour]) => {
      const [L = 0, a = 0, b = 0] = colour.match(/-?\d+/g)!.map(Number);
      const white = inks.get("white")!;
      return [name, { ...white, colour: { ...white.colour, lab: { L, a, b } } }] as const;
    }),
  );
  const named = [...recipe.plates].map(
    ([name, plate]) => [name, { ...plate, ink: name.replace(/\d/, "") }] as const,
  );
  return { ...recipe, inks: colours, plates: new Map(named) };
};
const pairs = (...args: Parameters<typeof job>) =>
  trapPairs(job(...args)).map(({ plate, under }) => `${plate} under ${under.join(", ")}`);

describe("plates that may be spread under one another", () => {
  it("are lighter ones under darker ones, and of two as light the first", () => {
    expect(pairs(["gold", "ink"], "ink, gold")).toEqual(["gold under ink"]);
    expect(pairs(["ink", "gold"], "gold, ink")).toEqual(["gold under ink"]);
    expect(pairs(["gold1", "gold2", "ink"], "ink, gold2, gold1")).toEqual([
      "gold1 under gold2, ink",
      "gold2 under ink",
    ]);
  });

  it("are white ones only where they print before the other, in every setup with both", () => {
    expect(pairs(["white", "gold"], "white, flash, gold")).toEqual(["white under gold"]);
    expect(pairs(["white", "gold"], "gold, white")).toEqual([]);
    const light = "  light: { garments: [white], order: [gold, white] }\n";
    expect(pairs(["white", "gold"], "white, gold", light)).toEqual([]);
    const alone = "  light: { garments: [white], order: [gold] }\n";
    expect(pairs(["white", "gold"], "white, gold", alone)).toEqual(["white under gold"]);
    // L* of 90 is white already.
    expect(pairs(["cream", "gold"], "gold, cream")).toEqual([]);
  });

  it("print together", () => {
    const apart = "  light: { garments: [white], order: [ink] }\n";
    expect(pairs(["gold", "ink"], "gold", apart)).toEqual([]);
  });

  it("are of colours and shadows that are not folded, of squares or screened already", () => {
    const of = (part: string, more = "") => pairs(["gold", "ink"], "gold, ink", more, { gold: part });
    expect(of("purpose: shadow, extract: { artwork: opaque }")).toEqual(["gold under ink"]);
    expect(of("purpose: underbase, extract: { artwork: opaque }")).toEqual([]);
    expect(of("purpose: highlight, extract: { artwork: opaque }")).toEqual([]);
    expect(of("extract: { index: squares }")).toEqual([]);
    expect(of("extract: { plate: a.png }")).toEqual(["gold under ink"]);
    expect(of("extract: { plate: a.png, screened: true }")).toEqual([]);
    expect(of("extract: { artwork: opaque }", "merges: [{ fold: gold, into: ink }]\n")).toEqual([]);
  });
});

describe("traps of neighbours", () => {
  it("spread solid parts by the recipe's distance", () => {
    expect(neighbourTraps(job(["gold", "ink"], "gold, ink", "traps: [{ neighbours: 0.2 mm }]\n"))).toEqual([
      { plate: "gold", way: "spread", distance: 0.2, under: ["ink"], solid: true },
    ]);
  });

  it("are none where the recipe asks for none, or for no distance", () => {
    expect(neighbourTraps(job(["gold", "ink"], "gold, ink"))).toEqual([]);
    expect(neighbourTraps(job(["gold", "ink"], "gold, ink", "traps: [{ neighbours: 0 mm }]\n"))).toEqual([]);
  });
});
