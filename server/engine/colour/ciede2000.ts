const RADIANS = Math.PI / 180;
const POW25_7 = 25 ** 7;

/**
 * ΔE00 of two CIELAB colours, ISO/CIE 11664-6 with kL = kC = kH = 1. Plain numbers in and out, so that pixel
 * loops allocate nothing. Branches as in Sharma, Wu, Dalal, Color Research & Application 30(1), 2005.
 */
export function deltaE00(L1: number, a1: number, b1: number, L2: number, a2: number, b2: number): number {
  components(L1, a1, b1, L2, a2, b2);
  return Math.sqrt(l * l + c * c + hh * hh + RT * c * hh);
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
  components(L1, a1, b1, L2, a2, b2);
  out[0] = l;
  out[1] = c + (RT / 2) * hh;
  out[2] = hh * Math.sqrt(1 - (RT * RT) / 4);
}

// What `components` found last: kept outside, since an object a call would cost more than the sum.
let l = 0;
let c = 0;
let hh = 0;
let RT = 0;

function components(L1: number, a1: number, b1: number, L2: number, a2: number, b2: number): void {
  const meanC = (Math.sqrt(a1 * a1 + b1 * b1) + Math.sqrt(a2 * a2 + b2 * b2)) / 2;
  const meanC7 = pow7(meanC);
  const g = 1.5 - 0.5 * Math.sqrt(meanC7 / (meanC7 + POW25_7));
  const a1p = a1 * g;
  const a2p = a2 * g;
  const C1 = Math.sqrt(a1p * a1p + b1 * b1);
  const C2 = Math.sqrt(a2p * a2p + b2 * b2);
  const h1 = hue(a1p, b1);
  const h2 = hue(a2p, b2);
  const chromatic = C1 * C2 !== 0;

  let dh = 0;
  let h = h1 + h2;
  if (chromatic) {
    dh = h2 - h1;
    if (dh > 180) dh -= 360;
    else if (dh < -180) dh += 360;
    if (Math.abs(h1 - h2) > 180) h += h < 360 ? 360 : -360;
    h /= 2;
  }
  const dL = L2 - L1;
  const dC = C2 - C1;
  const dH = 2 * Math.sqrt(C1 * C2) * Math.sin((dh / 2) * RADIANS);

  const L = (L1 + L2) / 2 - 50;
  const C = (C1 + C2) / 2;
  const T =
    1 -
    0.17 * Math.cos((h - 30) * RADIANS) +
    0.24 * Math.cos(2 * h * RADIANS) +
    0.32 * Math.cos((3 * h + 6) * RADIANS) -
    0.2 * Math.cos((4 * h - 63) * RADIANS);
  const SL = 1 + (0.015 * L * L) / Math.sqrt(20 + L * L);
  const SC = 1 + 0.045 * C;
  const SH = 1 + 0.015 * C * T;
  const C7 = pow7(C);
  const turn = (h - 275) / 25;
  RT = -2 * Math.sqrt(C7 / (C7 + POW25_7)) * Math.sin(60 * Math.exp(-turn * turn) * RADIANS);

  l = dL / SL;
  c = dC / SC;
  hh = dH / SH;
}

function hue(a: number, b: number): number {
  if (a === 0 && b === 0) return 0;
  const degrees = Math.atan2(b, a) / RADIANS;
  return degrees < 0 ? degrees + 360 : degrees;
}

function pow7(x: number): number {
  const cube = x * x * x;
  return cube * cube * x;
}
