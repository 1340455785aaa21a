/**
 * ICC profiles written by hand after ICC.1:2001-04 (version 2) and ICC.1:2022 (version 4), as files made by
 * others carry them.
 */

const be32 = (v: number) => [(v >>> 24) & 255, (v >>> 16) & 255, (v >>> 8) & 255, v & 255];
const be16 = (v: number) => [(v >>> 8) & 255, v & 255];
const text = (s: string) => [...Buffer.from(s, "latin1")];
const fixed = (v: number) => be32(Math.round(v * 65536));
const xyz = (v: readonly number[]) => [...text("XYZ "), 0, 0, 0, 0, ...v.flatMap(fixed)];
const D50 = [0.9642, 1, 0.8249];

function profile(
  version: 2 | 4,
  kind: string,
  space: string,
  pcs: string,
  tags: [string, number[]][],
): Uint8Array {
  const table: number[] = [...be32(tags.length)];
  const data: number[] = [];
  for (const [name, value] of tags) {
    table.push(...text(name), ...be32(132 + 12 * tags.length + data.length), ...be32(value.length));
    data.push(...value, ...Array((4 - (value.length % 4)) % 4).fill(0));
  }
  const head = new Uint8Array(128);
  head.set(be32(128 + table.length + data.length), 0);
  head.set([version, version === 2 ? 0x40 : 0x20], 8);
  head.set([...text(kind), ...text(space), ...text(pcs)], 12);
  head.set([...be16(2024), ...be16(1), ...be16(1)], 24);
  head.set(text("acsp"), 36);
  head.set(D50.flatMap(fixed), 68);
  return new Uint8Array([...head, ...table, ...data]);
}

/** textDescriptionType, version 2. */
function described(name: string): number[] {
  return [...text("desc"), 0, 0, 0, 0, ...be32(name.length + 1), ...text(`${name}\0`), ...Array(78).fill(0)];
}

/** multiLocalizedUnicodeType, version 4. */
function localised(name: string): number[] {
  const utf16 = [...name].flatMap((c) => be16(c.charCodeAt(0)));
  return [
    ...text("mluc"),
    0,
    0,
    0,
    0,
    ...be32(1),
    ...be32(12),
    ...text("enUS"),
    ...be32(utf16.length),
    ...be32(28),
    ...utf16,
  ];
}

function gammaCurve(gamma: number): number[] {
  return [...text("curv"), 0, 0, 0, 0, ...be32(1), ...be16(Math.round(gamma * 256))];
}

/** parametricCurveType 3 with the constants of IEC 61966-2-1. */
const SRGB_CURVE = [
  ...text("para"),
  0,
  0,
  0,
  0,
  ...be16(3),
  0,
  0,
  ...[2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045].flatMap(fixed),
];

/** Display P3; colorants under D50 as its published profile states them. */
export function displayP3(): Uint8Array {
  return profile(4, "mntr", "RGB ", "XYZ ", [
    ["desc", localised("Display P3")],
    ["cprt", localised("none")],
    ["wtpt", xyz(D50)],
    ["rXYZ", xyz([0.51512, 0.2412, -0.00105])],
    ["gXYZ", xyz([0.29198, 0.69225, 0.04189])],
    ["bXYZ", xyz([0.1571, 0.06657, 0.78407])],
    ["rTRC", SRGB_CURVE],
    ["gTRC", SRGB_CURVE],
    ["bTRC", SRGB_CURVE],
  ]);
}

/** The primaries and the gamma of 563/256 of Adobe RGB (1998), annex on its ICC profile. */
export function wideGamut(): Uint8Array {
  const curve = gammaCurve(563 / 256);
  return profile(2, "mntr", "RGB ", "XYZ ", [
    ["desc", described("Wide gamut 1998")],
    ["cprt", [...text("text"), 0, 0, 0, 0, ...text("none\0")]],
    ["wtpt", xyz(D50)],
    ["rXYZ", xyz([0.60974, 0.31111, 0.01947])],
    ["gXYZ", xyz([0.20528, 0.62567, 0.06087])],
    ["bXYZ", xyz([0.14919, 0.06322, 0.74457])],
    ["rTRC", curve],
    ["gTRC", curve],
    ["bTRC", curve],
  ]);
}

export function greyGamma(gamma: number): Uint8Array {
  return profile(2, "mntr", "GRAY", "XYZ ", [
    ["desc", described(`Grey gamma ${gamma}`)],
    ["cprt", [...text("text"), 0, 0, 0, 0, ...text("none\0")]],
    ["wtpt", xyz(D50)],
    ["kTRC", gammaCurve(gamma)],
  ]);
}

/** A CMYK press with these L*a*b* (D50) solids, whole numbers: `colour(c, m, y, k)`, each 0 or 1. lut8Type. */
export function press(colour: (c: number, m: number, y: number, k: number) => number[]): Uint8Array {
  const ramp = Array.from({ length: 256 }, (_, i) => i);
  const corners = Array.from({ length: 16 }, (_, i) => {
    const [l, a, b] = colour((i >> 3) & 1, (i >> 2) & 1, (i >> 1) & 1, i & 1);
    return [Math.round((l * 255) / 100), a + 128, b + 128];
  });
  const unit = [1, 0, 0, 0, 1, 0, 0, 0, 1].flatMap(fixed);
  const lut = [...text("mft1"), 0, 0, 0, 0, 4, 3, 2, 0, ...unit, ...ramp, ...ramp, ...ramp, ...ramp];
  lut.push(...corners.flat(), ...ramp, ...ramp, ...ramp);
  return profile(2, "prtr", "CMYK", "Lab ", [
    ["desc", described("Test press")],
    ["cprt", [...text("text"), 0, 0, 0, 0, ...text("none\0")]],
    ["wtpt", xyz(D50)],
    ["A2B0", lut],
  ]);
}

/** The same profile with its tags torn out. */
export function damaged(icc: Uint8Array): Uint8Array {
  const copy = icc.slice();
  copy.fill(0, 132 + 12, copy.length);
  return copy;
}
