import type { Labels } from "../../../server/engine/areas/label.ts";

/** A row of pixels, each of one colour of which another covers a part, 0–255; three rows alike where `rows` says so. */
export function labelsOf(
  row: readonly (readonly [colour: number, other: number, cover: number])[],
  rows = 1,
): Labels {
  const pixels = Array.from({ length: rows }, () => row).flat();
  return {
    width: row.length,
    height: rows,
    first: Uint8Array.from(pixels, ([a, b, cover]) => (cover > 127 ? b : a)),
    second: Uint8Array.from(pixels, ([a, b, cover]) =>
      cover === 255 ? b : cover > 127 || cover === 0 ? a : b,
    ),
    share: Uint8Array.from(pixels, ([, , cover]) => Math.max(cover, 255 - cover)),
    inside: new Uint8Array(pixels.length),
    noise: 0,
    noisy: false,
  };
}

/** How much of each pixel of a row a colour covers, 0–255. */
export function rowOf({ width, first, second, share }: Labels, colour: number, row = 0): number[] {
  return Array.from({ length: width }, (_, x) => {
    const at = row * width + x;
    if (first[at] === colour) return second[at] === colour ? 255 : share[at]!;
    return second[at] === colour ? 255 - share[at]! : 0;
  });
}

/** Whole pixels from a drawing: each digit is its colour. */
export function labelsDrawn(...rows: readonly string[]): Labels {
  const first = Uint8Array.from(rows.join(""), Number);
  return {
    width: rows[0]!.length,
    height: rows.length,
    first,
    second: first.slice(),
    share: new Uint8Array(first.length).fill(255),
    inside: new Uint8Array(first.length),
    noise: 0,
    noisy: false,
  };
}

/** The drawing of bytes under ten. */
export function drawnOf(bytes: Uint8Array, width: number): string[] {
  return Array.from({ length: bytes.length / width }, (_, y) =>
    bytes.subarray(y * width, (y + 1) * width).join(""),
  );
}
