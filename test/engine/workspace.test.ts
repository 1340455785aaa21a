import { describe, expect, it } from "vitest";
import type { SeparationPlan } from "../../server/engine/plan.ts";
import { separate } from "../../server/engine/separate.ts";
import { Workspace } from "../../server/engine/workspace.ts";
import { pictureOf, RED, WHITE } from "./pictures.ts";
import { MATCHED } from "./plans.ts";

describe("a workspace", () => {
  it("lends buffers of the length that is asked for, the same ones again once it is cleared", () => {
    const workspace = new Workspace();
    const [first, second] = [workspace.buffer(10), workspace.buffer(4)];
    expect([first.length, second.length, first.buffer === second.buffer]).toEqual([10, 4, false]);
    workspace.clear();
    const again = workspace.buffer(6);
    expect([again.length, again.buffer === first.buffer]).toEqual([6, true]);
    // The second one is too short.
    const longer = workspace.buffer(5);
    expect([longer.length, longer.buffer === second.buffer]).toEqual([5, false]);
    workspace.clear();
    expect(workspace.buffer(10).buffer).toBe(first.buffer);
    expect(workspace.buffer(5).buffer).toBe(longer.buffer);
  });

  it("has one table of colours as long as as many plates are asked for, empty every time", () => {
    const workspace = new Workspace();
    const table = workspace.table(3);
    expect(table.values).toHaveLength(3);
    table.lookUp(Uint32Array.of(7, 9), 0, 2, new Uint32Array(2));
    expect(table.size).toBe(2);
    expect(workspace.table(3)).toBe(table);
    expect(table.size).toBe(0);
    const other = workspace.table(2);
    expect([other === table, other.values.length]).toEqual([false, 2]);
  });

  /** What solving a plan gives, and the shares that it yields. */
  function solved(workspace: Workspace, plan: SeparationPlan) {
    const shares: number[] = [];
    const work = workspace.solve(plan);
    for (;;) {
      const step = work.next();
      if (step.done) return { tones: step.value, shares };
      shares.push(step.value);
    }
  }

  it("solves a plan's plates once for all that are alike in what tells on them", () => {
    const workspace = new Workspace();
    const first = solved(workspace, MATCHED);
    expect(first.tones).toBeDefined();
    expect(first.shares.length).toBeGreaterThan(0);
    const again = solved(workspace, { ...MATCHED, smallestDot: 0.1 });
    expect([again.tones === first.tones, again.shares]).toEqual([true, []]);
    const solving = { ...MATCHED.solving!, wetInk: 1 };
    const other = solved(workspace, { ...MATCHED, solving });
    expect(other.tones === first.tones).toBe(false);
    expect(other.shares.length).toBeGreaterThan(0);
  });

  it("solves nothing where no plate is solved", () => {
    const flat = {
      ...MATCHED,
      plates: MATCHED.plates.map((plate) => ({ ...plate, strength: { by: "flat" } as const })),
    };
    expect(solved(new Workspace(), flat)).toEqual({ tones: undefined, shares: [] });
  });
});

it("a separation's solving takes the first part of the work, and its shares never fall", () => {
  const shares = [...separate(pictureOf(2, [RED, WHITE]), 1, MATCHED)].filter(
    (step) => typeof step === "number",
  );
  expect(shares).toEqual([...shares].sort((a, b) => a - b));
  // Solving is 0.3 of the extraction's 0.6, and two plates have the rest.
  const extracted = shares.filter((share) => share <= 0.6);
  expect(extracted.some((share) => share > 0 && share <= 0.18)).toBe(true);
  expect(extracted.at(-1)).toBeCloseTo(0.6, 9);
  expect(shares.slice(-2)).toEqual([0.8, 1].map((share) => expect.closeTo(share, 9)));
});
