import fc from "fast-check";
import { expect, it } from "vitest";
import { limits } from "../../server/engine/limits.ts";
import { limitTable, limitTone } from "../../server/engine/press/smallest-dot.ts";
import { holds } from "../property.ts";
import { run } from "./stages/run.ts";

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
