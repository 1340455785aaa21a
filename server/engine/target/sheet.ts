import type { Screening } from "../screen/halftone.ts";
import { type PatchSample, type Sample, sampleName, type Way } from "./samples.ts";

/**
 * The target sheet: the print from which a shop's figures are measured. One description from which films, page, empty
 * readings and the reading of a scan follow. All lengths in mm from the sheet's upper left corner, y down.
 */
export interface Sheet {
  readonly width: number;
  readonly height: number;
  /** Inks in print order, a plate each; the first carries the marks. */
  readonly inks: readonly string[];
  /** The first ink of each mesh: it carries an exposure wedge and a moiré field, since each mesh has its own. */
  readonly tested: readonly string[];
  readonly base: string | undefined;
  readonly screens: readonly SheetScreen[];
  readonly patches: readonly SheetPatch[];
  readonly fields: readonly SheetField[];
  /** Solid squares of the first ink, by which a scan is found: upper left, upper right, lower left; no fourth, so that it is known how it lies. */
  readonly marks: readonly Box[];
  /** Solid bars: lines, verniers, exposure blocks; each a parallelogram. */
  readonly bars: readonly Bar[];
  readonly labels: readonly Label[];
}

export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface SheetScreen {
  /** Such as `45lpi` or `fm0.12mm`. */
  readonly name: string;
  readonly screening: Screening;
}

/** One area of one tone. Without a sample it is looked at, not read. */
export interface SheetPatch {
  readonly plate: number;
  readonly box: Box;
  /** Percent on film. */
  readonly tone: number;
  readonly screening: Screening;
  readonly sample?: PatchSample;
}

/** A field of which one figure is read. */
export interface SheetField {
  readonly sample: Exclude<Sample, { kind: "patch" }>;
  readonly box: Box;
}

/** Ink, or with `open` a gap in the patch that it lies on. `lean` is how far its lower end stands to the left. */
export interface Bar extends Box {
  readonly plate: number;
  readonly open?: boolean;
  readonly lean?: number;
}

export interface Label {
  readonly plate: number;
  readonly text: string;
  /** Baseline's left end. */
  readonly x: number;
  readonly y: number;
  /** An em. */
  readonly size: number;
}

/** What a sheet is made for. */
export interface SheetRequest {
  readonly title: string;
  readonly inks: readonly string[];
  /** The ink under the others where they are measured over an underbase. */
  readonly base: string | undefined;
  /** The mesh of each ink, by name; without it the base is on a mesh of its own. */
  readonly meshes?: ReadonlyMap<string, string | undefined>;
  readonly screens: readonly SheetScreen[];
}

/** Film tones of a ramp, percent: fine steps at both ends, where dots are lost and holes fill. */
export const TONES = [
  0, 1, 2, 3, 4, 5, 6, 8, 10, 15, 20, 30, 40, 50, 60, 70, 80, 85, 90, 92, 94, 95, 96, 97, 98, 99, 100,
] as const;
/** Widths of lines and gaps in mm. */
export const LINE_WIDTHS = [0.05, 0.075, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.7, 1] as const;
/** Inks of one sheet: more do not fit a usual pallet. */
export const MOST_INKS = 4;
/** Verniers differ by this much a step, in mm, and have as many steps each way. */
export const VERNIER_STEP = 0.05;
export const VERNIER_STEPS = 10;
/** Exposure blocks and how much more light each gets than the one before (√2, half a stop). */
export const EXPOSURE_BLOCKS = 8;
export const EXPOSURE_FACTOR = Math.SQRT2;
export const MOIRE_ANGLES = [0, 7.5, 15, 22.5, 30, 45] as const;

const PATCH = 10;
const SOLID = 15;
const LEFT = 14;
const SMALL = 2;
const MARK = 6;
/** How far a slanted line leans over its length of 8 mm. */
const LEAN = 5;
const WAYS: readonly Way[] = ["upright", "across", "slanted"];

