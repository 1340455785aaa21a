import { type Lab, linearFromLab } from "../../../server/engine/colour/cielab.ts";
import { srgbFromLinear } from "../../../server/engine/colour/srgb.ts";
import type { Scan } from "../../../server/engine/target/place-sheet.ts";
import type { Box, Sheet } from "../../../server/engine/target/sheet.ts";
import { random } from "../../property.ts";

export const GARMENT = { L: 93, a: 0.5, b: 3 };
export const SOLIDS: Readonly<Record<string, Lab>> = {
  ember: { L: 56, a: 52, b: 44 },
  rose: { L: 44, a: -8, b: -38 },
};

/** Colour of a patch: between garment and solid in linear light. */
export function printOf(ink: string, tone: number): Lab {
  const [p, s] = [GARMENT, SOLIDS[ink]!];
  const mix = (k: keyof Lab) => p[k] + (s[k] - p[k]) * tone;
  return { L: mix("L"), a: mix("a"), b: mix("b") };
}

/** What a scanner makes of linear sRGB: channels that leak, and a gain of their own. */
const LEAKS = [
  [0.86, 0.08, 0.02],
  [0.05, 0.85, 0.06],
  [0.01, 0.07, 0.88],
];

/** Linear light of a colour in a scanner's channels, 0–1. */
export function scannedLight(colour: Lab): number[] {
  const { r, g, b } = linearFromLab(colour);
  return LEAKS.map((row) => Math.min(1, Math.max(0, row[0]! * r + row[1]! * g + row[2]! * b)));
}

/** The sheet on a scanner, its upper left corner at (x, y) pixels, turned by `degrees` and `perMm` pixels to the mm. */
export function scanned(sheet: Sheet, degrees: number, perMm: number, noise = 0.6): Scan {
  const turn = (degrees * Math.PI) / 180;
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const corners = [
    [0, 0],
    [sheet.width, 0],
    [0, sheet.height],
    [sheet.width, sheet.height],
  ].map(([x, y]) => [perMm * (cos * x! - sin * y!), perMm * (sin * x! + cos * y!)]);
  const [left, top] = [0, 1].map((i) => Math.min(...corners.map((c) => c[i]!)) - 12) as [number, number];
  const [width, height] = [0, 1].map((i) =>
    Math.ceil(Math.max(...corners.map((c) => c[i]!)) + 12 - [left, top][i]!),
  ) as [number, number];
  const next = random(7);
  const data = new Uint8Array(4 * width * height);
  const things: { box: Box; colour: Lab }[] = [
    ...sheet.patches.map(({ plate, box, tone }) => ({
      box,
      colour: printOf(sheet.inks[plate]!, tone / 100),
    })),
    ...sheet.marks.map((box) => ({ box, colour: SOLIDS.ember! })),
    ...sheet.bars.filter(({ lean, open }) => !lean && !open).map((box) => ({ box, colour: SOLIDS.ember! })),
  ];
  const pixel = (colour: Lab) => scannedLight(colour).map((light) => 255 * srgbFromLinear(light));
  const bytes = things.map(({ colour }) => pixel(colour));
  const bare = pixel(GARMENT);
  const rows = Array.from({ length: Math.ceil(sheet.height) }, (_, y) =>
    things.flatMap(({ box }, i) => (box.y < y + 1 && box.y + box.height > y ? [i] : [])),
  );
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const [px, py] = [(x + 0.5 + left) / perMm, (y + 0.5 + top) / perMm];
      const [X, Y] = [cos * px + sin * py, -sin * px + cos * py];
      const inside = (box: Box) =>
        X >= box.x && X < box.x + box.width && Y >= box.y && Y < box.y + box.height;
      const at = rows[Math.floor(Y)]?.find((i) => inside(things[i]!.box));
      const rgb = at === undefined ? bare : bytes[at]!;
      for (let k = 0; k < 3; k++)
        data[4 * (y * width + x) + k] = Math.round(
          Math.max(0, Math.min(255, rgb[k]! + noise * (2 * next() - 1) * 3)),
        );
      data[4 * (y * width + x) + 3] = 255;
    }
  return { width, height, data };
}
