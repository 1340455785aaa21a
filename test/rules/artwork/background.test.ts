import { expect, it } from "vitest";
import { type Drawn, printOf, RED, saidBy, WHITE } from "../printed.ts";

/** 100 × 100 mm at a pixel a millimetre: a red square of 60 mm on a white page, with a hole of 20 mm. */
const frame: Drawn = {
  width: 100,
  height: 100,
  at: (x, y) => {
    const within = (from: number, to: number) => x >= from && x < to && y >= from && y < to;
    return within(20, 80) && !within(40, 60) ? RED : WHITE;
  },
};
const job = (enclosed: string) =>
  `artwork: { file: a.png, width: 100 mm, background: { colour: "#ffffff"${enclosed} } }`;

it("areas inside the drawing that stay bare are reported with their size, and can be printed by a fix", async () => {
  const [mark] = saidBy("background-cut", await printOf(job(", enclosed: cut"), frame));
  expect(mark).toEqual({
    path: ["artwork", "background", "enclosed"],
    message:
      'the page is cut out (64 cm²); of its colour inside the drawing 4 cm² stays bare garment; "enclosed: kept" prints it all',
    data: { replacement: "kept" },
  });
});

it("nothing is told where it is kept, or where there is none", async () => {
  expect(saidBy("background-cut", await printOf(job(""), frame))).toEqual([]);
  const solid: Drawn = {
    ...frame,
    at: (x, y) => (frame.at(x, y) === RED || (x > 30 && x < 70) ? RED : WHITE),
  };
  expect(saidBy("background-cut", await printOf(job(", enclosed: cut"), solid))).toEqual([]);
});
