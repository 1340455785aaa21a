import { describe, expect, it } from "vitest";
import {
  BLACK,
  CLEAR,
  type Drawn,
  GREEN,
  messages,
  type Pixel,
  printOf,
  RED,
  saidBy,
  WHITE,
} from "../printed.ts";

/** 100 pixels on 100 mm: a pixel is 1 mm² of the garment. */
const WIDE = "artwork: { file: a.png, width: 100 mm }\n";
const square = (at: Drawn["at"]): Drawn => ({ width: 100, height: 100, at });
/** Columns of colour, from left to right. */
const columns = (...parts: readonly [until: number, colour: Pixel][]): Drawn =>
  square((x) => parts.find(([until]) => x < until)?.[1] ?? CLEAR);

const BASE = "  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }\n";
const inOrder = (...plates: string[]) =>
  `setups:\n  dark: { garments: [black], order: [${plates.join(", ")}] }\n`;

describe("far-ink", () => {
  const plate = (range: string) =>
    `${WIDE}plates:\n${BASE}  ember: { ink: ember, extract: { ${range} } }\n${inOrder("base", "flash", "ember")}`;

  it("speaks of a plate that takes green and prints red", async () => {
    const print = await printOf(
      plate("hue: [120, 180], chroma: [20, 150]"),
      columns([50, RED], [100, GREEN]),
    );
    const [mark] = saidBy("far-ink", print);
    expect(mark).toMatchObject({ path: ["plates", "ember", "ink"], data: { colour: "#1e8c3c" } });
    expect(mark!.message).toMatch(
      /^ember takes #1e8c3c from the artwork, mostly, and prints it with ember, \d+ ΔE00 away/,
    );
  });

  it("is silent of one that takes red", async () => {
    expect(
      await messages("far-ink", plate("hue: [350, 60], chroma: [20, 150]"), columns([50, RED], [100, GREEN])),
    ).toEqual([]);
  });
});

describe("twin-plates", () => {
  const twins = (range: string) =>
    `${WIDE}inks:
  white: { colour: "#f8f8f4", opacity: 92% }
  ember: { colour: "#d8431f", opacity: 70% }
  rose: { colour: "#d0306a", opacity: 70% }
plates:
${BASE}  ember: { ink: ember, extract: { hue: [350, 60], chroma: [20, 150] } }
  rose: { ink: rose, extract: { ${range}, chroma: [20, 150] } }
${inOrder("base", "flash", "ember", "rose")}`;
  const art = columns([48, RED], [52, GREEN], [80, CLEAR]);

  it("speaks of two plates with the same dots, and offers to fold one", async () => {
    const print = await printOf(twins("hue: [345, 62]"), art);
    expect(saidBy("twin-plates", print)).toMatchObject([
      {
        path: ["plates", "rose"],
        message:
          "rose and ember print nearly the same: 100 % of their ink falls in the same place; draw their ranges apart, or fold one into the other",
        data: { fold: { plate: "rose", into: "ember" } },
      },
    ]);
  });

  it("is silent of plates that share little", async () => {
    expect(await messages("twin-plates", twins("hue: [120, 180]"), art)).toEqual([]);
  });
});

describe("unprinted-artwork", () => {
  const plates = (more: string, ...order: string[]) =>
    `${WIDE}inks:
  white: { colour: "#f8f8f4", opacity: 92% }
  ember: { colour: "#d8431f", opacity: 70% }
${more ? '  leaf: { colour: "#1e8c3c", opacity: 70% }\n' : ""}plates:
${BASE}  ember: { ink: ember, extract: { hue: [350, 60], chroma: [20, 150] } }
${more}${inOrder("base", "flash", "ember", ...order)}`;
  // Ten columns of 100 pixels: 10 cm².
  const art = columns([50, RED], [60, GREEN], [70, WHITE]);

  it("finds the colour that falls between all ranges, with its area, swatch and place", async () => {
    const print = await printOf(plates(""), art);
    expect(saidBy("unprinted-artwork", print)).toMatchObject([
      {
        path: ["setups", "dark"],
        message:
          'no plate prints 10 cm² of #1e8c3c, down the middle; on black that colour will be missing: widen a range, or add a plate with near: "#1e8c3c"',
        data: { colour: "#1e8c3c" },
      },
    ]);
  });

  it("is silent once a plate prints it; white needs no more than the underbase", async () => {
    const leaf = "  leaf: { ink: leaf, extract: { hue: [120, 180], chroma: [20, 150] } }\n";
    expect(await messages("unprinted-artwork", plates(leaf, "leaf"), art)).toEqual([]);
  });
});

