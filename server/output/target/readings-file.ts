import { type Sheet, sheetSamples } from "../../engine/target/sheet.ts";

/** Stands where nothing was read yet. */
export const UNREAD = "-";

const FIELDS = ["SAMPLE_ID", "SAMPLE_NAME", "LAB_L", "LAB_A", "LAB_B", "VALUE_MM"] as const;

/** A file of readings for a target sheet, as CGATS.17 / ISO 28178 text, to be filled in: a sample a row, colours first. */
export function emptyReadings(sheet: Sheet, title: string, producer: string): string {
  const rows = sheetSamples(sheet).map(({ name }, i) =>
    [i + 1, `"${name}"`, ...Array(4).fill(UNREAD)].join("\t"),
  );
  return [
    "CGATS.17",
    `# Readings of the target sheet. ${UNREAD} means not read. Colours: CIELAB under D50, 2 degrees, in LAB_L, LAB_A and LAB_B.`,
    "# Lines and gaps: VALUE_MM, the narrowest that is whole, in mm. Register: VALUE_MM, how far the plates are apart.",
    "# To read a sample more than once, repeat its row.",
    `ORIGINATOR "${producer}"`,
    `DESCRIPTOR "${title.replaceAll('"', "'")}"`,
    'WEIGHTING_FUNCTION "ILLUMINANT,D50"',
    'WEIGHTING_FUNCTION "OBSERVER,2 degree"',
    `NUMBER_OF_FIELDS ${FIELDS.length}`,
    "BEGIN_DATA_FORMAT",
    FIELDS.join("\t"),
    "END_DATA_FORMAT",
    `NUMBER_OF_SETS ${rows.length}`,
    "BEGIN_DATA",
    ...rows,
    "END_DATA",
    "",
  ].join("\n");
}
