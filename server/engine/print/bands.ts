import { BRADFORD, invert, type LinearRgb, multiply, RGB_OF_XYZ, WHITE_D50 } from "../colour/cielab.ts";
import { BANDS, type Spectrum, XYZ_WEIGHTS } from "./observer.ts";

/** The three bands that halftones are mixed in, and the way from them to linear sRGB. */
export interface MixingBands {
  /** Writes the three bands of a reflectance to `out[at…at+2]`. */
  write(R: Spectrum, out: Float32Array | Float64Array, at: number): void;
  /** Linear sRGB of the three bands, row by row; undefined where they are it. */
  readonly toRgb: readonly number[] | undefined;
}

/**
 * Mixing by area alone (n = 1) is linear, hence the same in any bands: linear sRGB saves the way back. With a root
 * before the mixing the bands must be narrow and never negative: Bradford's sharpened cones (ICC.1, annex E), 1 on
 * the perfect diffuser.
 */
export function mixingBands(n: number): MixingBands {
  if (n === 1) return { write: writer(weightsOf(RGB_OF_XYZ)), toRgb: undefined };
  const { X, Y, Z } = WHITE_D50;
  const sharpened = BRADFORD.map((row) => {
    const white = row[0]! * X + row[1]! * Y + row[2]! * Z;
    return row.map((v) => v / white);
  });
  return { write: writer(weightsOf(sharpened)), toRgb: multiply(RGB_OF_XYZ, invert(sharpened)).flat() };
}

/** Linear sRGB, not clipped, of three mixed bands. */
export function linearOfBands({ toRgb: m }: MixingBands, x: number, y: number, z: number): LinearRgb {
  if (!m) return { r: x, g: y, b: z };
  return {
    r: m[0]! * x + m[1]! * y + m[2]! * z,
    g: m[3]! * x + m[4]! * y + m[5]! * z,
    b: m[6]! * x + m[7]! * y + m[8]! * z,
  };
}

/** The three bands of a colour in linear sRGB: the inverse of `linearOfBands`. */
export function bandsOfLinear({ toRgb: m }: MixingBands): (colour: LinearRgb) => readonly number[] {
  if (!m) return ({ r, g, b }) => [r, g, b];
  const back = invert([m.slice(0, 3), m.slice(3, 6), m.slice(6, 9)]);
  return ({ r, g, b }) => back.map((row) => row[0]! * r + row[1]! * g + row[2]! * b);
}

function weightsOf(rowsOfXyz: readonly (readonly number[])[]): Float64Array[] {
  const { X, Y, Z } = XYZ_WEIGHTS;
  return rowsOfXyz.map((row) =>
    Float64Array.from({ length: BANDS }, (_, i) => row[0]! * X[i]! + row[1]! * Y[i]! + row[2]! * Z[i]!),
  );
}

function writer([p, q, r]: readonly Float64Array[]): MixingBands["write"] {
  return (R, out, at) => {
    let x = 0;
    let y = 0;
    let z = 0;
    for (let i = 0; i < BANDS; i++) {
      const v = R[i]!;
      x += p![i]! * v;
      y += q![i]! * v;
      z += r![i]! * v;
    }
    out[at] = x;
    out[at + 1] = y;
    out[at + 2] = z;
  };
}
