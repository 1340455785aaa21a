import type { Lab } from "../../engine/colour/cielab.ts";
import type { WedgeStep } from "../../engine/print/gain.ts";
import { BANDS, FIRST_NM, labFromSpectrum, labFromXyz, STEP_NM } from "../../engine/print/observer.ts";
import { suggestion } from "../suggest.ts";
import { type Cgats, type CgatsProblem, type CgatsRow, type CgatsValue, numberOf } from "./cgats.ts";

/** What a reading gives, or where the file goes wrong. */
export type Read<T> = { readonly value: T } | { readonly problem: CgatsProblem };

/** A step of a wedge, with the line that it was read from; of several readings of one tone the first. */
export interface ReadStep extends WedgeStep {
  readonly line: number;
}

/** The line of a sample, by the same names; 1 where there is none. */
export function sampleLine(table: Cgats, sample: string): number {
  const at = ["SAMPLE_NAME", "SAMPLE_ID"].map((field) => column(table, field)).filter((i) => i >= 0);
  const named = (i: number) => table.rows.find(({ values }) => values[i]!.text.trim() === sample.trim());
  return at.map(named).find((row) => row)?.line ?? 1;
}

/** The colour of a sample, by its SAMPLE_NAME or, without that, its SAMPLE_ID. */
export function sampleColour(table: Cgats, sample: string): Read<Lab> {
  const named = ["SAMPLE_NAME", "SAMPLE_ID"].filter((field) => column(table, field) >= 0);
  if (named.length === 0) return wrong(1, 1, "no field SAMPLE_NAME or SAMPLE_ID tells the samples apart");
  for (const field of named) {
    const at = column(table, field);
    const row = table.rows.find(({ values }) => values[at]!.text.trim() === sample.trim());
    if (row) return rowColour(table, row);
  }
  const known = [
    ...new Set(named.flatMap((field) => table.rows.map(({ values }) => values[column(table, field)]!.text))),
  ];
  return wrong(1, 1, `there is no sample "${sample}"${suggestion(sample, known, "samples are")}`);
}

/** All steps of a wedge by rising tone. `toneField` names the field of the film's tone, where it must be said. */
export function wedgeSteps(table: Cgats, toneField: string | undefined): Read<ReadStep[]> {
  const field = toneField ?? onlyTone(table);
  if (typeof field === "object") return field;
  const at = column(table, field);
  if (at < 0)
    return wrong(1, 1, `there is no field ${field}${suggestion(field, table.fields, "fields are")}`);
  const steps: ReadStep[] = [];
  for (const row of table.rows) {
    const value = row.values[at]!;
    const tone = numberOf(value);
    if (tone === undefined) return notNumber(value, field);
    if (tone < 0 || tone > 100)
      return wrong(value.line, value.column, `${field} is ${value.text}; a tone lies between 0 and 100`);
    const colour = rowColour(table, row);
    if ("problem" in colour) return colour;
    steps.push({ tone: tone / 100, colour: colour.value, line: row.line });
  }
  steps.sort((a, b) => a.tone - b.tone);
  return { value: mean(steps) };
}

/** Steps of one tone that were measured several times count once. */
function mean(steps: readonly ReadStep[]): ReadStep[] {
  const byTone = new Map<number, ReadStep[]>();
  for (const step of steps) {
    const same = byTone.get(step.tone);
    if (same) same.push(step);
    else byTone.set(step.tone, [step]);
  }
  return [...byTone].map(([tone, same]) => {
    const of = (key: keyof Lab) => same.reduce((sum, { colour }) => sum + colour[key], 0) / same.length;
    return { tone, colour: { L: of("L"), a: of("a"), b: of("b") }, line: same[0]!.line };
  });
}

/** Fields that hold the tone of a device's colorant: CMYK_K, 6CLR_3, GRAY, or what a shop calls it. */
const TONES = /^(?:CMYK_[CMYK]|CMY_[CMY]|\d+CLR_\d+|GRAY|GREY|K|TONE|TINT|DOT|SPOT(?:_\w+)?)$/i;

/** The one field whose tones go up and down. */
function onlyTone(table: Cgats): string | { readonly problem: CgatsProblem } {
  const varying = table.fields.filter(
    (field, at) => TONES.test(field) && new Set(table.rows.map(({ values }) => values[at]!.text)).size > 1,
  );
  const [only] = varying;
  if (only !== undefined && varying.length === 1) return only;
  if (only === undefined) return wrong(1, 1, "no field holds the wedge's tones on film; name it with tone:");
  return wrong(
    1,
    1,
    `several fields may hold the tones on film (${varying.join(", ")}); name one with tone:`,
  );
}

