/** Connected pixels of one label: by sides and corners, or by sides alone. */
export interface Pieces {
  /** Number of its piece, for each pixel. */
  readonly of: Int32Array;
  readonly label: Uint8Array;
  readonly size: Uint32Array;
  readonly count: number;
}

/** All pieces of a raster of labels. */
export function piecesOf(labels: Uint8Array, width: number, height: number, corners: boolean): Pieces {
  const of = new Int32Array(labels.length).fill(-1);
  const stack = new Int32Array(labels.length);
  const label: number[] = [];
  const size: number[] = [];
  for (let start = 0; start < labels.length; start++) {
    if (of[start] !== -1) continue;
    const own = labels[start]!;
    const piece = label.length;
    let top = 0;
    let pixels = 0;
    stack[top++] = start;
    of[start] = piece;
    while (top > 0) {
      const i = stack[--top]!;
      pixels++;
      const x = i % width;
      const y = (i - x) / width;
      const [left, right] = [x > 0 ? -1 : 0, x < width - 1 ? 1 : 0];
      const [up, down] = [y > 0 ? -1 : 0, y < height - 1 ? 1 : 0];
      for (let dy = up; dy <= down; dy++) {
        for (let dx = left; dx <= right; dx++) {
          if (!corners && dx !== 0 && dy !== 0) continue;
          const j = i + dy * width + dx;
          if (of[j] !== -1 || labels[j] !== own) continue;
          of[j] = piece;
          stack[top++] = j;
        }
      }
    }
    label.push(own);
    size.push(pixels);
  }
  return { of, label: Uint8Array.from(label), size: Uint32Array.from(size), count: label.length };
}
