import { describe, expect, it } from "vitest";
import { resolveRecipe } from "../../../server/language/resolve-recipe.ts";
import { moire } from "../../../server/rules/screening/moire.ts";
import { jobWith } from "../example.ts";

const marks = (screening: string, plates: Readonly<Record<string, string>> = {}, base = "122/in") => {
  const of = (name: string) => (plates[name] === undefined ? "" : `, screening: ${plates[name]}`);
  const { main, shop } = jobWith(`meshes: { base: { count: ${base} }, fine: { count: 225/in } }
usual-mesh: { underbase: base, colour: fine, shadow: fine, highlight: fine }
screening: ${screening}
plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque }${of("base")} }
  ember: { ink: ember, extract: { hue: [350, 50], fade: 12 }${of("ember")} }
  black: { ink: black, purpose: shadow, extract: { lightness: [0, 18], fade: 20 }${of("black")} }
  glint: { ink: white, purpose: highlight, extract: { lightness: [92, 100], fade: 6 } }`);
  return [...moire.check(resolveRecipe(main, shop))];
};

describe("moire", () => {
  it("turns all plates of an angle together, whatever their mesh, so that they do not beat with one another", () => {
    const [first] = marks("{ ruling: 45 lpi, angle: 0 }");
    expect(first!.message).toMatch(/; turn all 4 screens to [\d.]+°/);
    expect(first!.data!.angle!.plates).toEqual(["base", "ember", "black", "glint"]);
  });

  it("turns a plate to no angle at which it beats with the others", () => {
    // 20° would do for the mesh, 2.5° from the other plates; 45 lpi on 225/in beats at 0°.
    const [mark] = marks("{ ruling: 45 lpi, angle: 22.5 }", { ember: "{ angle: 0 }" });
    expect(mark!.path).toEqual(["plates", "ember"]);
    const angle = mark!.data!.angle!.angle;
    const apart = Math.abs(angle - 22.5) % 90;
    expect(Math.min(apart, 90 - apart) === 0 || Math.min(apart, 90 - apart) > 15).toBe(true);
    expect(marks("{ ruling: 45 lpi, angle: 22.5 }", { ember: `{ angle: ${angle} }` })).toEqual([]);
  });

  it("keeps high harmonics that beat: 55 lpi at 45° on 305/in", () => {
    const all = marks("{ ruling: 55 lpi, angle: 45 }", {}, "305/in");
    expect(all.map(({ message }) => message).join()).toContain(
      "mesh base (305/in) and 55 lpi at 45° beat every 4.1 mm, by up to 1.3 % of tone, which will show on base",
    );
  });

  it("is not asked of grains", () => {
    expect(marks("{ ruling: 45 lpi, angle: 0, method: fm }")).toEqual([]);
  });
});
