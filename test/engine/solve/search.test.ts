import { describe, expect, it } from "vitest";
import { labFromBytes } from "../../../server/engine/colour/cielab.ts";
import { Search } from "../../../server/engine/solve/search.ts";
import { random } from "../../property.ts";
import { allSolved } from "./prints.ts";

const PLAN = allSolved();
const DOT = PLAN.conditions.smallestDot;
const COUNT = PLAN.solved.length;
const next = random(11);
const colours = Array.from({ length: 40 }, () => [next(), next(), next()].map((v) => Math.floor(v * 256)));

function searchFor([r, g, b]: readonly number[]): Search {
  const search = new Search(PLAN);
  search.prints.target(labFromBytes(r!, g!, b!));
  return search;
}

describe("settling", () => {
  it("leaves no tone in a gap, and all within their bounds, which stay", () => {
    for (const colour of colours) {
      const search = searchFor(colour);
      // Of each second plate no dot may print: the most is under the smallest.
      search.most.forEach((_, j) => {
        search.most[j] = j % 2 === 0 ? 1 : 0.75 * DOT;
      });
      const most = search.most.slice();
      const tones = new Float64Array(COUNT).fill(0.5 * DOT);
      search.descend(tones);
      const cost = search.settle(tones);
      for (const [j, tone] of tones.entries()) {
        if (j % 2 === 1) expect(tone).toBeLessThan(1e-3);
        else
          expect(tone < 1e-3 || (tone > DOT - 1e-3 && tone < 1 - DOT + 1e-3) || tone > 1 - 1e-3).toBe(true);
      }
      expect(search.cost(tones)).toBeCloseTo(cost, 9);
      expect(search.most).toEqual(most);
      expect([...search.least]).toEqual(Array(COUNT).fill(0));
    }
  });

  it("takes the smallest dot where that is the most and better than nothing", () => {
    let dots = 0;
    for (const colour of colours) {
      const search = searchFor(colour);
      search.most[1] = DOT;
      const tones = new Float64Array(COUNT);
      tones[0] = 1;
      tones[1] = 0.9 * DOT;
      search.settle(tones);
      if (tones[1]! > DOT - 1e-9) dots++;
      else expect(tones[1]).toBe(0);
    }
    expect(dots).toBeGreaterThan(0);
  });
});