describe("near-empty-plate", () => {
  const two = (more = "") =>
    `${WIDE}inks:
  white: { colour: "#f8f8f4", opacity: 92% }
  ember: { colour: "#d8431f", opacity: 70% }
  leaf: { colour: "#1e8c3c", opacity: 70% }
plates:
${BASE}  ember: { ink: ember, extract: { hue: [350, 60], chroma: [20, 150] } }
  leaf: { ink: leaf, extract: { hue: [120, 180], chroma: [20, 150] } }
${inOrder("base", "flash", "ember", "leaf")}${more}`;
  const specks = (count: number) => square((x, y) => (y === 10 && x < count ? GREEN : x < 90 ? RED : CLEAR));

  it("says what a fold into the nearest neighbour would cost", async () => {
    const print = await printOf(two(), specks(30));
    const [mark] = saidBy("near-empty-plate", print);
    expect(mark).toMatchObject({
      path: ["plates", "leaf"],
      data: { fold: { plate: "leaf", into: "ember" } },
    });
    // 30 of 10,000 pixels, 1 mm² each.
    expect(mark!.message).toMatch(
      /^leaf prints 0\.3 cm² of ink, 0\.3 % of the print, and takes a screen for it; fold it into ember, which costs (\d+) ΔE00 where it prints$/,
    );
    // Green turned red: far apart.
    expect(Number(/costs (\d+)/.exec(mark!.message)![1])).toBeGreaterThan(30);
  });

  it("is silent of a plate with a little more, and of one that is folded already", async () => {
    expect(await messages("near-empty-plate", two(), specks(50))).toEqual([]);
    const folded = two("merges:\n  - { fold: leaf, into: ember }\n").replace(", ember, leaf]", ", ember]");
    expect(await messages("near-empty-plate", folded, specks(30))).toEqual([]);
  });

  it("says of a plate without any ink that its range holds nothing", async () => {
    expect(await messages("near-empty-plate", two(), specks(0))).toEqual([
      "leaf prints nothing at all; its range holds no colour of the artwork: widen it, or take the plate out",
    ]);
  });
});

describe("base-under-black", () => {
  const art = columns([20, BLACK], [80, RED]);

  it("speaks of black over white, and knows the knockout that mends it", async () => {
    const print = await printOf(`${WIDE}knockouts: []`, art);
    expect(saidBy("base-under-black", print)).toMatchObject([
      {
        path: ["plates", "base"],
        message:
          "black prints over base on 20 cm², on the left, and will turn grey there; knock base out where black prints",
        data: { add: { list: ["knockouts"], text: "{ from: base, where: black, choke: 0.4 mm }" } },
      },
    ]);
  });

  it("is silent where it is knocked out", async () => {
    expect(await messages("base-under-black", WIDE, art)).toEqual([]);
  });
});

describe("needless-base", () => {
  const art = columns([30, [23, 23, 26]], [80, RED]);
  const base = (range: string) =>
    `${WIDE}plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque${range} } }
  ember: { ink: ember, extract: { hue: [350, 60], chroma: [20, 150] } }
${inOrder("base", "flash", "ember")}`;

  it("speaks of white below what is as dark as the garment", async () => {
    // The choke of 0.1 mm is a tenth of a pixel: it moves no whole one.
    const [message] = await messages("needless-base", base(""), art);
    expect(message).toBe(
      "base lies under 30 cm² of artwork, on the left, as dark as the black garment itself; leave it out there",
    );
  });

  it("is silent where the base leaves the darks out", async () => {
    expect(await messages("needless-base", base(", lightness: [18, 100], fade: 6"), art)).toEqual([]);
  });
});

