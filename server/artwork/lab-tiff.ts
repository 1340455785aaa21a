import type { Picture } from "../engine/raster.ts";
import type { Size } from "./decoder.ts";

/**
 * How a TIFF stores CIELAB: `signed` a* and b* (PhotometricInterpretation 8, TIFF 6.0 §23) or `offset` by half
 * the range (9, ICC L*a*b*, TIFF Technical Note 4).
 */
export type LabCoding = "signed" | "offset";

/**
 * Makes a CIELAB TIFF say that it is RGB, in place, so that a decoder hands out its samples untouched (libvips
 * reads no 8-bit CIELAB, and takes 16-bit CIELAB as under D65). Undefined, and nothing done, for other files.
 */
export function relabelLabTiff(bytes: Uint8Array): LabCoding | undefined {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const little = bytes[0] === 0x49;
  try {
    if (view.getUint16(2, little) !== 42) return undefined;
    const directory = view.getUint32(4, little);
    for (let i = 0; i < view.getUint16(directory, little); i++) {
      const entry = directory + 2 + 12 * i;
      if (view.getUint16(entry, little) !== PHOTOMETRIC) continue;
      const value = view.getUint16(entry + 8, little);
      if (value !== CIELAB && value !== ICC_LAB) return undefined;
      view.setUint16(entry + 8, RGB, little);
      return value === CIELAB ? "signed" : "offset";
    }
  } catch (error) {
    // A directory beyond the end: left for the decoder to refuse.
    if (!(error instanceof RangeError)) throw error;
  }
  return undefined;
}

const PHOTOMETRIC = 262;
const RGB = 2;
const CIELAB = 8;
const ICC_LAB = 9;

/** CIE 1931 D50 in XYZ, Y = 1 (ICC.1:2022 §7.2.16). */
const D50 = [0.9642, 1, 0.8249];

/** XYZ under D50 to linear sRGB: Bradford to D65, then IEC 61966-2-1 (product as published by B. Lindbloom). */
const TO_SRGB = [
  3.1338561, -1.6168667, -0.4906146, -0.9787684, 1.9161415, 0.033454, 0.0719453, -0.2289914, 1.4052427,
];

/** Linear light 0–1 in steps of 1/32767, to the sRGB byte (IEC 61966-2-1). */
const ENCODED = Uint8Array.from({ length: 32768 }, (_, i) => {
  const linear = i / 32767;
  const coded = linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
  return Math.round(255 * coded);
});

/** Samples L*, a*, b*, alpha (8 or 16 bit, D50) to a picture; colours outside sRGB are clipped channel by channel. */
export function labPicture(samples: Uint8Array | Uint16Array, coding: LabCoding, size: Size): Picture {
  const deep = samples instanceof Uint16Array;
  const top = deep ? 65535 : 255;
  const perUnit = deep ? 256 : 1;
  const half = (top + 1) >> 1;
  const wrap = coding === "signed" ? half : 0;
  const data = new Uint8Array(size.width * size.height * 4);
  for (let i = 0; i < samples.length; i += 4) {
    const fy = ((samples[i] * 100) / top + 16) / 116;
    const fx = fy + (((samples[i + 1] + wrap) & top) - half) / perUnit / 500;
    const fz = fy - (((samples[i + 2] + wrap) & top) - half) / perUnit / 200;
    const x = D50[0] * cubed(fx);
    const y = D50[1] * cubed(fy);
    const z = D50[2] * cubed(fz);
    data[i] = encoded(TO_SRGB[0] * x + TO_SRGB[1] * y + TO_SRGB[2] * z);
    data[i + 1] = encoded(TO_SRGB[3] * x + TO_SRGB[4] * y + TO_SRGB[5] * z);
    data[i + 2] = encoded(TO_SRGB[6] * x + TO_SRGB[7] * y + TO_SRGB[8] * z);
    data[i + 3] = Math.round((samples[i + 3] * 255) / top);
  }
  return { ...size, data };
}

/** The inverse of CIELAB's cube root with its straight foot (ISO/CIE 11664-4). */
function cubed(f: number): number {
  return f > 6 / 29 ? f * f * f : 3 * (6 / 29) ** 2 * (f - 4 / 29);
}

function encoded(linear: number): number {
  return ENCODED[Math.min(32767, Math.max(0, Math.round(linear * 32767)))];
}
