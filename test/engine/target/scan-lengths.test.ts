import { describe, expect, it } from "vitest";
import { srgbFromLinear } from "../../../server/engine/colour/srgb.ts";
import type { Placement, Scan } from "../../../server/engine/target/place-sheet.ts";
import { sampleName } from "../../../server/engine/target/samples.ts";
import { readLengths } from "../../../server/engine/target/scan-lengths.ts";
import type { Light, ScannedInk } from "../../../server/engine/target/scanned-ink.ts";
import { type Bar, LINE_WIDTHS, type SheetField, targetSheet } from "../../../server/engine/target/sheet.ts";
import { SCREENS } from "./sheets.ts";

const sheet = targetSheet({
  title: "",
  inks: ["ember", "rose"],
  base: undefined,
  screens: SCREENS.slice(0, 1),
});
const BARE: Light = [0.8, 0.82, 0.75];
const SOLIDS: readonly Light[] = [
  [0.5, 0.12, 0.08],
  [0.1, 0.2, 0.45],
];
const INKS = new Map<string, ScannedInk>(
  sheet.inks.map((ink, plate) => [ink, { bare: BARE, solid: SOLIDS[plate] }]),
);
const fieldOf = (name: string) => sheet.fields.find(({ sample }) => sampleName(sample) === name)!;

interface Press {
  readonly ppi?: number;
  /** Whether the scan lies a quarter turn to the right. */
  readonly turned?: boolean;
  /** How far each plate lies to the right and down, in mm. */
  readonly off?: readonly (readonly [x: number, y: number])[];
  /** Which bars stand; all others are lost, or filled. */
  readonly stands?: (bar: Bar) => boolean;
  /** Where along itself, 0–1, a bar stands. */
  readonly along?: (share: number) => boolean;
}

/** Millimetres around a field that are scanned with it. */
const ROOM = 2;
/** Rows of a pixel that are looked at apart; along a row, areas are exact. */
const ROWS = 2;

/** The piece of a scan around a field. */
function pieceOf(
  { box }: SheetField,
  { ppi = 300, turned = false, off = [], stands = () => true, along = () => true }: Press,
): { scan: Scan; placement: Placement } {
  const scale = ppi / 25.4;
  const [left, top] = [box.x - ROOM, box.y - ROOM];
  const size = Math.ceil((box.width + 2 * ROOM) * scale);
  const inks = [0, 1].map((plate) => {
    const [dx, dy] = off[plate] ?? [0, 0];
    const ink = new Float64Array(size * size);
    const paint = (
      { x, y, width, height, lean = 0, open }: Bar,
      share: (across: number, down: number) => boolean,
    ) => {
      const upright = height > width;
      for (let row = 0; row < ROWS * size; row++) {
        const down = (top + (row + 0.5) / ROWS / scale - y - dy) / height;
        if (down < 0 || down >= 1 || (upright && !share(0, down))) continue;
        const begin = (x + dx - lean * down - left) * scale;
        const [from, to] = [Math.max(0, begin), Math.min(size, begin + width * scale)];
        for (let px = Math.floor(from); px < to; px++) {
          if (!upright && !share((px / scale + left - x) / width, 0)) continue;
          const covered = Math.min(to, px + 1) - Math.max(from, px);
          ink[Math.floor(row / ROWS) * size + px] += (open ? -covered : covered) / ROWS;
        }
      }
    };
    const solids = sheet.patches.filter((patch) => patch.plate === plate && patch.tone === 100);
    for (const patch of solids) paint({ plate, ...patch.box }, () => true);
    for (const bar of sheet.bars)
      if (bar.plate === plate && stands(bar))
        paint(bar, (across, down) => along(bar.height > bar.width ? down : across));
    return ink;
  });
  const data = new Uint8Array(4 * size * size).fill(255);
  for (let y = 0; y < size; y++)
    for (let x = 0; x < size; x++)
      for (let c = 0; c < 3; c++) {
        const light = inks.reduce(
          (light, ink, plate) => light * (1 - ink[y * size + x] * (1 - SOLIDS[plate][c] / BARE[c])),
          BARE[c],
        );
        const at = turned ? x * size + (size - 1 - y) : y * size + x;
        data[4 * at + c] = Math.round(255 * srgbFromLinear(light));
      }
  return {
    scan: { width: size, height: size, data },
    placement: turned
      ? [0, -scale, size + scale * top, scale, 0, -scale * left]
      : [scale, 0, -scale * left, 0, scale, -scale * top],
  };
}

