import { describe, expect, it } from "vitest";
import { numberOf, parseCgats } from "../../../server/language/readings/cgats.ts";

const SOUND = `CGATS.17
ORIGINATOR "Back Lane workshop"
CREATED "11 May"
NUMBER_OF_FIELDS 5
BEGIN_DATA_FORMAT
SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B
END_DATA_FORMAT
NUMBER_OF_SETS 2
BEGIN_DATA
1 "ember on white" 55.8 57.1 54.6
2 "ember on black" 45.9 47.5 38.2
END_DATA
`;

const values = (text: string) => parseCgats(text).rows.map((row) => row.values.map((value) => value.text));
const said = (text: string) =>
  parseCgats(text).problems.map(
    ({ line, column, level, message }) => `${line}:${column} ${level}: ${message}`,
  );

const WANTED = [
  ["1", "ember on white", "55.8", "57.1", "54.6"],
  ["2", "ember on black", "45.9", "47.5", "38.2"],
];

describe("a file of readings", () => {
  it("gives header, fields, and rows with their places", () => {
    const { header, fields, rows, problems } = parseCgats(SOUND);
    expect(problems).toEqual([]);
    expect(header.get("ORIGINATOR")).toBe("Back Lane workshop");
    expect(fields).toEqual(["SAMPLE_ID", "SAMPLE_NAME", "LAB_L", "LAB_A", "LAB_B"]);
    expect(values(SOUND)).toEqual(WANTED);
    expect(rows[1]).toMatchObject({ line: 11 });
    expect(rows[1].values[2]).toEqual({ text: "45.9", line: 11, column: 20, quoted: false });
  });

  it.each<[string, (text: string) => string]>([
    ["tabs for blanks", (text) => text.replace(/ (?=(?:[^"]*"[^"]*")*[^"]*$)/gm, "\t")],
    ["CRLF", (text) => text.replaceAll("\n", "\r\n")],
    ["bare CR", (text) => text.replaceAll("\n", "\r")],
    ["a byte order mark", (text) => `\ufeff${text}`],
    ["another first line", (text) => text.replace("CGATS.17", "ISO28178")],
    ["lower case", (text) => text.replace(/[A-Z]{2,}[A-Z_]*/g, (word) => word.toLowerCase())],
    ["comments", (text) => text.replaceAll("\n", " # as measured\n")],
    ["blank lines and indents", (text) => text.replaceAll("\n", "\n\n   ")],
    [
      "announced keywords",
      (text) => text.replace("NUMBER_OF_FIELDS", 'KEYWORD "ROUGHNESS"\nROUGHNESS "low"\nNUMBER_OF_FIELDS'),
    ],
    ["fields over several lines", (text) => text.replace(" LAB_L", "\nLAB_L").replace(" LAB_B", "\n LAB_B")],
    ["END_DATA behind the last row", (text) => text.replace("38.2\nEND_DATA", "38.2 END_DATA")],
    ["no counts", (text) => text.replace(/NUMBER_OF.*\n/g, "")],
  ])("may have %s", (_, change) => {
    const text = change(SOUND);
    expect(text).not.toBe(SOUND);
    expect(values(text)).toEqual(WANTED);
    expect(said(text)).toEqual([]);
  });

  it("may hold quotes within quotes", () => {
    expect(values(SOUND.replace("ember on white", 'the ""new"" ember'))[0][1]).toBe('the "new" ember');
  });

  it.each([
    ["-1.5", -1.5],
    ["54,6", 54.6],
    ["1e-3", 0.001],
    [".5", 0.5],
    ["n/a", undefined],
    ["1.2.3", undefined],
    ["", undefined],
  ])("reads %s as %s", (text, number) => {
    expect(numberOf({ text, line: 1, column: 1 })).toBe(number);
  });
});

describe("what is wrong is said with its place:", () => {
  it.each<[string, string, string[]]>([
    [
      "a row that lacks a value",
      SOUND.replace(" 57.1", ""),
      ["10:25 error: this row has 4 values, but the format names 5 fields"],
    ],
    ["an open quote", SOUND.replace('white"', "white"), ["10:3 error: this quote is not closed on its line"]],
    [
      "too many fields counted",
      SOUND.replace("FIELDS 5", "FIELDS 9"),
      ["4:1 warning: NUMBER_OF_FIELDS says 9, but 5 fields are named; what is there counts"],
    ],
    [
      "the end cut off",
      SOUND.replace("END_DATA\n", "").replace("END_DATA_FORMAT", "END_DATA_FORMAT"),
      ["11:1 warning: END_DATA is missing; the file may have been cut off"],
    ],
    [
      "a field named twice",
      SOUND.replace("LAB_B", "LAB_A"),
      ["6:35 warning: the field LAB_A is named twice; the first counts"],
    ],
    [
      "no format",
      SOUND.replace(/BEGIN_DATA_FORMAT[\s\S]*END_DATA_FORMAT\n/, ""),
      ["6:1 error: data begin, but no BEGIN_DATA_FORMAT has named their fields"],
    ],
    [
      "some other file",
      "recipe: 1\n",
      ["1:1 error: no BEGIN_DATA_FORMAT: this is no CGATS.17 or ISO 28178 file"],
    ],
    [
      "no data",
      SOUND.replace(/BEGIN_DATA\n[\s\S]*/, "").replace("NUMBER_OF_SETS 2\n", ""),
      ["7:1 error: there are no data between BEGIN_DATA and END_DATA"],
    ],
    [
      "a second table",
      `${SOUND}BEGIN_DATA_FORMAT\nSAMPLE_ID\nEND_DATA_FORMAT\n`,
      ["13:1 warning: a second table begins here; only the first is read"],
    ],
  ])("%s", (_, text, problems) => {
    expect(said(text)).toEqual(problems);
  });

  it("nothing makes it throw", () => {
    for (let end = 0; end < SOUND.length; end += 3) {
      expect(() => parseCgats(SOUND.slice(0, end))).not.toThrow();
      expect(() => parseCgats(SOUND.slice(end))).not.toThrow();
    }
  });
});
