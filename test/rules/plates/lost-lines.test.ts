import { expect, it } from "vitest";
import { BLACK, CLEAR, type Drawn, printOf, saidBy } from "../printed.ts";

/** 50 × 50 mm at ten pixels a millimetre. */
const drawn = (at: (x: number, y: number) => boolean): Drawn => ({
  width: 500,
  height: 500,
  at: (x, y) => (at(x, y) ? BLACK : CLEAR),
});
const job = (limits: string) => `artwork: { file: a.png, width: 50 mm }
garments: { white: { colour: "#ffffff" } }
inks: { black: { colour: "#131316", opacity: 97% } }
plates:
  black: { ink: black, extract: { artwork: opaque } }
knockouts: []
traps: []
screening: { ${limits} }
setups:
  light: { garments: [white], order: [black] }
`;
const within = (v: number, from: number, to: number) => v >= from && v < to;
const block = (x: number, y: number) => within(x, 100, 300) && within(y, 100, 300);

it("a line that the mesh does not hold is told with its width, its length and its place", async () => {
  // 0.4 mm wide, 30 mm long, at the top.
  const art = drawn((x, y) => block(x, y) || (within(y, 40, 44) && within(x, 100, 400)));
  const print = await printOf(job("smallest-line: 0.8 mm, smallest-gap: 0.1 mm"), art);
  const [mark, ...more] = saidBy("lost-lines", print);
  expect(more).toEqual([]);
  expect(mark!.path).toEqual(["plates", "black"]);
  expect(mark!.message).toMatch(
    /^lines of black, from 0\.4 mm wide, (29|30) mm in all, are too thin for the mesh and left out, at the top; draw them wider/,
  );
  expect(saidBy("lost-details", print)).toEqual([]);
});

it("a gap that fills in is told likewise", async () => {
  const art = drawn((x, y) => block(x, y) && !within(x, 198, 202));
  const [mark, ...more] = saidBy(
    "lost-lines",
    await printOf(job("smallest-line: 0.1 mm, smallest-gap: 0.8 mm"), art),
  );
  expect(more).toEqual([]);
  expect(mark!.message).toMatch(
    /^gaps in black, from 0\.4 mm wide, (18|19|20) mm in all, are too thin for the mesh and closed/,
  );
});

it("many specks are a note", async () => {
  const art = drawn((x, y) => block(x, y) || (y > 320 && x % 20 < 4 && y % 20 < 4));
  const print = await printOf(job("smallest-line: 0.8 mm, smallest-gap: 0.1 mm"), art);
  expect(saidBy("lost-lines", print)).toEqual([]);
  expect(saidBy("lost-details", print)[0]!.message).toMatch(
    /^\d{2,3} specks and slivers of black are too thin/,
  );
});

it("nothing is told of what the screens hold", async () => {
  const art = drawn((x, y) => block(x, y) || (within(y, 40, 44) && within(x, 100, 400)));
  const print = await printOf(job("smallest-line: 0.2 mm, smallest-gap: 0.2 mm"), art);
  expect([...saidBy("lost-lines", print), ...saidBy("lost-details", print)]).toEqual([]);
});
