/**
 * The spot functions of ISO 32000-1:2008, table 128, by their standard names. x and y run from −1 to 1 over a halftone
 * cell, x to the right and y up; ink comes first where the value is highest.
 */
export type SpotFunction = (x: number, y: number) => number;

const { abs, cos, max, min, sin, sqrt, PI } = Math;

const simpleDot: SpotFunction = (x, y) => 1 - (x * x + y * y);
const doubleDot: SpotFunction = (x, y) => (sin(2 * PI * x) + sin(2 * PI * y)) / 2;
const double: SpotFunction = (x, y) => (sin(PI * x) + sin(2 * PI * y)) / 2;
const ellipseA: SpotFunction = (x, y) => 1 - (x * x + 0.9 * y * y);
const ellipseC: SpotFunction = (x, y) => 1 - (0.9 * x * x + y * y);
const inverted =
  (f: SpotFunction): SpotFunction =>
  (x, y) =>
    -f(x, y);

/** The round dot's other half: the same dot of clear film, in the cell's corners. */
const cornerDot: SpotFunction = (x, y) => (abs(x) - 1) ** 2 + (abs(y) - 1) ** 2 - 1;

/** Spot functions by the names of ISO 32000-1:2008, table 128. */
export const SPOT_FUNCTIONS = {
  SimpleDot: simpleDot,
  InvertedSimpleDot: inverted(simpleDot),
  DoubleDot: doubleDot,
  InvertedDoubleDot: inverted(doubleDot),
  CosineDot: (x, y) => (cos(PI * x) + cos(PI * y)) / 2,
  Double: double,
  InvertedDouble: inverted(double),
  Line: (_, y) => -abs(y),
  LineX: (x) => x,
  LineY: (_, y) => y,
  Round: (x, y) => (abs(x) + abs(y) <= 1 ? simpleDot(x, y) : cornerDot(x, y)),
  Ellipse: (x, y) => {
    const w = 3 * abs(x) + 4 * abs(y) - 3;
    if (w < 0) return 1 - (x * x + (y / 0.75) ** 2) / 4;
    if (w > 1) return ((1 - abs(x)) ** 2 + ((1 - abs(y)) / 0.75) ** 2) / 4 - 1;
    return 0.5 - w;
  },
  EllipseA: ellipseA,
  InvertedEllipseA: inverted(ellipseA),
  EllipseB: (x, y) => 1 - sqrt(x * x + 0.625 * y * y),
  EllipseC: ellipseC,
  InvertedEllipseC: inverted(ellipseC),
  Square: (x, y) => -max(abs(x), abs(y)),
  Cross: (x, y) => -min(abs(x), abs(y)),
  Rhomboid: (x, y) => (0.9 * abs(x) + abs(y)) / 2,
  Diamond: (x, y) => {
    const w = abs(x) + abs(y);
    if (w <= 0.75) return simpleDot(x, y);
    return w <= 1.23 ? 1 - (0.85 * abs(x) + abs(y)) : cornerDot(x, y);
  },
} as const satisfies Readonly<Record<string, SpotFunction>>;

/** A name of ISO 32000-1, table 128. */
export type SpotName = keyof typeof SPOT_FUNCTIONS;

/** Plain names for the four that printers ask for. */
export const PLAIN_DOTS = { round: "Round", ellipse: "Ellipse", line: "Line", square: "Square" } as const;
/** A dot's shape as a recipe names it: plainly, or by the standard. */
export type DotName = keyof typeof PLAIN_DOTS | SpotName;

/** The spot function of a dot's shape. */
export function spotFunction(name: DotName): SpotFunction {
  return SPOT_FUNCTIONS[
    name in PLAIN_DOTS ? PLAIN_DOTS[name as keyof typeof PLAIN_DOTS] : (name as SpotName)
  ];
}
