import { type Lab, labFromLinear } from "../../server/engine/colour/cielab.ts";
import { mixingBands } from "../../server/engine/print/bands.ts";
import {
  type Film,
  filmOf,
  type InkFilm,
  printOver,
  substrateOf,
} from "../../server/engine/print/ink-film.ts";
import { mixInFull } from "../../server/engine/print/neugebauer-primaries.ts";
import { labFromSpectrum } from "../../server/engine/print/observer.ts";
import { bytesPerRow } from "../../server/engine/screen/bits.ts";
import type { PatchSample, Sample } from "../../server/engine/target/samples.ts";
import {
  type Box,
  LINE_WIDTHS,
  type Sheet,
  sheetSamples,
  VERNIER_STEP,
  VERNIER_STEPS,
} from "../../server/engine/target/sheet.ts";
import { MM_PER_INCH } from "../../server/engine/units.ts";
import type { Bits } from "../../server/output/films/film.ts";
import { random } from "../property.ts";

/** A press that nobody has: what it makes of a film's bits is known to the last digit, unlike a real one's. */
export interface InventedPress {
  readonly garment: Lab;
  readonly card: { readonly white: Lab; readonly black: Lab };
  /** Each ink as it prints, in print order. */
  readonly inks: ReadonlyMap<string, Film>;
  /** Printed area of a share of ink on film. */
  readonly grown: (film: number, ink: string) => number;
  readonly n: number;
  /** Where each plate lies, in mm from the first. */
  readonly off: ReadonlyMap<string, { readonly x: number; readonly y: number }>;
  /** The narrowest line and gap that it holds, in mm. */
  readonly line: number;
  readonly gap: number;
  /** Standard deviation of a reading in L*, a* and b*. */
  readonly noise: number;
}

/** An ink whose film is stronger than a shop believes: its transmittance that of a film so much thicker. */
export function stronger(ink: InkFilm, times: number): Film {
  const { reflected, transmittanceSquared } = filmOf(ink);
  return { reflected, transmittanceSquared: transmittanceSquared.map((v) => v ** times) };
}

/** A halftone of known areas on the press, one area an ink. */
export function printed(press: InventedPress, ground: Lab, areas: ReadonlyMap<string, number>): Lab {
  const films = [...areas.keys()].map((ink) => press.inks.get(ink)!);
  return labFromLinear(
    mixInFull(substrateOf(ground), films, [...areas.values()], mixingBands(press.n), press.n),
  );
}

/** Every sample of the sheet, printed from the films' bits and read `times` times. */
export function readSheet(
  press: InventedPress,
  sheet: Sheet,
  films: readonly Bits[],
  dpi: number,
  times: number,
): { readonly name: string; readonly text: string }[] {
  const next = random(20261127);
  // A sum of twelve: nearly normal, and bounded.
  const normal = () => Array.from({ length: 12 }, next).reduce((sum, v) => sum + v, -6);
  const read = (sample: Sample, box: Box): string => {
    const film = films[sheet.inks.indexOf(sample.ink)]!;
    if (sample.kind === "patch") {
      const { L, a, b } = patchColour(press, sheet, sample, shareOfInk(film, box, dpi));
      return `${[L, a, b].map((v) => (v + press.noise * normal()).toFixed(2)).join("\t")}\t-`;
    }
    const mm =
      sample.kind === "register"
        ? vernier(press, sheet, sample, box)
        : LINE_WIDTHS.find((width) => width >= (sample.kind === "line" ? press.line : press.gap))!;
    return `-\t-\t-\t${mm}`;
  };
  return Array.from({ length: times }, () =>
    sheetSamples(sheet).map(({ name, sample, box }) => ({ name, text: read(sample, box) })),
  ).flat();
}

export function patchColour(press: InventedPress, sheet: Sheet, sample: PatchSample, share: number): Lab {
  const { ink, over } = sample;
  const areas = new Map([[ink, press.grown(share, ink)]]);
  if (over === "white card") return printed(press, press.card.white, areas);
  if (over === "black card") return printed(press, press.card.black, areas);
  if (over === "garment") return printed(press, press.garment, areas);
  const R = substrateOf(press.garment);
  printOver(press.inks.get(sheet.base!)!, R, R);
  return printed(press, labFromSpectrum(R), areas);
}

/** The share of a box that is ink on film. */
export function shareOfInk({ bits, width }: Bits, box: Box, dpi: number): number {
  const px = (mm: number) => Math.round((mm * dpi) / MM_PER_INCH);
  const stride = bytesPerRow(width);
  let [ink, all] = [0, 0];
  for (let y = px(box.y); y < px(box.y + box.height); y++)
    for (let x = px(box.x); x < px(box.x + box.width); x++, all++)
      ink += (bits[y * stride + (x >> 3)]! >> (7 - (x & 7))) & 1;
  return ink / all;
}

/** What an eye reads: the pair of lines that meet best, or the middle of two that meet nearly alike. */
function vernier(
  press: InventedPress,
  sheet: Sheet,
  sample: Extract<Sample, { kind: "register" }>,
  box: Box,
): number {
  const { axis, ink } = sample;
  const inside = (plate: number) =>
    sheet.bars
      .filter(
        (bar) =>
          bar.plate === plate &&
          bar.x >= box.x &&
          bar.x < box.x + box.width &&
          bar.y >= box.y &&
          bar.y < box.y + box.height,
      )
      .map((bar) => bar[axis]);
  const shift = press.off.get(ink)![axis];
  const fine = inside(sheet.inks.indexOf(ink)).map((at) => at + shift);
  const gaps = inside(0).map((at, k) => Math.abs(at - fine[k]!));
  const [best, second] = gaps.map((gap, k) => ({ gap, k })).sort((p, q) => p.gap - q.gap) as [
    { gap: number; k: number },
    { gap: number; k: number },
  ];
  const alike = second.gap - best.gap < VERNIER_STEP / 2;
  const k = alike ? (best.k + second.k) / 2 : best.k;
  return Number(((k - VERNIER_STEPS) * VERNIER_STEP).toFixed(4));
}
