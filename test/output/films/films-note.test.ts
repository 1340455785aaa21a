import { expect, it } from "vitest";
import { type FilmsNote, filmsNoteText, readFilmsNote } from "../../../server/output/films/films-note.ts";
import { leftOutOf, leftOutText } from "../../../server/output/films/left-out.ts";

const NONE = { count: 0, mm2: 0 };
const NOTE: FilmsNote = {
  platewright: { films: 1 },
  title: "Bars",
  setup: "dark",
  recipe: "0123456789ab",
  dpi: 1200,
  platePpi: 533.333,
  mirror: false,
  films: [
    {
      plate: "blue",
      file: "bars-dark.pdf",
      ink: "blue",
      leftOut: { marks: { count: 3, mm2: 0.25 }, holes: NONE, lines: NONE, gaps: NONE },
    },
  ],
};
const OF = { setup: "dark", recipe: "0123456789ab" };

it("is read back where it is of this setup and this recipe", () => {
  expect(readFilmsNote(filmsNoteText(NOTE), OF)).toEqual(NOTE);
  expect(readFilmsNote(filmsNoteText(NOTE), { ...OF, setup: "light" })).toBeUndefined();
  expect(readFilmsNote(filmsNoteText(NOTE), { ...OF, recipe: "ba9876543210" })).toBeUndefined();
});

it.each<[string, unknown]>([
  ["another program's", { films: [] }],
  ["another version's", { ...NOTE, platewright: { films: 2 } }],
  ["one without a resolution", { ...NOTE, platePpi: "533" }],
  ["one whose films are no list", { ...NOTE, films: { length: 1 } }],
  ["one with a film without a file", { ...NOTE, films: [{ ...NOTE.films[0], file: 3 }] }],
  ["one with counts that are none", { ...NOTE, films: [{ ...NOTE.films[0], leftOut: { marks: NONE } }] }],
  ["nothing", null],
])("is not read where it is %s", (_, note) => {
  expect(readFilmsNote(JSON.stringify(note), OF)).toBeUndefined();
});

it("is not read where it is no JSON", () => {
  expect(readFilmsNote("films: 1", OF)).toBeUndefined();
});

it("tells counts and areas, of film pixels and of plate pixels each in their own size", () => {
  const dropped = { marks: 1, markPixels: 40, holes: 2, holePixels: 5 };
  const lost = { lines: 3, linePixels: 10, gaps: 0, gapPixels: 0 };
  expect(leftOutText(leftOutOf(dropped, 0.1, lost, 0.5))).toBe(
    "left out 1 mark (0.4 mm²), filled 2 holes (0.1 mm²), left out 3 lines (2.5 mm²)",
  );
  expect(leftOutText(leftOutOf({ ...dropped, holes: 0, holePixels: 0 }, 0.01, undefined, 0.5))).toBe(
    "left out 1 mark (under 0.1 mm²)",
  );
  expect(leftOutText(leftOutOf(undefined, 0.1, undefined, 0.5))).toBeUndefined();
});
