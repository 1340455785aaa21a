import { deltaE00 } from "../colour/ciede2000.ts";
import { cieFInverse, invert, type Lab, multiply, WHITE_D50, XYZ_OF_RGB } from "../colour/cielab.ts";
import { LINEAR_OF_BYTE } from "../colour/srgb.ts";
import { labFromXyz, type Xyz } from "../print/observer.ts";
import type { Reading } from "./figures.ts";
import { type Placement, placeSheet, type Scan, ScanError } from "./place-sheet.ts";
import { type PatchSample, sampleName } from "./samples.ts";
import { readLengths } from "./scan-lengths.ts";
import type { Light, ScannedInk } from "./scanned-ink.ts";
import type { Box, Sheet } from "./sheet.ts";

/** What a scan gives: colours of every patch, register, lines and gaps; and how well the known colours are met. */
export interface ScanReadings {
  readonly readings: readonly Reading[];
  /** What could not be read, in sentences. */
  readonly unread: readonly string[];
  /** ΔE00 of the known patches from what the matrix makes of them. */
  readonly residual: { readonly mean: number; readonly most: number; readonly patches: number };
}

/** Known colours that a matrix needs: as many as it has numbers, and a few to see how it fits. */
export const LEAST_KNOWN = 6;

/**
 * Colours of a sheet's patches from its scan, and its lengths (scan-lengths.ts). The scanner's own colours are taken to CIE XYZ by a 3 × 3 matrix, fitted by
 * least squares to the patches of `known` colour, which an instrument has read. Throws ScanError.
 */
export function readScan(scan: Scan, sheet: Sheet, known: ReadonlyMap<string, Lab>): ScanReadings {
  const placement = placeSheet(scan, sheet);
  const seen = sheet.patches.flatMap(({ sample, box }) =>
    sample ? [{ sample, name: sampleName(sample), rgb: meanOf(scan, placement, box) }] : [],
  );
  const fit = seen.flatMap(({ name, rgb }) => {
    const lab = known.get(name);
    return lab ? [{ rgb, lab, xyz: xyzOf(lab) }] : [];
  });
  if (fit.length < LEAST_KNOWN)
    throw new ScanError(
      `${fit.length} patches of the sheet are of known colour; a scan needs ${LEAST_KNOWN} that an instrument has read, solids and light tints among them`,
    );
  const matrix = fitted(fit);
  const labOf = (rgb: Light) => labFromXyz(times(matrix, rgb));
  const off = fit.map(({ rgb, lab }) => {
    const { L, a, b } = labOf(rgb);
    return deltaE00(L, a, b, lab.L, lab.a, lab.b);
  });
  const lengths = readLengths(scan, placement, sheet, scannedInks(seen));
  return {
    readings: [
      ...seen.map(({ sample, rgb }) => ({ sample, colour: labOf(rgb), line: 1 })),
      ...lengths.readings,
    ],
    unread: lengths.unread,
    residual: {
      mean: off.reduce((s, v) => s + v, 0) / off.length,
      most: Math.max(...off),
      patches: off.length,
    },
  };
}

/** Each ink's bare garment and solid, over all its ramps. */
function scannedInks(
  seen: readonly { readonly sample: PatchSample; readonly rgb: Light }[],
): ReadonlyMap<string, ScannedInk> {
  const light = (ink: string, tone: number): Light => {
    const own = seen.filter(({ sample: s }) => s.ink === ink && s.over === "garment" && s.tone === tone);
    return [0, 1, 2].map((k) => own.reduce((t, { rgb }) => t + rgb[k]!, 0) / own.length) as unknown as Light;
  };
  const inks = new Set(seen.map(({ sample }) => sample.ink));
  return new Map([...inks].map((ink) => [ink, { bare: light(ink, 0), solid: light(ink, 100) }]));
}

/** Mean linear light of the inner part of a box. */
function meanOf({ data, width, height }: Scan, [a, b, c, d, e, f]: Placement, box: Box): Light {
  const sum = [0, 0, 0];
  let count = 0;
  const inner = 0.3;
  const steps = Math.ceil(Math.hypot(a, d) * box.width * (1 - 2 * inner)) * 2 + 1;
  for (let i = 0; i < steps; i++)
    for (let j = 0; j < steps; j++) {
      const X = box.x + box.width * (inner + ((1 - 2 * inner) * (i + 0.5)) / steps);
      const Y = box.y + box.height * (inner + ((1 - 2 * inner) * (j + 0.5)) / steps);
      const [x, y] = [Math.floor(a * X + b * Y + c), Math.floor(d * X + e * Y + f)];
      if (x < 0 || y < 0 || x >= width || y >= height)
        throw new ScanError("part of the sheet is outside the scan; scan all of it");
      const at = 4 * (y * width + x);
      for (let k = 0; k < 3; k++) sum[k]! += LINEAR_OF_BYTE[data[at + k]!]!;
      count++;
    }
  return sum.map((v) => v / count) as unknown as Light;
}

/** The matrix that brings rgb nearest to XYZ, each patch weighed as lightness tells it apart. */
function fitted(patches: readonly { readonly rgb: Light; readonly xyz: Xyz }[]): number[][] {
  const normal = [0, 1, 2].map(() => [0, 0, 0]);
  const right = [0, 1, 2].map(() => [0, 0, 0]);
  for (const { rgb, xyz } of patches) {
    // The slope of CIELAB's cube root.
    const weight = 1 / (xyz.Y + 0.02) ** (4 / 3);
    const target = [xyz.X, xyz.Y, xyz.Z];
    for (let i = 0; i < 3; i++)
      for (let j = 0; j < 3; j++) {
        normal[i]![j]! += weight * rgb[i]! * rgb[j]!;
        right[i]![j]! += weight * target[i]! * rgb[j]!;
      }
  }
  // A little towards sRGB's own matrix, so that few colours give no wild one.
  const trace = normal[0]![0]! + normal[1]![1]! + normal[2]![2]!;
  for (let i = 0; i < 3; i++) {
    normal[i]![i]! += PRIOR * trace;
    for (let k = 0; k < 3; k++) right[k]![i]! += PRIOR * trace * XYZ_OF_RGB[k]![i]!;
  }
  const back = invert(normal);
  return multiply(right, back);
}

const PRIOR = 1e-6;

function times(m: readonly (readonly number[])[], [r, g, b]: Light): Xyz {
  const [X, Y, Z] = m.map((row) => row[0]! * r + row[1]! * g + row[2]! * b) as [number, number, number];
  return { X, Y, Z };
}

function xyzOf({ L, a, b }: Lab): Xyz {
  const y = (L + 16) / 116;
  return {
    X: WHITE_D50.X * cieFInverse(y + a / 500),
    Y: cieFInverse(y),
    Z: WHITE_D50.Z * cieFInverse(y - b / 200),
  };
}
