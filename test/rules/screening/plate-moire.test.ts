import { describe, expect, it } from "vitest";
import { isFaint, PlateBeats } from "../../../server/engine/press/moire.ts";
import { type Drawn, messages, printOf, saidBy } from "../printed.ts";

/** Greys from dark on the left to light on the right. */
const GREYS: Drawn = {
  width: 100,
  height: 40,
  at: (x) => {
    const v = Math.round(40 + 1.9 * x);
    return [v, v, v];
  },
};

/** The same on the left, and on the right one ink alone. */
const APART: Drawn = { ...GREYS, at: (x, y) => (x < 50 ? [20, 20, 20] : GREYS.at(x, y)) };

const job = (ember: string, black: string, more = "") => `artwork: { file: a.png, width: 100 mm }
garments: { white: { colour: "#f4f3ef" } }
traps: []
knockouts: []
plates:
  ember: { ink: ember, extract: { artwork: opaque }, strength: lightness, screening: ${ember} }
  black: { ink: black, extract: { artwork: opaque }, strength: darkness, screening: ${black} }
setups:
  light: { garments: [white], order: [black, ember] }
${more}`;

const beating = job("{ angle: 22.5 }", "{ angle: 25 }");

describe("plate-moire", () => {
  it("tells period, strength, area, and an angle that ends it", async () => {
    const [mark, ...others] = saidBy("plate-moire", await printOf(beating, GREYS));
    expect(others).toEqual([]);
    expect(mark!.message).toMatch(
      /^black \(45 lpi at 25°\) and ember \(45 lpi at 22.5°\) beat every 13 mm, by up to \d+ ΔE00 on \d+ cm² of setup light, which will show; turn ember to 67.5°$/,
    );
    expect(mark!.path).toEqual(["plates", "ember"]);
    expect(mark!.data).toEqual({ angle: { plates: ["ember"], angle: 67.5 } });
    const turned = beating.replace("angle: 22.5", "angle: 67.5");
    expect(await messages("plate-moire", turned, GREYS)).toEqual([]);
  });

  it("is silent of equal angles, of 30° between them, and of grains", async () => {
    for (const [ember, black] of [
      ["{ angle: 25 }", "{ angle: 25 }"],
      ["{ angle: 25 }", "{ angle: 55 }"],
      ["{ angle: 22.5, method: fm }", "{ angle: 25 }"],
    ] as const)
      expect(await messages("plate-moire", job(ember, black), GREYS)).toEqual([]);
  });

  it("is silent of the angles that process plates get", () => {
    const angles = [5, 27.5, 50, 72.5];
    for (const [i, angle] of angles.entries())
      for (const other of angles.slice(0, i)) {
        const screen = (at: number) => ({ rulingLpi: 45, angle: at, dot: "round" }) as const;
        expect(isFaint(new PlateBeats(screen(angle), screen(other), 300).worst)).toBe(true);
      }
  });

  it("looks at rulings as at angles", async () => {
    const [message] = await messages("plate-moire", job("{ ruling: 45 lpi }", "{ ruling: 48 lpi }"), GREYS);
    expect(message).toContain("beat every 8.5 mm");
  });

  it("is silent where the plates' halftones do not meet, and where their colours hardly differ", async () => {
    const solid = beating.replace("strength: lightness", "strength: flat");
    expect(await messages("plate-moire", solid, APART)).toEqual([]);
    const pale = beating.replace(
      "traps: []",
      'traps: []\ninks:\n  ember: { colour: "#f4f3ef", opacity: 5% }\n  black: { colour: "#ecebe4", opacity: 5% }',
    );
    expect(await messages("plate-moire", pale, GREYS)).toEqual([]);
  });
});
