import { expect, it } from "vitest";
import { bytesPerRow } from "../../../server/engine/screen/bits.ts";
import { Painter } from "../../../server/output/films/paint.ts";
import { rectangle, ring, type Shape } from "../../../server/output/films/shapes.ts";
import { random } from "../../property.ts";

/** Inside an odd number of times, by a ray to the left from the pixel's middle. */
function isIn({ outlines }: Shape, x: number, y: number): boolean {
  let inside = false;
  for (const outline of outlines)
    for (let i = 0; i < outline.length; i += 2) {
      const j = (i + 2) % outline.length;
      const [x0, y0, x1, y1] = [outline[i]!, outline[i + 1]!, outline[j]!, outline[j + 1]!];
      if (y0 > y === y1 > y) continue;
      if (x0 + ((y - y0) * (x1 - x0)) / (y1 - y0) < x) inside = !inside;
    }
  return inside;
}

it("a pixel is ink where its middle lies in any shape, whatever the strips", () => {
  const next = random(8);
  const [width, height, perMm] = [83, 61, 3.7];
  const point = () => (next() * 1.4 - 0.2) * 25;
  const polygon = (): Shape => ({
    outlines: Array.from({ length: 1 + Math.floor(next() * 2) }, () =>
      Array.from({ length: 2 * (3 + Math.floor(next() * 5)) }, point),
    ),
  });
  const shapes = [
    ...Array.from({ length: 6 }, polygon),
    rectangle(2, 3, 4.3, 0.31),
    ring(15, 9, 3, 0.5),
    rectangle(-5, 10, 60, 0.2),
  ];
  const painter = new Painter(shapes, perMm, width, height);
  const stride = bytesPerRow(width);
  const out = new Uint8Array(stride * height);
  for (let y = 0; y < height; y += 7) {
    const rows = Math.min(7, height - y);
    const strip = new Uint8Array(stride * rows);
    painter.paint(y, rows, strip);
    out.set(strip, y * stride);
  }
  let ink = 0;
  for (let y = 0; y < height; y++)
    for (let x = 0; x < stride * 8; x++) {
      const wanted = x < width && shapes.some((shape) => isIn(shape, (x + 0.5) / perMm, (y + 0.5) / perMm));
      expect((out[y * stride + (x >> 3)]! >> (7 - (x & 7))) & 1, `${x}, ${y}`).toBe(wanted ? 1 : 0);
      if (wanted) ink++;
    }
  expect(ink).toBeGreaterThan(500);
  expect(ink).toBeLessThan(width * height - 500);
});

it("what is painted over stays", () => {
  const painter = new Painter([rectangle(0, 0, 1, 1)], 2, 16, 2);
  const bits = Uint8Array.of(0x0f, 0xff, 0, 0);
  painter.paint(0, 2, bits);
  expect([...bits]).toEqual([0xcf, 0xff, 0xc0, 0]);
});
