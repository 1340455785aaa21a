import { describe, expect, it } from "vitest";
import { parseCgats } from "../../../server/language/readings/cgats.ts";
import { targetReadings } from "../../../server/language/readings/target-readings.ts";

const table = (...rows: string[]) =>
  parseCgats(
    `CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B VALUE_MM\nEND_DATA_FORMAT\nBEGIN_DATA\n${rows.join("\n")}\nEND_DATA\n`,
  );

describe("readings of a target sheet", () => {
  it("are its samples that were read, with their lines; others are passed over", () => {
    const { readings, problems } = targetReadings(
      table(
        '1 "ember 45lpi 50 over garment" 60 20 10 -',
        '2 "ember 45lpi 60 over garment" - - - -',
        '3 "card, white" 95 0 0 -',
        '4 "ember line across" - - - 0,15',
        '5 "ember register y" - - - -0.2',
        '6 "ember register x" - - - -',
      ),
    );
    expect(problems).toEqual([]);
    expect(readings.map(({ line, colour, mm }) => [line, colour?.L ?? mm])).toEqual([
      [6, 60],
      [9, 0.15],
      [10, -0.2],
    ]);
  });

  it.each([
    ['1 "ember line across" - - - wide', 'VALUE_MM is "wide"; a number belongs there'],
    ['1 "ember line across" - - - 0', "VALUE_MM is 0; a width lies between 0 and 5 mm"],
    ['1 "ember register x" - - - 12', "VALUE_MM is 12; plates lie within 5 mm"],
    ['1 "ember solid over garment" 150 0 0 -', "LAB_L is 150; it lies between 0 and 100"],
    ['1 "ember solid over garment" 50 - 0 -', 'LAB_A is "-"; a number belongs there'],
    [
      '1 "ember" 50 0 0 -',
      "no sample of a target sheet has a reading here; fill in the file that came with its films",
    ],
  ])("%s", (row, message) => {
    expect(targetReadings(table(row)).problems.map((p) => [p.level, p.message])).toEqual([
      ["error", message],
    ]);
  });
});
