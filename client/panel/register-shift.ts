import { registerDeviation } from "../../server/engine/print/dot-lattices.ts";
import { registerDraw } from "../../server/engine/print/steadiness.ts";

/** How far each plate of one print lies off, in millimetres; what is not named lies where its film says. */
export type PlateShifts = ReadonlyMap<string, readonly [xMm: number, yMm: number]>;

/**
 * Where plates lie off the first of them, to which the others are registered, in one of a row of prints: the draws that
 * steadiness is measured with.
 */
export function shiftsOfDraw(
  plates: readonly string[],
  draw: number,
  misregistrationMm: number,
): PlateShifts {
  const deviation = registerDeviation(misregistrationMm);
  const [x0, y0] = registerDraw(0, draw);
  return new Map(
    plates.map((plate, station) => {
      const [x, y] = registerDraw(station, draw);
      return [plate, [(x - x0) * deviation, (y - y0) * deviation]];
    }),
  );
}

/** What an arrow key moves a plate by. */
export const STEP_MM = 0.01;
const WAYS: Readonly<Record<string, readonly [x: number, y: number]>> = {
  ArrowLeft: [-STEP_MM, 0],
  ArrowRight: [STEP_MM, 0],
  ArrowUp: [0, -STEP_MM],
  ArrowDown: [0, STEP_MM],
};

/** The shifts after a key has moved one plate; undefined where the key moves nothing. */
export function movedBy(shifts: PlateShifts, plate: string, key: string): PlateShifts | undefined {
  const way = WAYS[key];
  if (!way) return undefined;
  const [x, y] = shifts.get(plate) ?? [0, 0];
  return new Map([...shifts, [plate, [x + way[0], y + way[1]]]]);
}