describe("eaten-lines", () => {
  // 200 pixels on 40 mm: a pixel is 0.2 mm. A solid, and five lines two pixels wide.
  const art: Drawn = {
    width: 200,
    height: 200,
    at: (x, y) => (x < 80 || (x >= 100 && x % 20 < 2 && y > 20 && y < 180) ? WHITE : CLEAR),
  };
  const choked = (by: string) =>
    `artwork: { file: a.png, width: 40 mm }\ntraps:\n  - { plate: base, choke: ${by} }`;

  it("finds the line that a choke takes away, with its area", async () => {
    // 5 × 159 × 2 pixels of 0.04 mm²: 0.64 cm².
    expect(await messages("eaten-lines", choked("0.4 mm"), art)).toEqual([
      "this choke takes lines thinner than 0.8 mm off base altogether, 0.64 cm² of them, in several places; choke less, or make them thicker",
    ]);
  });

  it("is silent of lines that a dark plate covers, and of halftone ones", async () => {
    const lines = ([r, g, b]: Pixel, alpha: number): Drawn => ({
      ...art,
      at: (x, y) => (x < 80 ? WHITE : art.at(x, y) === CLEAR ? CLEAR : [r, g, b, alpha]),
    });
    const dark = `inks:
  white: { colour: "#f8f8f4", opacity: 92% }
  black: { colour: "#131316", opacity: 97% }
plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  black: { ink: black, extract: { lightness: [0, 18] } }
knockouts: []
${inOrder("base", "flash", "black")}`;
    const job = `${choked("0.4 mm")}\n${dark}`;
    expect(await messages("eaten-lines", job, lines(WHITE, 255))).toHaveLength(1);
    expect(await messages("eaten-lines", job, lines(BLACK, 255))).toEqual([]);
    expect(await messages("eaten-lines", job, lines(WHITE, 140))).toHaveLength(1);
    expect(await messages("eaten-lines", job, lines(WHITE, 110))).toEqual([]);
  });

  it("is silent of a spread", async () => {
    expect(await messages("eaten-lines", choked("0.4 mm").replace("choke", "spread"), art)).toEqual([]);
  });

  it("is silent of a choke that leaves it, and where the picture is too coarse to tell", async () => {
    expect(
      await messages("eaten-lines", choked("0.2 mm").replace("width: 40 mm", "width: 60 mm"), art),
    ).toEqual([]);
    expect(await messages("eaten-lines", choked("0.1 mm"), art)).toEqual([]);
  });
});

describe("thin-halftone", () => {
  // 400 pixels on 50 mm: a pixel is 0.125 mm, a row at 45 lpi 0.56 mm.
  const lines = (colour: Pixel, width: number): Drawn => ({
    width: 400,
    height: 400,
    at: (x) => (x % 40 < width ? colour : CLEAR),
  });
  const plate = `artwork: { file: a.png, width: 50 mm }
plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque } }
  ember: { ink: ember, extract: { hue: [350, 60] }, strength: chroma }
${inOrder("base", "flash", "ember")}`;
  const PALE: Pixel = [236, 170, 150];

  it("speaks of halftone lines thinner than a row of dots", async () => {
    // Ten lines of 3 × 400 pixels of 1/64 mm²: 1.9 cm².
    expect(await messages("thin-halftone", plate, lines(PALE, 3))).toEqual([
      "1.9 cm² of ember, in several places, are halftone lines thinner than a row of dots (0.56 mm at 45 lpi) and will break up; print them solid, or take a finer ruling",
    ]);
  });

  it("is silent of solid lines, and of wide ones", async () => {
    expect(await messages("thin-halftone", plate, lines([214, 40, 10], 3))).toEqual([]);
    expect(await messages("thin-halftone", plate, lines(PALE, 12))).toEqual([]);
  });
});