function read(name: string, press: Press = {}, inks: ReadonlyMap<string, ScannedInk> = INKS) {
  const field = fieldOf(name);
  const { scan, placement } = pieceOf(field, press);
  const { readings, unread } = readLengths(scan, placement, { ...sheet, fields: [field] }, inks);
  return { mm: readings.map(({ mm }) => mm), unread };
}

const WIDTHS: readonly number[] = LINE_WIDTHS;
/** Of a line that leans, across itself. */
const thickness = ({ width, height, lean = 0 }: Bar) =>
  lean > 0 ? width / Math.hypot(1, lean / height) : Math.min(width, height);

describe("the register of a second plate", () => {
  it.each([
    ["x", 0.13],
    ["x", -0.42],
    ["x", 0.75],
    ["y", -0.21],
    ["y", 0.62],
  ] as const)("is read along %s within 0.02 mm: %d", (axis, by) => {
    const off: readonly (readonly [number, number])[] = [
      [0.2, -0.1],
      axis === "x" ? [0.2 + by, 0.3] : [-0.2, by - 0.1],
    ];
    const { mm, unread } = read(`rose register ${axis}`, { off });
    expect(unread).toEqual([]);
    // As it lies from the first plate.
    expect(mm).toHaveLength(1);
    expect(Math.abs(mm[0]! - by)).toBeLessThan(0.02);
  });

  it.each(["x", "y"])("is read in a scan that is turned, along %s", (axis) => {
    const off: readonly (readonly [number, number])[] = [
      [0, 0],
      [0.25, 0.25],
    ] as const;
    const { mm } = read(`rose register ${axis}`, { turned: true, off });
    expect(Math.abs(mm[0]! - 0.25)).toBeLessThan(0.02);
  });

  it("is told as not found where its lines are further off than that, or not there", () => {
    const notFound = { mm: [], unread: ["rose: the lines of register x are not found within 1 mm"] };
    expect(read("rose register x", { stands: ({ plate }) => plate === 0 })).toEqual(notFound);
    for (const by of [1.1, -1.4])
      expect(
        read("rose register x", {
          off: [
            [0, 0],
            [by, 0],
          ],
        }),
      ).toEqual(notFound);
  });
});

