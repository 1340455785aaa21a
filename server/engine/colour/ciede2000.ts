const RADIANS = Math.PI / 180;
const POW25_7 = 25 ** 7;

/**
 * ΔE00 of two CIELAB colours, ISO/CIE 11664-6 with kL = kC = kH = 1. Plain numbers in and out, so that pixel
 * loops allocate nothing. Branches as in Sharma, Wu, Dalal, Color Research & Application 30(1), 2005.
 */
export function deltaE00(L1: number, a1: number, b1: number, L2: number, a2: number, b2: number): number {
  return Math.sqrt(squared(L1, a1, b1, L2, a2, b2, undefined));
}

/**
 * Whether two colours differ by more than `most` ΔE00. Told without its roots where they lie near: nothing but the scale of
 * a*, at most 1.5, makes a difference larger than in CIELAB, and the turn at most doubles squares of chroma and hue.
 */
export function isFarther(
  L1: number,
  a1: number,
  b1: number,
  L2: number,
  a2: number,
  b2: number,
  most: number,
): boolean {
  const [l, a, b] = [L2 - L1, a2 - a1, b2 - b1];
  if (l * l + 2 * (2.25 * a * a + b * b) <= most * most) return false;
  return deltaE00(L1, a1, b1, L2, a2, b2) > most;
}

/**
 * The same difference as three numbers whose squares sum to ΔE00², so that a search can follow their slopes; written
 * to `out[0…2]`. The turn between chroma and hue is taken into the second and third.
 */
export function deltaParts(
  L1: number,
  a1: number,
  b1: number,
  L2: number,
  a2: number,
  b2: number,
  out: Float64Array,
): void {
  squared(L1, a1, b1, L2, a2, b2, out);
}

/** Cosine of half the angle between hues from which on they count as opposite, and their mean is looked at closely. */
const OPPOSITE = 0.005;
const [COS_6, SIN_6] = [Math.cos(6 * RADIANS), Math.sin(6 * RADIANS)];
const [COS_30, SIN_30] = [Math.cos(30 * RADIANS), Math.sin(30 * RADIANS)];
const [COS_63, SIN_63] = [Math.cos(63 * RADIANS), Math.sin(63 * RADIANS)];

/** ΔE00²; its parts go to `parts`, where somebody wants them. */
function squared(
  L1: number,
  a1: number,
  b1: number,
  L2: number,
  a2: number,
  b2: number,
  parts: Float64Array | undefined,
): number {
  const meanC = (Math.sqrt(a1 * a1 + b1 * b1) + Math.sqrt(a2 * a2 + b2 * b2)) / 2;
  const meanC7 = pow7(meanC);
  const g = 1.5 - 0.5 * Math.sqrt(meanC7 / (meanC7 + POW25_7));
  const a1p = a1 * g;
  const a2p = a2 * g;
  const C1 = Math.sqrt(a1p * a1p + b1 * b1);
  const C2 = Math.sqrt(a2p * a2p + b2 * b2);
  const L = (L1 + L2) / 2 - 50;
  const C = (C1 + C2) / 2;
  const l = (L2 - L1) / (1 + (0.015 * L * L) / Math.sqrt(20 + L * L));
  const c = (C2 - C1) / (1 + 0.045 * C);
  let h = 0;
  let RT = 0;
  // The hue of a grey is none, and no difference.
  if (C1 !== 0 && C2 !== 0) {
    // Hues as directions: their mean is that of the sum, and multiples of an angle need no angle.
    let x = a1p / C1 + a2p / C2;
    let y = b1 / C1 + b2 / C2;
    const both = Math.sqrt(x * x + y * y);
    let dH: number;
    if (both > 2 * OPPOSITE) {
      x /= both;
      y /= both;
      dH = (2 * (a1p * b2 - b1 * a2p)) / (Math.sqrt(C1 * C2) * both);
    } else {
      const h1 = hue(a1p, b1);
      const h2 = hue(a2p, b2);
      const far = Math.abs(h1 - h2) > 180;
      const dh = far ? h2 - h1 + (h2 < h1 ? 360 : -360) : h2 - h1;
      const mean = (h1 + h2 + (far ? 360 : 0)) / 2;
      x = Math.cos(mean * RADIANS);
      y = Math.sin(mean * RADIANS);
      dH = 2 * Math.sqrt(C1 * C2) * Math.sin((dh / 2) * RADIANS);
    }
    const cos2 = 2 * x * x - 1;
    const sin2 = 2 * x * y;
    const T =
      1 -
      0.17 * (x * COS_30 + y * SIN_30) +
      0.24 * cos2 +
      0.32 * (x * (2 * cos2 - 1) * COS_6 - y * (2 * cos2 + 1) * SIN_6) -
      0.2 * ((2 * cos2 * cos2 - 1) * COS_63 + 2 * sin2 * cos2 * SIN_63);
    h = dH / (1 + 0.015 * C * T);
    // From 0 degrees, rounding allowed for, up to 120 the turn is nothing, to the last digit.
    if (y <= -1e-14 || x <= -0.5) {
      const C7 = pow7(C);
      const turn = (hue(x, y) - 275) / 25;
      RT = -2 * Math.sqrt(C7 / (C7 + POW25_7)) * Math.sin(60 * Math.exp(-turn * turn) * RADIANS);
    }
  }
  if (parts) {
    parts[0] = l;
    parts[1] = c + (RT / 2) * h;
    parts[2] = h * Math.sqrt(1 - (RT * RT) / 4);
  }
  return l * l + c * c + h * h + RT * c * h;
}

function hue(a: number, b: number): number {
  const degrees = Math.atan2(b, a) / RADIANS;
  return degrees < 0 ? degrees + 360 : degrees;
}

function pow7(x: number): number {
  const cube = x * x * x;
  return cube * cube * x;
}
