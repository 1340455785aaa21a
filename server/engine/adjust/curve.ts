/** Tone in and out, 0–1, tone in rising. */
export type Curve = readonly (readonly [tone: number, out: number])[];

/**
 * A tone curve as a table of 256 bytes. Between the pairs runs a monotone cubic (Fritsch & Carlson, SIAM J.
 * Numer. Anal. 17(2), 1980): smooth, through every pair, and never beyond two neighbouring ones, so that a rising
 * curve stays rising. Before the first and after the last pair their tones hold.
 */
export function curveTable(curve: Curve): Uint8Array {
  const at = curveFunction(curve);
  return Uint8Array.from({ length: 256 }, (_, byte) => Math.round(255 * at(byte / 255)));
}

/** The same line as a function of tone, 0–1. */
export function curveFunction(curve: Curve): (tone: number) => number {
  const slopes = tangents(curve);
  return (tone) => at(curve, slopes, tone);
}

function at(curve: Curve, slopes: readonly number[], tone: number): number {
  const last = curve.length - 1;
  if (tone <= curve[0]![0]) return curve[0]![1];
  if (tone >= curve[last]![0]) return curve[last]![1];
  let k = 0;
  while (tone > curve[k + 1]![0]) k++;
  const [x0, y0] = curve[k]!;
  const [x1, y1] = curve[k + 1]!;
  const h = x1 - x0;
  const t = (tone - x0) / h;
  const u = 1 - t;
  // Cubic Hermite basis.
  return (
    y0 * (1 + 2 * t) * u * u +
    h * slopes[k]! * t * u * u +
    y1 * t * t * (3 - 2 * t) -
    h * slopes[k + 1]! * t * t * u
  );
}

function tangents(curve: Curve): number[] {
  const secants = curve.slice(1).map(([x, y], i) => (y - curve[i]![1]) / (x - curve[i]![0]));
  const slopes = curve.map((_, i) => {
    const before = secants[i - 1] ?? secants[i] ?? 0;
    const after = secants[i] ?? before;
    return before * after <= 0 ? 0 : (before + after) / 2;
  });
  // Keep each pair of tangents inside the circle of radius 3 that Fritsch and Carlson prove monotone.
  for (const [k, secant] of secants.entries()) {
    // Both are 0 already.
    if (secant === 0) continue;
    const length = Math.hypot(slopes[k]! / secant, slopes[k + 1]! / secant);
    if (length <= 3) continue;
    slopes[k]! *= 3 / length;
    slopes[k + 1]! *= 3 / length;
  }
  return slopes;
}
