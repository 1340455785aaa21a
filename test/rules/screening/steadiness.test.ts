import { describe, expect, it } from "vitest";
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

const job = (register: string, angle = "") => `artwork: { file: a.png, width: 100 mm }
press: { stations: 10, flashes: 2, misregistration: ${register} }
garments: { white: { colour: "#f4f3ef" } }
plates:
  ember: { ink: ember, extract: { artwork: opaque }, strength: lightness${angle} }
  black: { ink: black, extract: { artwork: opaque }, strength: darkness }
setups:
  light: { garments: [white], order: [black, ember] }
`;

describe("colours that change from print to print", () => {
  it("are warned of where halftones nest in poor register, with another angle", async () => {
    const print = await printOf(job("0.5 mm"), GREYS);
    const [mark] = saidBy("unsteady-colour", print);
    expect(mark!.message).toMatch(
      /^setup light will vary by up to \d\.\d ΔE00 \(95 %\) with screens 0\.5 mm off, most of all where halftones of (ember and black|black and ember) overlap; turn (ember|black) to 67\.5°$/,
    );
    expect(mark!.data?.angle?.angle).toBe(67.5);
    expect(saidBy("slightly-unsteady-colour", print)).toEqual([]);
  });

  it("are a note where they change less", async () => {
    const print = await printOf(job("0.13 mm"), GREYS);
    expect(saidBy("unsteady-colour", print)).toEqual([]);
    expect(saidBy("slightly-unsteady-colour", print)).toHaveLength(1);
  });

  it.each([
    ["in good register", job("0.05 mm")],
    ["where angles differ", job("0.5 mm", ", screening: { angle: 67.5 }")],
  ])("are nothing %s", async (_, text) => {
    expect(await messages("unsteady-colour", text, GREYS)).toEqual([]);
    expect(await messages("slightly-unsteady-colour", text, GREYS)).toEqual([]);
  });
});