/** CIELAB D50, 2° of a row: as it stands there, from XYZ, or from reflectances. */
export function rowColour(table: Cgats, row: CgatsRow): Read<Lab> {
  const conditions = otherConditions(table);
  const take = (names: readonly string[]) => names.map((name) => column(table, name));
  const lab = take(["LAB_L", "LAB_A", "LAB_B"]);
  const xyz = take(["XYZ_X", "XYZ_Y", "XYZ_Z"]);
  const spectrum = spectralFields(table);
  if (!conditions && lab.every((at) => at >= 0)) {
    const read = numbers(table, row, lab);
    if ("problem" in read) return read;
    const [L, a, b] = read.value as [number, number, number];
    const { line, column: place } = row.values[lab[0]!]!;
    if (L < 0 || L > 105) return wrong(line, place, `LAB_L is ${L}; it lies between 0 and 100`);
    return { value: { L: Math.min(100, L), a, b } };
  }
  if (!conditions && xyz.every((at) => at >= 0)) {
    const read = numbers(table, row, xyz);
    if ("problem" in read) return read;
    const [X, Y, Z] = read.value.map((v) => v / 100) as [number, number, number];
    return { value: labFromXyz({ X, Y, Z }) };
  }
  if (spectrum.length >= 3) {
    const read = numbers(
      table,
      row,
      spectrum.map(({ at }) => at),
    );
    if ("problem" in read) return read;
    return {
      value: labFromSpectrum(
        resampled(
          spectrum.map(({ nm }) => nm),
          read.value,
        ),
      ),
    };
  }
  if (conditions) {
    return wrong(
      conditions.line,
      1,
      `the colours are measured under ${conditions.text}; D50 and the 2° observer are needed, or reflectances`,
    );
  }
  return wrong(
    1,
    1,
    "no colour is given: LAB_L, LAB_A and LAB_B, or XYZ_X, XYZ_Y and XYZ_Z, or reflectances (SPECTRAL_…)",
  );
}

/** Another illuminant or observer than CIELAB is taken under here, if the header says so. */
function otherConditions({ header }: Cgats): { readonly line: number; readonly text: string } | undefined {
  const said = [...header]
    .map(([key, value]) => `${key} ${value}`)
    .join("; ")
    .toUpperCase();
  const illuminant = /ILLUMINANT(?:_NAME)?[\s,;:"]+(A|C|D55|D65|D75|F\d+)\b/.exec(said);
  if (illuminant) return { line: 1, text: `illuminant ${illuminant[1]}` };
  return /OBSERVER[\s,;:"]+10\b/.test(said) ? { line: 1, text: "the 10° observer" } : undefined;
}

function spectralFields(table: Cgats): { readonly nm: number; readonly at: number }[] {
  return table.fields
    .flatMap((field, at) => {
      const nm = /^(?:SPECTRAL_(?:NM_?)?|NM_?|R_?)(\d{3})(?:\.0+)?(?:NM)?$/i.exec(field)?.[1];
      return nm === undefined ? [] : [{ nm: Number(nm), at }];
    })
    .sort((a, b) => a.nm - b.nm);
}

/** On the bands of the print model: between readings straight, beyond them as the last. Percent become shares. */
export function resampled(wavelengths: readonly number[], values: readonly number[]): Float64Array {
  const scale = Math.max(...values) > 2 ? 0.01 : 1;
  return Float64Array.from({ length: BANDS }, (_, band) => {
    const nm = FIRST_NM + band * STEP_NM;
    let i = 0;
    while (i < wavelengths.length - 2 && wavelengths[i + 1]! < nm) i++;
    const share = (nm - wavelengths[i]!) / (wavelengths[i + 1]! - wavelengths[i]!);
    const t = Math.min(1, Math.max(0, share));
    return scale * (values[i]! + t * (values[i + 1]! - values[i]!));
  });
}

function numbers(table: Cgats, row: CgatsRow, columns: readonly number[]): Read<number[]> {
  const found: number[] = [];
  for (const at of columns) {
    const value = row.values[at]!;
    const number = numberOf(value);
    if (number === undefined) return notNumber(value, table.fields[at]!);
    found.push(number);
  }
  return { value: found };
}

function column({ fields }: Cgats, name: string): number {
  return fields.findIndex((field) => field.toUpperCase() === name.toUpperCase());
}

function notNumber({ text, line, column }: CgatsValue, field: string): { readonly problem: CgatsProblem } {
  return wrong(line, column, `${field} is "${text}"; a number belongs there`);
}

function wrong(line: number, column: number, message: string): { readonly problem: CgatsProblem } {
  return { problem: { level: "error", line, column, message } };
}
