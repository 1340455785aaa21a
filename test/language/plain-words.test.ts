import { describe, expect, it } from "vitest";
import { parseDocument } from "../../server/language/document.ts";
import { plainWords } from "../../server/language/plain-words.ts";
import NIGHT_GARDEN from "./night-garden.ts";

const words = (text: string) => plainWords("recipe", parseDocument("job.sep.yaml", text).value);

describe("plain words", () => {
  it("put one fact on a line, in the format's order and one notation", () => {
    expect(
      words(
        'setups: { dark: { order: [base, flash], garments: [black] } }\nartwork: { width: 1 in, file: "a.png" } # note\n' +
          'garments: { black: { colour: "#FFF" } }\ntraps:\n  - { spread: 50 um, plate: base }\n',
      ),
    ).toBe(
      [
        "artwork.file: a.png",
        "artwork.width: 25.4 mm",
        "garments.black.colour: lab(100 0 0)",
        "traps - { plate: base, spread: 0.05 mm }",
        "setups.dark.garments: [black]",
        "setups.dark.order - base",
        "setups.dark.order - flash",
        "",
      ].join("\n"),
    );
  });

  it("are the same for what means the same", () => {
    const rewritten = NIGHT_GARDEN.replace("width: 12 in", "width: 30.48 cm")
      .replace('"#8c2f2b"', '"#8C2F2B"')
      .replace(/^ *#.*\n/gm, "");
    expect(rewritten).not.toBe(NIGHT_GARDEN);
    expect(words(rewritten)).toBe(words(NIGHT_GARDEN));
    expect(words(NIGHT_GARDEN.replace("fade: 74", "fade: 75"))).not.toBe(words(NIGHT_GARDEN));
  });

  it("keep half-written and hostile text on its line", () => {
    expect(words('title: "a\\nb\\u202ec"\nplates: { ember: , 7: [x, { y: 1 }] }\n')).toBe(
      'title: "a\\nb\\u202ec"\nplates.7: [x, { y: 1 }]\nplates.ember: null\n',
    );
  });
});
