import { bytesPerRow, setBits, type Window } from "../../engine/screen/bits.ts";
import type { FilmPage } from "../../engine/screen/film-page.ts";
import { Halftone, type Screening } from "../../engine/screen/halftone.ts";
import type { Bar, Box, Sheet } from "../../engine/target/sheet.ts";
import { MM_PER_INCH } from "../../engine/units.ts";
import { lettering } from "../films/lettering.ts";
import { Painter } from "../films/paint.ts";
import { rectangle, type Shape } from "../films/shapes.ts";

/** One plate of a target sheet as bits of film: its windows, of full width, are drawn in any order. */
export class TargetPlate {
  readonly filmWidth: number;
  readonly filmHeight: number;
  readonly #blocks: readonly Block[];
  readonly #ink: Painter;
  readonly #open: Painter;

  /** `page` is the film's; its art is as large as the sheet. */
  constructor(sheet: Sheet, plate: number, page: FilmPage) {
    this.filmWidth = page.art.width;
    this.filmHeight = page.art.height;
    const perMm = page.dpi / MM_PER_INCH;
    const of = <T extends { readonly plate: number }>(things: readonly T[]) =>
      things.filter((thing) => thing.plate === plate);
    const patches = of(sheet.patches);
    this.#blocks = patches
      .filter(({ tone }) => tone > 0 && tone < 100)
      .map(({ box, tone, screening }) => block(box, tone, screening, page.dpi));
    const shapes: Shape[] = [
      ...patches
        .filter(({ tone }) => tone === 100)
        .map(({ box: b }) => rectangle(b.x, b.y, b.width, b.height)),
      ...(plate === 0 ? sheet.marks.map((b) => rectangle(b.x, b.y, b.width, b.height)) : []),
    ];
    const bars = of(sheet.bars);
    const letters = of(sheet.labels).map(({ text, x, y, size }) => lettering(text, x, y, size));
    const painter = (list: Shape[]) => new Painter(list, perMm, this.filmWidth, this.filmHeight);
    this.#ink = painter([...shapes, ...bars.filter(({ open }) => !open).map(barShape), ...letters]);
    this.#open = painter(bars.filter(({ open }) => open).map(barShape));
  }

  /** Writes a window's bits to `out`, which must be clear; the window is the film's full width. */
  draw({ y, width, height }: Window, out: Uint8Array): void {
    const stride = bytesPerRow(width);
    for (const { halftone, x, y: top } of this.#blocks) {
      const [from, to] = [Math.max(y, top), Math.min(y + height, top + halftone.filmHeight)];
      if (to <= from) continue;
      const inner = new Uint8Array(bytesPerRow(halftone.filmWidth) * (to - from));
      halftone.draw({ x: 0, y: from - top, width: halftone.filmWidth, height: to - from }, inner);
      copyBits(inner, halftone.filmWidth, out, stride, x, from - y, to - from);
    }
    this.#ink.paint(y, height, out);
    const open = new Uint8Array(out.length);
    this.#open.paint(y, height, open);
    for (let i = 0; i < out.length; i++) out[i]! &= ~open[i]!;
  }
}

interface Block {
  readonly halftone: Halftone;
  readonly x: number;
  readonly y: number;
}

/** A flat tone, to the dot's own fineness rather than to a plate's byte. */
function block(box: Box, tone: number, screening: Screening, dpi: number): Block {
  const px = (mm: number) => Math.round((mm * dpi) / MM_PER_INCH);
  const [x, y] = [px(box.x), px(box.y)];
  const [width, height] = [px(box.x + box.width) - x, px(box.y + box.height) - y];
  const curve = new Float64Array(256).fill(tone / 100);
  const plate = { tones: Uint8Array.of(128), width: 1, height: 1, curve };
  return { halftone: new Halftone(plate, screening, dpi, width, height), x, y };
}

function copyBits(
  from: Uint8Array,
  width: number,
  to: Uint8Array,
  stride: number,
  x: number,
  y: number,
  rows: number,
): void {
  const own = bytesPerRow(width);
  for (let row = 0; row < rows; row++) {
    let start = -1;
    for (let i = 0; i <= width; i++) {
      const on = i < width && (from[row * own + (i >> 3)]! >> (7 - (i & 7))) & 1;
      if (on && start < 0) start = i;
      if (on || start < 0) continue;
      setBits(to, (y + row) * stride, x + start, x + i);
      start = -1;
    }
  }
}

function barShape({ x, y, width, height, lean = 0 }: Bar): Shape {
  return { outlines: [[x, y, x + width, y, x + width - lean, y + height, x - lean, y + height]] };
}
