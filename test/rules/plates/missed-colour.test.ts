import { expect, it } from "vitest";
import { type Drawn, GREEN, printOf, RED, saidBy } from "../printed.ts";

/** 100 × 100 mm at a pixel a millimetre: red, and green in the right fifth. */
const art: Drawn = { width: 100, height: 100, at: (x) => (x < 80 ? RED : GREEN) };
const job = (inks: string, plates: string) => `artwork: { file: a.png, width: 100 mm }
garments: { white: { colour: "#ffffff" } }
inks:
  ember: { colour: "#d8431f", opacity: 95% }
${inks}plates:
  ember: { ink: ember, extract: { artwork: opaque } }
${plates}setups:
  light: { garments: [white], order: [ember] }
traps: []
knockouts: []
`;
const leaf = '  leaf: { colour: "#1e8c3c", opacity: 95% }\n';

it("a colour that prints as another is reported with its area, its place and what it would cost", async () => {
  const [mark, ...more] = saidBy("missed-colour", await printOf(job("", ""), art));
  expect(more).toEqual([]);
  expect(mark).toMatchObject({ path: ["setups", "light"], part: "key", data: { colour: "#1e8c3c" } });
  expect(mark!.message).toMatch(
    /^#1e8c3c will print ΔE00 \d\d off on white, 20 cm² or 20 % of the drawing, on the right; have an ink mixed to it, one screen more$/,
  );
  expect(mark!.data).not.toHaveProperty("plate");
});

it("an ink in the library that is not printed yet is named, with the plate that a fix adds", async () => {
  const [mark] = saidBy("missed-colour", await printOf(job(leaf, ""), art));
  expect(mark!.message).toContain("; add leaf, one screen more");
  expect(mark!.data).toEqual({ colour: "#1e8c3c", plate: { ink: "leaf", colour: "#1e8c3c" } });
});

it("where a plate has the ink, its range is what misses", async () => {
  const narrow = '  leaf: { ink: leaf, extract: { near: "#0000ff", within: 2 } }\n';
  const text = job(leaf, narrow).replace("order: [ember]", "order: [ember, leaf]");
  const [mark] = saidBy("missed-colour", await printOf(text, art));
  expect(mark!.message).toContain("; leaf has the ink for it: take more of that colour into it");
});

it("every colour of flat art is reported, and of art in tones the largest alone", async () => {
  const two: Drawn = { ...art, at: (x, y) => (x < 60 ? RED : y < 40 ? [40, 60, 200] : GREEN) };
  const colours = async (artwork: string) =>
    saidBy("missed-colour", await printOf(job("", "").replace(/^artwork: .*$/m, artwork), two)).map(
      ({ data }) => data?.colour,
    );
  expect(await colours("artwork: { file: a.png, width: 100 mm }")).toEqual(["#1e8c3c"]);
  const flat = 'flat: { colours: ["#d8431f", "#1e8c3c", "#283cc8"] }';
  expect(await colours(`artwork: { file: a.png, width: 100 mm, ${flat} }`)).toEqual(["#1e8c3c", "#283cc8"]);
});

it("is silent where it prints as it is", async () => {
  const plate = '  leaf: { ink: leaf, extract: { near: "#1e8c3c", within: 8 } }\n';
  const text = job(leaf, plate)
    .replace("order: [ember]", "order: [ember, leaf]")
    .replace("extract: { artwork: opaque }", "extract: { hue: [350, 60] }");
  expect(saidBy("missed-colour", await printOf(text, art))).toEqual([]);
});
