import type { OrderPrint, Place } from "../../language/order.ts";
import type { Size } from "../../language/recipe.ts";
import type { Point } from "../sheet/drawing.ts";

/** Which side of a garment is looked at. */
export type Side = "front" | "back";

/**
 * A plain T-shirt laid flat: corners in mm from the middle of the collar's seam, y down. `size` is its body's width below
 * the sleeves and its height from that seam to the hem. Its proportions are drawn after no product: common practice, no
 * source.
 */
export function outline({ width: w, height: h }: Size, side: Side): Point[] {
  const drop = collarDrop({ width: w, height: h }, side);
  const right: Point[] = [
    ...collar(w, drop),
    [0.44 * w, -drop + 0.06 * h],
    [0.8 * w, -drop + 0.31 * h],
    [0.63 * w, -drop + 0.39 * h],
    [0.5 * w, -drop + 0.3 * h],
    [0.5 * w, h],
  ];
  const left = right.map(([x, y]): Point => [-x, y]).reverse();
  return [...right, ...left];
}

/** From the shoulders' highest point down to the collar's seam. */
function collarDrop({ height }: Size, side: Side): number {
  return (side === "front" ? 0.11 : 0.035) * height;
}

/** A quarter of an ellipse, from the middle of the seam up to the neck's right end. */
function collar(w: number, drop: number): Point[] {
  const steps = 8;
  return Array.from({ length: steps + 1 }, (_, i) => {
    const angle = (Math.PI / 2) * (i / steps);
    return [0.16 * w * Math.sin(angle), -drop * (1 - Math.cos(angle))];
  });
}

/** Corners of all of it: how far it reaches to each side of the middle, above and below the collar's seam. */
export function reach(size: Size): { readonly half: number; readonly above: number; readonly below: number } {
  return { half: 0.8 * size.width, above: collarDrop(size, "front"), below: size.height };
}

/** The side on which a place is seen. Sleeves are seen from the front. */
export function sideOf(place: Place): Side {
  return place === "back" ? "back" : "front";
}

/** Upper left corner of a print on a garment laid flat, in mm from the middle of the collar's seam. */
export function printCorner(
  { place, downMm, acrossMm }: Pick<OrderPrint, "place" | "downMm" | "acrossMm">,
  print: Size,
  garment: Size,
): Point {
  if (place !== "left-sleeve" && place !== "right-sleeve") return [acrossMm - print.width / 2, downMm];
  // The middle of the sleeve's hem; the wearer's left is the viewer's right.
  const way = place === "left-sleeve" ? 1 : -1;
  const hemX = way * 0.7 * garment.width;
  const hemY = (0.31 + 0.04 - 0.11) * garment.height;
  return [hemX + acrossMm - print.width / 2, hemY - downMm - print.height];
}
