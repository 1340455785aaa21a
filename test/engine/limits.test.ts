import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { limits } from "../../server/engine/limits.ts";
import type { SeparationPlan } from "../../server/engine/plan.ts";
import { limitTable, limitTone } from "../../server/engine/press/smallest-dot.ts";
import type { StageNode } from "../../server/engine/stages/stage.ts";
import { holds } from "../property.ts";
import { EMPTY_PLAN, madeOf, run } from "./stages/run.ts";

function limited(tones: number[], smallestDot: number): number[] {
  return [...run(limits, Uint8Array.from(tones), { smallestDot })];
}

it("takes a tone under the smallest dot to nothing or to that dot, whichever is nearer", () => {
  // 4 % of 255 is 10.2: dots of 10.
  expect(limited([0, 1, 4, 5, 9, 10, 11, 128], 0.04)).toEqual([0, 0, 0, 10, 10, 10, 11, 128]);
});

it("closes or opens a hole smaller than the smallest dot likewise", () => {
  expect(limited([255, 254, 251, 250, 246, 245, 244], 0.04)).toEqual([255, 255, 255, 245, 245, 245, 244]);
});

it("lets every tone through where no smallest dot is given", () => {
  const all = Array.from({ length: 256 }, (_, tone) => tone);
  expect(limited(all, 0)).toEqual(all);
  expect([...limitTable(0)]).toEqual(all);
});

it("leaves solid, blank and the middle even with an absurd smallest dot", () => {
  // No dot can be larger than half of the area and leave a hole of the same size: 127 of 255.
  expect(limited([0, 63, 64, 127, 128, 191, 192, 255], 0.9)).toEqual([0, 0, 127, 127, 128, 128, 255, 255]);
});

const dots = fc.double({ min: 0, max: 0.6, noNaN: true });
const dotOf = (smallest: number) => Math.min(127, Math.round(smallest * 255));

it("leaves no tone between blank and the smallest dot, nor between the smallest hole and solid", () => {
  holds(
    fc.property(dots, (smallest) => {
      const dot = dotOf(smallest);
      const between = limitTable(smallest).filter(
        (tone) => (tone > 0 && tone < dot) || (tone > 255 - dot && tone < 255),
      );
      expect([...between]).toEqual([]);
    }),
  );
});

it("changes nothing the second time", () => {
  holds(
    fc.property(dots, (smallest) => {
      const table = limitTable(smallest);
      expect([...table].map((tone) => table[tone])).toEqual([...table]);
    }),
  );
});

it("keeps darker tones darker, and treats dots and holes alike", () => {
  holds(
    fc.property(dots, (smallest) => {
      const table = limitTable(smallest);
      expect([...table]).toEqual([...table].sort((a, b) => a - b));
      expect([...table].map((tone) => 255 - tone)).toEqual([...table].reverse());
    }),
  );
});

it("moves no tone by more than half a dot", () => {
  holds(
    fc.property(dots, (smallest) => {
      const far = [...limitTable(smallest)].map((tone, before) => Math.abs(tone - before));
      expect(Math.max(...far)).toBeLessThanOrEqual(dotOf(smallest) / 2);
    }),
  );
});

it("limits single tones as it limits plates, to the dot itself instead of the nearest byte", () => {
  for (const dot of [0, 0.03, 0.04, 0.1, 0.6]) {
    const table = limitTable(dot);
    for (let byte = 0; byte < 256; byte++) {
      const single = limitTone(byte / 255, dot);
      const nearest = Math.min(byte, 255 - byte) * 2;
      // Where the two stand on either side of half a dot.
      if (Math.abs(nearest - dot * 255) < 0.5) continue;
      expect(Math.abs(single * 255 - table[byte])).toBeLessThanOrEqual(0.5);
      const smallest = Math.min(dot, 127 / 255) - 1e-12;
      expect(single === 0 || single === 1 || Math.min(single, 1 - single) >= smallest, `${byte}`).toBe(true);
    }
  }
});

it("limits every tone of a plate by itself", () => {
  const every = Uint8Array.from({ length: 256 }, (_, tone) => tone);
  holds(
    fc.property(dots, (smallest) => {
      expect([...run(limits, every, { smallestDot: smallest })]).toEqual([...limitTable(smallest)]);
    }),
    400,
  );
});

describe("the stage", () => {
  const source: StageNode = { stage: "extract", takes: [], plate: 0 };
  const node = (rest: Partial<SeparationPlan>) =>
    limits(new Map([["ember", source]]), { ...EMPTY_PLAN, ...rest }).get("ember")!;
  const thinnest = [
    { plate: "rose", line: 9, gap: 9 },
    { plate: "ember", line: 0.2, gap: 0.4 },
  ];

  it("leaves a plate without a smallest dot and thin parts, and a film made elsewhere, as the node that it was", () => {
    expect(node({})).toBe(source);
    const extract = { by: "given", tones: undefined, film: true } as const;
    const plates = [{ name: "ember", extract, strength: { by: "flat" } as const }];
    expect(node({ plates, smallestDot: 0.04, thinnest })).toBe(source);
    expect(
      node({ plates: [{ ...plates[0]!, extract: { ...extract, film: false } }], smallestDot: 0.04 }),
    ).not.toBe(source);
  });

  it("takes thin parts off first, by its own screen's bounds, then limits tones", () => {
    const hold = { stage: "hold", part: [0.2, 0.4], takes: [source] };
    expect(node({ thinnest })).toMatchObject(hold);
    expect(node({ thinnest, smallestDot: 0.04 })).toMatchObject({
      stage: "limits",
      part: [0.04],
      takes: [hold],
    });
  });

  it("limits plates that lie anywhere in memory, in place too", () => {
    const memory = new Uint8Array(80);
    for (const from of [0, 1, 2, 3])
      for (const length of [1, 3, 9, 40]) {
        const tones = memory
          .subarray(from, from + length)
          .map((_, i) => [3, 0, 255, 252, 0, 0, 0, 0, 128][i % 9]!);
        memory.fill(7).set(tones, from);
        const out = madeOf(node({ smallestDot: 0.04 }), [memory.subarray(from, from + length)], {
          width: length,
          height: 1,
          pixelsPerMm: 1,
        });
        expect([...out]).toEqual(Array.from(tones, (tone) => ({ 3: 0, 252: 255 })[tone] ?? tone));
        expect(
          [...memory.subarray(0, from), ...memory.subarray(from + length)].every((byte) => byte === 7),
        ).toBe(true);
      }
  });
});
