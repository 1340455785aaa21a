import type { FilmPage } from "../../engine/screen/film-page.ts";
import { MM_PER_INCH } from "../../engine/units.ts";
import { fitted, lettering } from "./lettering.ts";
import { rectangle, ring, type Shape } from "./shapes.ts";

const LINE = 0.15;

/** Registration marks, centre marks and crops: in the same place on every film of the page. In mm. */
export function pageMarks(page: FilmPage): Shape[] {
  const mm = (px: number) => (px * MM_PER_INCH) / page.dpi;
  const { x, y, width, height } = page.art;
  const [left, top, right, bottom] = [mm(x), mm(y), mm(x + width), mm(y + height)];
  const [middleX, middleY] = [(left + right) / 2, (top + bottom) / 2];
  const across = (cx: number, cy: number, length: number) =>
    rectangle(cx - length / 2, cy - LINE / 2, length, LINE);
  const upright = (cx: number, cy: number, length: number) =>
    rectangle(cx - LINE / 2, cy - length / 2, LINE, length);
  const register = (cx: number, cy: number) => [ring(cx, cy, 2, LINE), across(cx, cy, 7), upright(cx, cy, 7)];
  const crops = [left, right].flatMap((cx) =>
    [top, bottom].flatMap((cy) => {
      const [sx, sy] = [cx === left ? -1 : 1, cy === top ? -1 : 1];
      return [across(cx + sx * 4.5, cy, 5), upright(cx, cy + sy * 4.5, 5)];
    }),
  );
  return [
    ...register(middleX, top - 10.5),
    ...register(middleX, bottom + 10.5),
    ...register(left - 10.5, middleY),
    ...register(right + 10.5, middleY),
    // Centre marks reach up to the print, so that platens and pallets can be lined up by them.
    upright(middleX, top - 4, 4),
    upright(middleX, bottom + 4, 4),
    across(left - 4, middleY, 4),
    across(right + 4, middleY, 4),
    ...crops,
  ];
}

/** What a film says of itself. */
export interface FilmLabel {
  /** Large, for whoever hangs the screens. */
  readonly title: string;
  /** One line, small. */
  readonly details: string;
  /** Which side the emulsion is on, and which way the film reads. */
  readonly side: string;
}

const TITLE_SIZE = 5;
const DETAIL_SIZE = 2.6;

/** The label: its title above the print on the left, details below. In mm. */
export function labelShapes(page: FilmPage, label: FilmLabel): Shape[] {
  const mm = (px: number) => (px * MM_PER_INCH) / page.dpi;
  const { x, y, width, height } = page.art;
  const [left, top, bottom] = [mm(x), mm(y), mm(y + height)];
  // Clear of the registration mark in the middle.
  const half = mm(width) / 2 - 8;
  const line = (text: string, lx: number, ly: number, size: number, room: number) =>
    lettering(fitted(text, size, Math.max(room, 20)), lx, ly, size);
  return [
    line(label.title, left, top - 8, TITLE_SIZE, half),
    line(label.side, left + mm(width) / 2 + 8, top - 8, DETAIL_SIZE, half),
    line(label.details, left, bottom + 18.5, DETAIL_SIZE, mm(width)),
  ];
}
