import type { OrderPrint, Place } from "../../language/order.ts";
import type { Size } from "../../language/recipe.ts";
import type { Point } from "../sheet/drawing.ts";

/** Which side of a garment is looked at. */
export type Side = "front" | "back";

/** Corners of the right sleeve as it is looked at, in shares of the width from the middle and of the height from the neck. */
const SHOULDER = [0.44, 0.06] as const;
const HEM_OUTER = [0.82, 0.27] as const;
const HEM_INNER = [0.6, 0.4] as const;
const ARMPIT = [0.5, 0.3] as const;

/**
 * A plain T-shirt laid flat: corners in mm from the middle of the collar's seam, y down. `size` is its body's width below
 * the sleeves and its height from that seam to the hem. Its proportions are drawn after no product: common practice, no
 * source.
 */
export function outline({ width: w, height: h }: Size, side: Side): Point[] {
  const drop = collarDrop({ width: w, height: h }, side);
  const right: Point[] = [
    ...collar(w, drop),
    ...[SHOULDER, HEM_OUTER, HEM_INNER, ARMPIT].map(([x, y]): Point => [x * w, y * h - drop]),
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
  return { half: HEM_OUTER[0] * size.width, above: collarDrop(size, "front"), below: size.height };
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
  // The wearer's left is the viewer's right. Up the sleeve's axis from the middle of its hem; drawn upright.
  const way = place === "left-sleeve" ? 1 : -1;
  const { width: w, height: h } = garment;
  const drop = collarDrop(garment, "front");
  const hem: Point = [
    0.5 * (HEM_OUTER[0] + HEM_INNER[0]) * w,
    0.5 * (HEM_OUTER[1] + HEM_INNER[1]) * h - drop,
  ];
  const arm: Point = [0.5 * (SHOULDER[0] + ARMPIT[0]) * w, 0.5 * (SHOULDER[1] + ARMPIT[1]) * h - drop];
  const up = (downMm + print.height / 2) / Math.hypot(arm[0] - hem[0], arm[1] - hem[1]);
  const x = way * (hem[0] + (arm[0] - hem[0]) * up) + acrossMm;
  return [x - print.width / 2, hem[1] + (arm[1] - hem[1]) * up - print.height / 2];
}
