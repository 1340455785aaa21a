import type { Reading } from "../../engine/target/figures.ts";
import { sampleOf } from "../../engine/target/samples.ts";
import { type Cgats, type CgatsProblem, type CgatsRow, numberOf } from "./cgats.ts";
import { rowColour } from "./samples.ts";

/** Fields that hold colours; where all of a row's are empty nothing was read. */
const COLOURS = /^(?:LAB_[LAB]|XYZ_[XYZ]|SPECTRAL_\w+|R?_?\d{3}(?:NM)?)$/i;
const EMPTY = /^[-–—]?$/;

/** A target sheet's readings out of a table: each row's sample by its SAMPLE_NAME, or SAMPLE_ID where it has no name. */
export function targetReadings(table: Cgats): {
  readonly readings: readonly Reading[];
  readonly problems: readonly CgatsProblem[];
} {
  const readings: Reading[] = [];
  const problems: CgatsProblem[] = [...table.problems];
  const column = (name: string) => table.fields.findIndex((field) => field.toUpperCase() === name);
  const named = [column("SAMPLE_NAME"), column("SAMPLE_ID")].filter((at) => at >= 0);
  const lengths = column("VALUE_MM");
  const coloured = table.fields.flatMap((field, at) => (COLOURS.test(field) ? [at] : []));
  const isRead = (row: CgatsRow, at: number) => at >= 0 && !EMPTY.test(row.values[at]!.text.trim());
  for (const row of table.rows) {
    const names = named.map((at) => row.values[at]!.text.trim());
    const sample = names.map(sampleOf).find((found) => found !== undefined);
    if (!sample) continue;
    const { line } = row;
    if (sample.kind === "patch") {
      if (!coloured.some((at) => isRead(row, at))) continue;
      const colour = rowColour(table, row);
      if ("problem" in colour) problems.push(colour.problem);
      else readings.push({ sample, colour: colour.value, line });
    } else if (isRead(row, lengths)) {
      const value = row.values[lengths]!;
      const mm = numberOf(value);
      const problem =
        mm === undefined
          ? `VALUE_MM is "${value.text}"; a number belongs there`
          : sample.kind === "register"
            ? Math.abs(mm) > 5 && `VALUE_MM is ${mm}; plates lie within 5 mm`
            : !(mm > 0 && mm <= 5) && `VALUE_MM is ${mm}; a width lies between 0 and 5 mm`;
      if (problem)
        problems.push({ level: "error", line: value.line, column: value.column, message: problem });
      else if (mm !== undefined) readings.push({ sample, mm, line });
    }
  }
  if (readings.length === 0 && !problems.some(({ level }) => level === "error"))
    problems.push({
      level: "error",
      line: 1,
      column: 1,
      message: "no sample of a target sheet has a reading here; fill in the file that came with its films",
    });
  return { readings, problems };
}
