import { MM_PER_INCH } from "../engine/units.ts";

/** CSS pixels a unit (CSS Values 4 §6.2; em and ex at the initial font size of 16 px). */
const UNITS: Readonly<Record<string, number>> = {
  "": 1,
  px: 1,
  pt: 96 / 72,
  pc: 16,
  in: 96,
  cm: 96 / 2.54,
  mm: 96 / MM_PER_INCH,
  q: 96 / 101.6,
  em: 16,
  ex: 8,
};

/**
 * A drawing's own size in CSS pixels and its view box, by the root's attributes (SVG 2 §8.2, §8.12):
 * a side that is missing or a percentage follows from the view box. Undefined where nothing gives a size.
 */
export function drawingSize(root: ReadonlyMap<string, string>) {
  const box = viewBox(root.get("viewBox"));
  let width = length(root.get("width"));
  let height = length(root.get("height"));
  if (box) {
    width ??= height === undefined ? box.width : (height * box.width) / box.height;
    height ??= (width * box.height) / box.width;
  }
  if (!(width && height) || !Number.isFinite(width / height)) return undefined;
  return { width, height, viewBox: box?.text ?? `0 0 ${width} ${height}` };
}

function length(text: string | undefined): number | undefined {
  const found = /^\s*\+?((?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)\s*([a-z]*)\s*$/i.exec(text ?? "");
  const unit = found && UNITS[found[2].toLowerCase()];
  const value = found && unit ? Number(found[1]) * unit : 0;
  return value > 0 && Number.isFinite(value) ? value : undefined;
}

function viewBox(text: string | undefined) {
  const numbers = (text ?? "")
    .trim()
    .split(/[\s,]+/)
    .map(Number);
  const [, , width, height] = numbers;
  if (numbers.length !== 4 || !numbers.every(Number.isFinite) || !(width > 0 && height > 0)) return undefined;
  return { width, height, text: numbers.join(" ") };
}
