import { describe, expect, it } from "vitest";
import { CLEAR, type Drawn, messages, type Pixel, printOf, RED, saidBy, WHITE } from "../printed.ts";

const square = (at: Drawn["at"], more: Partial<Drawn> = {}): Drawn => ({
  width: 100,
  height: 100,
  at,
  ...more,
});

describe("print-size", () => {
  const press =
    "press: { stations: 10, flashes: 2, area: { width: 14 in, height: 16 in }, screen: { width: 13 in, height: 20 in } }\n";
  const at = (width: number, height: number) =>
    messages("print-size", `${press}artwork: { file: a.png, width: ${width} in }`, {
      width: 100,
      height: Math.round((100 * height) / width),
      at: () => RED,
    });

  it("speaks of prints beyond the press's area or the screen's, with what fits", async () => {
    expect(await at(15, 15)).toEqual([
      "the print is 381 mm × 381 mm and the press's print area 356 mm × 406 mm; print it 355 mm wide or less",
    ]);
    expect(await at(10, 20)).toEqual([
      "the print is 254 mm × 508 mm and the press's print area 356 mm × 406 mm; print it 203 mm wide or less",
    ]);
    expect(await at(13.5, 13.5)).toEqual([
      "the print is 343 mm × 343 mm and a screen's image area 330 mm × 508 mm; print it 330 mm wide or less",
    ]);
  });

  it("is silent of prints that fit, to the edge", async () => {
    expect(await at(13, 16)).toEqual([]);
  });
});

describe("artwork-file and artwork-profile", () => {
  it("pass on what the reader of the file noted", async () => {
    const notes = ["The file holds 3 pages or frames; only the first is used."];
    expect(
      await messages(
        "artwork-file",
        "",
        square(() => RED, { notes }),
      ),
    ).toEqual(["the file holds 3 pages or frames; only the first is used"]);
    expect(
      await messages(
        "artwork-file",
        "",
        square(() => RED),
      ),
    ).toEqual([]);
  });

  it.each([
    ["RGB without one", { profile: undefined }, 1],
    ["grey without one", { profile: undefined, colourSpace: "grey" }, 1],
    ["RGB with one", {}, 0],
    ["a drawing", { profile: undefined, vector: true }, 0],
    ["CMYK, which has a note of its own", { profile: undefined, colourSpace: "cmyk" }, 0],
    ["CIELAB, which needs none", { profile: undefined, colourSpace: "lab" }, 0],
  ] as const)("miss a profile: %s", async (_, info, count) => {
    expect(
      await messages(
        "artwork-profile",
        "",
        square(() => RED, { info }),
      ),
    ).toHaveLength(count);
  });
});

describe("soft-edge", () => {
  // 100 pixels on 100 mm: a pixel is 1 mm.
  const wide = "artwork: { file: a.png, width: 100 mm }";
  const fade =
    (from: number, to: number): Drawn["at"] =>
    (x, y): Pixel =>
      x < from || y < 5 || y > 94
        ? ([...RED.slice(0, 3), 255] as unknown as Pixel)
        : x >= to
          ? CLEAR
          : [216, 67, 31, 128];

  it("speaks of half-transparent parts, with their area and place", async () => {
    // 20 × 90 pixels less a rim of one: 18 × 88 = 1584 mm².
    const [message] = await messages("soft-edge", wide, square(fade(70, 90)));
    expect(message).toContain("16 cm² of the artwork, ");
    expect(message).toContain("right");
  });

  it("is silent of an edge's own softness", async () => {
    expect(await messages("soft-edge", wide, square(fade(50, 52)))).toEqual([]);
  });
});

describe("backdrop-box", () => {
  const figure =
    (ground: Pixel): Drawn["at"] =>
    (x, y) =>
      Math.hypot(x - 50, y - 50) < 30 ? RED : ground;

  it("speaks of a plain background that a plate prints, and says how to leave it out", async () => {
    const print = await printOf("artwork: { file: a.png, width: 100 mm }", square(figure(WHITE)));
    const [mark] = saidBy("backdrop-box", print);
    expect(mark!.message).toContain(
      "a plain background of #ffffff will print as a box of 100 mm × 100 mm in base, glint; cut it out",
    );
    expect(mark!.data?.colour).toBe("#ffffff");
  });

  it("is silent where the background was cut out, is no plain colour, or prints nowhere", async () => {
    expect(await messages("backdrop-box", "", square(figure(CLEAR)))).toEqual([]);
    const grain: Drawn["at"] = (x, y) => figure((x * 7 + y * 13) % 5 > 2 ? WHITE : [200, 210, 230])(x, y);
    expect(await messages("backdrop-box", "", square(grain))).toEqual([]);
    const without = `plates:
  base: { ink: white, purpose: underbase, extract: { artwork: opaque, except: { near: "#ffffff", within: 3 } } }
  ember: { ink: ember, extract: { hue: [350, 50], chroma: [20, 150] } }
setups:
  dark: { garments: [black], order: [base, flash, ember] }`;
    expect(await messages("backdrop-box", without, square(figure(WHITE)))).toEqual([]);
  });
});

describe("region-off-print", () => {
  const at = (width: string, region: string) =>
    messages(
      "region-off-print",
      `artwork: { file: a.png, width: ${width} }\nadjust:\n  - { plate: ember, region: ${region}, curve: [[0, 0], [100, 80]] }\n`,
      square(() => RED),
    );

  it("speaks of a region that stayed where it was as the print was made smaller", async () => {
    const ellipse = "{ ellipse: { centre: [6 in, 3 in], radii: [2 in, 2 in] } }";
    expect(await at("12 in", ellipse)).toEqual([]);
    expect(await at("6 in", ellipse)).toEqual([
      "half of this region or more lies off the print (152 × 152 mm); move it, or write it in percent, which scales",
    ]);
  });

  it("speaks of one below the print", async () => {
    expect(await at("50 mm", "{ rectangle: { from: [0 mm, 60 mm], to: [20 mm, 80 mm] } }")).toHaveLength(1);
  });

  it("is silent of one that scales, or reaches a little over the edge", async () => {
    expect(await at("6 in", "{ ellipse: { centre: [50%, 25%], radii: [17%, 17%] } }")).toEqual([]);
    expect(await at("100 mm", "{ rectangle: { from: [-10 mm, -10 mm], to: [60 mm, 110 mm] } }")).toEqual([]);
  });
});