/** Lays the sheet out. Throws RangeError for no ink or more than `MOST_INKS`. */
export function targetSheet({ title, inks, base, meshes, screens }: SheetRequest): Sheet {
  if (inks.length < 1 || inks.length > MOST_INKS)
    throw new RangeError(`a target sheet takes 1 to ${MOST_INKS} inks, not ${inks.length}`);
  const width = LEFT + TONES.length * PATCH + LEFT;
  const patches: SheetPatch[] = [];
  const fields: SheetField[] = [];
  const bars: Bar[] = [];
  const labels: Label[] = [];
  const say = (plate: number, text: string, x: number, y: number, size = SMALL) =>
    labels.push({ plate, text, x, y, size });
  const usual = screens[0]!.screening;
  const meshOf = (ink: string) => meshes?.get(ink) ?? (ink === base ? "the underbase's" : "the colours'");
  const tested = inks.filter((ink, i) => inks.findIndex((other) => meshOf(other) === meshOf(ink)) === i);
  let y = LEFT;
  say(0, title, LEFT, y - 5, 4);

  for (const [plate, ink] of inks.entries()) ramps(plate, ink);
  solids();
  for (const [plate, ink] of inks.entries())
    lines(plate, ink, LEFT + (plate % 2) * 141, plate % 2 === 1 || plate === inks.length - 1);
  if (inks.length > 1) verniers();
  for (const ink of tested) exposure(inks.indexOf(ink));
  if (usual.method === "am") moire();
  const height = y + LEFT;
  const marks = [
    [2, 2],
    [width - 2 - MARK, 2],
    [2, height - 2 - MARK],
  ].map(([x, top]) => ({ x: x!, y: top!, width: MARK, height: MARK }));
  return { width, height, inks, tested, base, screens, patches, fields, marks, bars, labels };

  function ramps(plate: number, ink: string): void {
    for (const { name, screening } of screens) {
      say(plate, `${ink} ${name}`, LEFT, y + 2, 2.4);
      y += 3;
      for (const [i, tone] of TONES.entries()) {
        const x = LEFT + i * PATCH;
        const sample = { kind: "patch", ink, screen: name, tone, over: "garment" } as const;
        patches.push({ plate, box: { x, y, width: PATCH, height: PATCH }, tone, screening, sample });
        say(plate, String(tone), x + 0.5, y + PATCH + 2);
      }
      y += PATCH + 3.5;
    }
  }

  /** Solids over all that they are measured over. The base prints a rectangle of its own under the others. */
  function solids(): void {
    y += 2;
    let x = LEFT;
    for (const [plate, ink] of inks.entries()) {
      for (const over of ["garment", "base", "white card", "black card"] as const) {
        const under = base === undefined ? -1 : inks.indexOf(base);
        if (over === "base" && (under < 0 || under === plate)) continue;
        const box = { x, y, width: SOLID, height: SOLID };
        if (over === "base")
          bars.push({ plate: under, x: x - 1, y: y - 1, width: SOLID + 2, height: SOLID + 2 });
        const sample = { kind: "patch", ink, tone: 100, over } as const;
        patches.push({ plate, box, tone: 100, screening: usual, sample });
        say(plate, over === "garment" ? `${ink} solid` : over, x, y + SOLID + 3);
        x += SOLID + 2.5;
      }
    }
    y += SOLID + 6;
  }

  /** Lines in the open and gaps in a solid, each way, narrowest first. */
  function lines(plate: number, ink: string, left: number, last: boolean): void {
    const [room, length] = [22, 10];
    let x = left;
    for (const kind of ["line", "gap"] as const) {
      for (const way of WAYS) {
        const box = { x, y, width: room, height: length + 12 };
        fields.push({ sample: { kind, ink, way }, box });
        const open = kind === "gap";
        const across = way === "across";
        const [w, h] = across ? [length, room - 1] : [room - 1, length];
        if (open) patches.push({ plate, box: { x, y, width: w, height: h }, tone: 100, screening: usual });
        let at = 1;
        for (const thick of LINE_WIDTHS) {
          // A slanted line is measured across itself.
          const lean = way === "slanted" ? LEAN : 0;
          const run = thick * Math.hypot(1, lean / (length - 2));
          const bar = across
            ? { x: x + 1, y: y + at, width: length - 2, height: thick }
            : { x: x + at + lean, y: y + 1, width: run, height: length - 2, ...(lean && { lean }) };
          bars.push({ plate, ...bar, ...(open && { open }) });
          at += across ? thick + 1.3 : run + (lean ? 0.9 : 1.3);
        }
        say(plate, `${ink} ${kind}s`, x, y + 24);
        x += room + 1;
      }
    }
    if (last) y += 28;
  }

  /** The first plate's scale in whole millimetres, the others' a little finer: where two lines meet, so far they lie apart. */
  function verniers(): void {
    say(0, "register: read the figure where two lines meet, steps of 0.05 mm", LEFT, y + 2);
    y += 4;
    let x = LEFT;
    for (const [plate, ink] of inks.entries()) {
      if (plate === 0) continue;
      for (const axis of ["x", "y"] as const) {
        const middle = VERNIER_STEPS + 1.5;
        fields.push({ sample: { kind: "register", ink, axis }, box: { x, y, width: 24, height: 24 } });
        for (let k = -VERNIER_STEPS; k <= VERNIER_STEPS; k++) {
          const long = k % 5 === 0 ? 4.5 : 3;
          const [main, fine] = [k + middle, k * (1 - VERNIER_STEP) + middle];
          if (axis === "x") {
            bars.push({ plate: 0, x: x + main - 0.15, y: y + 8 - long, width: 0.3, height: long });
            bars.push({ plate, x: x + fine - 0.15, y: y + 8, width: 0.3, height: long });
          } else {
            bars.push({ plate: 0, x: x + 8 - long, y: y + main - 0.15, width: long, height: 0.3 });
            bars.push({ plate, x: x + 8, y: y + fine - 0.15, width: long, height: 0.3 });
          }
          if (k % 5 === 0)
            say(
              plate,
              (k * VERNIER_STEP).toFixed(2),
              x + (axis === "x" ? fine - 1 : 13),
              y + (axis === "x" ? 15 : fine + 0.7),
            );
        }
        say(plate, `${ink} ${axis === "x" ? "to the right" : "down"}`, x, y + (axis === "x" ? 18 : 26));
        x += 26;
      }
    }
    y += 30;
  }

  /** Blocks that are all alike: each is given more light than the one before. */
  function exposure(plate: number): void {
    say(plate, `${inks[plate]} exposure wedge: after each exposure cover one more block`, LEFT, y + 2);
    y += 4;
    for (let block = 0; block < EXPOSURE_BLOCKS; block++) {
      const x = LEFT + block * 33;
      for (const [i, tone] of [2, 5, 50, 95, 98].entries())
        patches.push({ plate, box: { x: x + i * 6, y, width: 6, height: 6 }, tone, screening: usual });
      let at = 0.5;
      for (const thick of [0.05, 0.1, 0.15, 0.2, 0.3, 0.5]) {
        bars.push({ plate, x: x + at, y: y + 7, width: thick, height: 6 });
        at += thick + 1.4;
      }
      say(plate, `block ${block + 1}`, x + 14, y + 11);
    }
    y += 17;
  }

  /** Fields of up to two plates stand side by side. */
  function moire(): void {
    for (const [n, ink] of tested.entries()) {
      const plate = inks.indexOf(ink);
      const left = LEFT + (n % 2) * 135;
      if (n > 0 && n % 2 === 0) y += 28;
      say(plate, `${ink} moiré: 50 % at each angle on this mesh`, left, y + 2);
      for (const [i, angle] of MOIRE_ANGLES.entries()) {
        const x = left + i * 22;
        const screening = { ...usual, angle } as Screening;
        patches.push({ plate, box: { x, y: y + 3, width: 20, height: 20 }, tone: 50, screening });
        say(plate, `${angle}°`, x, y + 26);
      }
    }
    y += 28;
  }
}

/** Every sample of a sheet in the order in which it is read, with where it stands. */
export function sheetSamples(
  sheet: Sheet,
): { readonly name: string; readonly sample: Sample; readonly box: Box }[] {
  return [
    ...sheet.patches.flatMap(({ sample, box }) =>
      sample ? [{ name: sampleName(sample), sample, box }] : [],
    ),
    ...sheet.fields.map(({ sample, box }) => ({ name: sampleName(sample), sample, box })),
  ];
}