describe("the narrowest line and gap", () => {
  const fields = ["line", "gap"].flatMap((kind) =>
    ["upright", "across", "slanted"].map((way) => `ember ${kind} ${way}`),
  );

  it.each(fields)("are those that stand with all that are wider: %s", (name) => {
    for (const least of [0.1, 0.4]) {
      const { mm, unread } = read(name, { stands: (bar) => thickness(bar) > least - 0.001 });
      expect([mm, unread]).toEqual([[least], []]);
    }
    // One that is lost ends it, whatever stands beyond.
    const lost = (bar: Bar) => Math.abs(thickness(bar) - 0.25) > 0.001;
    expect(read(name, { stands: lost }).mm).toEqual([0.3]);
  });

  it.each(fields)("stand all along, but for a millimetre at their ends: %s", (name) => {
    // Of eight millimetres, one in the middle is gone, or those at the ends.
    expect(read(name, { along: (share) => Math.abs(share - 0.5) > 0.07 }).mm).toEqual([]);
    expect(read(name, { along: (share) => Math.abs(share - 0.5) < 0.42 }).mm).toEqual([WIDTHS[0]]);
  });

  it("are read in a scan that is turned", () => {
    const stands = (bar: Bar) => thickness(bar) > 0.14;
    for (const name of fields) expect(read(name, { turned: true, stands }).mm).toEqual([0.15]);
  });

  it("are looked for where their plate lies, by what its register says", () => {
    const names = ["rose register x", "rose register y", "ember line upright", "ember line across"];
    const fields = names.map(fieldOf);
    const [x, y] = [0, 1].map((k) => Math.min(...fields.map(({ box }) => [box.x, box.y][k]!))) as [
      number,
      number,
    ];
    const far = Math.max(...fields.map(({ box }) => Math.max(box.x + box.width - x, box.y + box.height - y)));
    const off: readonly (readonly [number, number])[] = [
      [0.7, -0.7],
      [0.9, -0.6],
    ];
    // By themselves lines are found 0.3 mm away.
    const { scan, placement } = pieceOf({ ...fields[0]!, box: { x, y, width: far, height: far } }, { off });
    const { readings, unread } = readLengths(scan, placement, { ...sheet, fields }, INKS);
    expect(unread).toEqual([]);
    expect(readings.map(({ sample }) => sampleName(sample))).toEqual(names);
    expect(readings.slice(0, 2).map(({ mm }) => mm)).toEqual([
      expect.closeTo(0.2, 1),
      expect.closeTo(0.1, 1),
    ]);
    expect(readings.slice(2).map(({ mm }) => mm)).toEqual([0.05, 0.05]);
    expect(read("ember line upright", { off }).mm).toEqual([]);
    // A second plate's, not far away.
    const near: readonly (readonly [number, number])[] = [
      [0, 0],
      [0.2, 0],
    ];
    expect(read("rose line upright", { off: near, stands: (bar) => thickness(bar) > 0.14 }).mm).toEqual([
      0.15,
    ]);
  });

  it("are told where none stands", () => {
    expect(read("ember line across", { stands: () => false })).toEqual({
      mm: [],
      unread: ["ember: no line that runs across stands"],
    });
    expect(read("rose gap upright", { stands: () => false }).unread).toEqual([
      "rose: no gap that runs upright stands",
    ]);
  });
});

describe("what cannot be read", () => {
  const placedAt = (ppi: number) => [ppi / 25.4, 0, 0, 0, ppi / 25.4, 0] as const;
  const blank: Scan = { width: 4, height: 4, data: new Uint8Array(64).fill(200) };

  it("is a scan of too few pixels, by more than a fiftieth", () => {
    expect(readLengths(blank, placedAt(250), sheet, INKS)).toEqual({
      readings: [],
      unread: ["lines, gaps and register need a scan of 300 ppi; this one has 250"],
    });
    const ofNone = { ...sheet, fields: [] };
    expect(readLengths(blank, placedAt(250), ofNone, INKS)).toEqual({ readings: [], unread: [] });
    const turned = [0, -290 / 25.4, 0, 290 / 25.4, 0, 0] as const;
    expect(readLengths(blank, turned, sheet, INKS).unread[0]).toContain("this one has 290");
    expect(read("ember line upright", { ppi: 295 }).mm).toEqual([WIDTHS[0]]);
  });

  it("is an ink that hardly shows on the garment, or was not scanned", () => {
    const said = (ink: string) => `${ink} is too close to the garment for its lines and register to be seen`;
    const faint = (by: number) =>
      new Map(INKS).set("ember", { bare: BARE, solid: [BARE[0] - by, BARE[1], BARE[2]] });
    expect(read("ember line upright", {}, faint(0.039))).toEqual({ mm: [], unread: [said("ember")] });
    expect(read("ember line upright", {}, new Map([...INKS].slice(1)))).toEqual({
      mm: [],
      unread: [said("ember")],
    });
    expect(read("rose register x", {}, faint(0.039))).toEqual({ mm: [], unread: [said("ember")] });
    expect(read("ember line upright", {}, faint(0.041)).unread).not.toContain(said("ember"));
  });
});
