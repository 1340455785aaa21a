import { bytesPerRow, setBits } from "../../engine/screen/bits.ts";
import type { Shape } from "./shapes.ts";

/** Paints shapes into rows of bits, a strip at a time; a pixel is ink where its centre lies inside. */
export class Painter {
  /** Crossings of the shapes with each row's middle: pairs of pixels from, to. */
  readonly #rows = new Map<number, number[]>();
  readonly #width: number;

  /** `width` and `height` of the page in pixels. */
  constructor(shapes: readonly Shape[], pixelsPerMm: number, width: number, height: number) {
    this.#width = width;
    for (const shape of shapes) this.#cross(shape, pixelsPerMm, height);
  }

  /** Sets the bits of rows `y` up to `y + rows`. */
  paint(y: number, rows: number, out: Uint8Array): void {
    const stride = bytesPerRow(this.#width);
    for (let row = 0; row < rows; row++) {
      const spans = this.#rows.get(y + row);
      if (!spans) continue;
      for (let i = 0; i < spans.length; i += 2) setBits(out, row * stride, spans[i]!, spans[i + 1]!);
    }
  }

  #cross({ outlines }: Shape, pixelsPerMm: number, height: number): void {
    const crossings = new Map<number, number[]>();
    for (const outline of outlines) {
      for (let i = 0; i < outline.length; i += 2) {
        const j = (i + 2) % outline.length;
        let [x0, y0] = [outline[i]! * pixelsPerMm, outline[i + 1]! * pixelsPerMm];
        let [x1, y1] = [outline[j]! * pixelsPerMm, outline[j + 1]! * pixelsPerMm];
        if (y0 > y1) [x0, y0, x1, y1] = [x1, y1, x0, y0];
        const first = Math.max(0, Math.ceil(y0 - 0.5));
        const last = Math.min(height - 1, Math.ceil(y1 - 0.5) - 1);
        for (let y = first; y <= last; y++) {
          const x = x0 + ((y + 0.5 - y0) * (x1 - x0)) / (y1 - y0);
          const row = crossings.get(y);
          if (row) row.push(x);
          else crossings.set(y, [x]);
        }
      }
    }
    for (const [y, xs] of crossings) {
      xs.sort((a, b) => a - b);
      const spans = this.#rows.get(y) ?? [];
      for (let i = 0; i + 1 < xs.length; i += 2) {
        const from = Math.max(0, Math.ceil(xs[i]! - 0.5));
        const to = Math.min(this.#width, Math.ceil(xs[i + 1]! - 0.5));
        if (to > from) spans.push(from, to);
      }
      this.#rows.set(y, spans);
    }
  }
}
