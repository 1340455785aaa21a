import { describe, expect, it } from "vitest";
import { messages, RED } from "../printed.ts";

const told = (roll: string, width: number, height: number) =>
  messages("film-roll", `film: { roll: ${roll} }\nartwork: { file: a.png, width: ${width} mm }`, {
    width: 100,
    height: Math.round((100 * height) / width),
    at: () => RED,
  });

describe("film-roll", () => {
  it("speaks of films that fit neither way, with their size, marks included", async () => {
    // 16 mm of margin on three sides and 21 mm below.
    expect(await told("330 mm", 300, 300)).toEqual([
      "films of this print are 332 mm × 337 mm with their marks, and the film roll is 330 mm wide; print it smaller, or have the films made elsewhere",
    ]);
  });

  it("is silent of films that fit upright or lying, and without a roll", async () => {
    expect(await told("333 mm", 300, 600)).toEqual([]);
    expect(await told("340 mm", 600, 300)).toEqual([]);
    expect(await messages("film-roll", "", { width: 100, height: 100, at: () => RED })).toEqual([]);
  });
});
