/** A closed outline: x, y, x, y … in mm of the film's page, y down. What lies inside an odd number of times is ink. */
export type Outline = readonly number[];

/** A drawn thing: its outlines filled together. */
export interface Shape {
  readonly outlines: readonly Outline[];
}

export function rectangle(x: number, y: number, width: number, height: number): Shape {
  return { outlines: [[x, y, x + width, y, x + width, y + height, x, y + height]] };
}

/** A ring of a line's width, whose middle runs at `radius`. */
export function ring(x: number, y: number, radius: number, line: number): Shape {
  return { outlines: [circle(x, y, radius + line / 2), circle(x, y, radius - line / 2)] };
}

const CORNERS = 96;

function circle(x: number, y: number, radius: number): Outline {
  const points: number[] = [];
  for (let k = 0; k < CORNERS; k++) {
    const angle = (2 * Math.PI * k) / CORNERS;
    points.push(x + radius * Math.cos(angle), y + radius * Math.sin(angle));
  }
  return points;
}

/** The shape seen from the other side of a page of this width. */
export function mirrored({ outlines }: Shape, pageWidth: number): Shape {
  return { outlines: outlines.map((outline) => outline.map((v, i) => (i % 2 === 0 ? pageWidth - v : v))) };
}