describe("untrapped-edge", () => {
  const twoColours = (traps: string) =>
    `${WIDE}inks:
  white: { colour: "#f8f8f4", opacity: 92% }
  ember: { colour: "#d8431f", opacity: 70% }
  moss: { colour: "#1e8c3c", opacity: 70% }
plates:
${BASE}  ember: { ink: ember, extract: { near: "#d8431f", within: 12 } }
  moss: { ink: moss, extract: { near: "#1e8c3c", within: 12 } }
${traps}${inOrder("base", "flash", "ember", "moss")}`;
  const art = columns([50, RED], [100, GREEN]);

  it("speaks of two solids that only touch: how long, where, and what to write", async () => {
    const print = await printOf(twoColours("traps: [{ plate: base, choke: 0.2 mm }]\n"), art);
    expect(saidBy("untrapped-edge", print)).toMatchObject([
      {
        path: ["plates", "ember"],
        message:
          "ember only touches moss along 10 cm, down the middle, where lines open when screens are 0.2 mm off; spread neighbours by 0.2 mm",
        data: { add: { list: ["traps"], text: "{ neighbours: 0.2 mm }" } },
      },
    ]);
  });

  it("speaks of the longest alone where several pairs touch, since one trap closes them all", async () => {
    const text = `${WIDE}inks:
  white: { colour: "#f8f8f4", opacity: 92% }
  ember: { colour: "#d8431f", opacity: 70% }
  moss: { colour: "#1e8c3c", opacity: 70% }
  night: { colour: "#101018", opacity: 70% }
plates:
${BASE}  ember: { ink: ember, extract: { near: "#d8431f", within: 12 } }
  moss: { ink: moss, extract: { near: "#1e8c3c", within: 12 } }
  night: { ink: night, extract: { lightness: [0, 10] } }
traps: []
${inOrder("base", "flash", "ember", "moss", "night")}`;
    const three: Drawn = {
      ...art,
      at: (x, y) => (x < 50 ? RED : x > 70 && y > 60 ? [16, 16, 24] : GREEN),
    };
    const [mark, ...more] = saidBy("untrapped-edge", await printOf(text, three));
    expect(more).toEqual([]);
    expect(mark!.message).toMatch(
      /^ember only touches moss along 10 cm, down the middle \(and 1 other pair\), /,
    );
  });

  it("asks for more where neighbours are spread by less", async () => {
    const print = await printOf(twoColours("traps: [{ neighbours: 0.05 mm }]\n"), art);
    expect(saidBy("untrapped-edge", print)).toMatchObject([
      { path: ["traps", 0, "neighbours"], data: { replacement: "0.2 mm" } },
    ]);
  });

  it.each([
    ["neighbours are spread", "traps: [{ neighbours: 0.2 mm }]\n"],
    ["one is spread under the other", "traps: [{ plate: ember, spread: 0.25 mm, under: moss }]\n"],
    ["one is spread", "traps: [{ plate: moss, spread: 0.2 mm }]\n"],
  ])("is silent where %s", async (_, traps) => {
    expect(await messages("untrapped-edge", twoColours(traps), art)).toEqual([]);
  });

  it("is silent of plates apart", async () => {
    const apart = columns([40, RED], [60, CLEAR], [100, GREEN]);
    expect(await messages("untrapped-edge", twoColours("traps: []\n"), apart)).toEqual([]);
  });
});

describe("base-ring", () => {
  const outlined = (traps: string) =>
    `${WIDE}plates:
${BASE}  ember: { ink: ember, extract: { near: "#d8431f", within: 12 } }
  black: { ink: black, purpose: shadow, extract: { lightness: [0, 18], fade: 4 } }
knockouts: []
${traps}${inOrder("base", "flash", "ember", "black")}`;
  const art = columns([10, CLEAR], [14, BLACK], [86, RED], [90, BLACK], [100, CLEAR]);

  it("speaks of an underbase that reaches to the outer edge of outlines, and offers a choke", async () => {
    const [mark] = saidBy("base-ring", await printOf(outlined("traps: []\n"), art));
    expect(mark).toMatchObject({
      path: ["plates", "base"],
      data: { add: { list: ["traps"], text: "{ plate: base, choke: 0.2 mm }" } },
    });
    expect(mark!.message).toMatch(/^base reaches the outer edge of dark outlines along 2\d\d mm/);
  });

  it("is silent where it ends inside of them", async () => {
    expect(await messages("base-ring", outlined("traps: [{ plate: base, choke: 0.2 mm }]\n"), art)).toEqual(
      [],
    );
  });

  it("is silent where black knocks it out up to the outer edge", async () => {
    const knocked = outlined("traps: []\n").replace(
      "knockouts: []",
      "knockouts: [{ from: base, where: black, choke: 0.4 mm }]",
    );
    expect(await messages("base-ring", knocked, art)).toEqual([]);
  });
});
