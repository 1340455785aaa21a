import { expect, it } from "vitest";
import { keepSolid, touchesSolid } from "../../../server/engine/trap/solid-part.ts";
import { random } from "../../property.ts";

it("keeps tones from 230 on and what touches them, and nothing else", () => {
  const out = new Uint8Array(9).fill(77);
  keepSolid(Uint8Array.of(0, 1, 229, 230, 40, 100, 229, 255, 0), 9, 1, out);
  expect([...out]).toEqual([0, 0, 229, 230, 40, 0, 229, 255, 0]);
});

it("looks at the eight pixels around one, and not past the picture's borders", () => {
  const next = random(5);
  const [width, height] = [13, 9];
  for (let n = 0; n < 6; n++) {
    const tones = Uint8Array.from({ length: width * height }, () => (next() < 0.12 ? 230 : 229 * next()));
    const out = new Uint8Array(tones.length);
    keepSolid(tones, width, height, out);
    for (let y = 0; y < height; y++)
      for (let x = 0; x < width; x++) {
        const touches = [...tones.keys()].some(
          (at) =>
            tones[at]! >= 230 && Math.abs((at % width) - x) <= 1 && Math.abs(Math.floor(at / width) - y) <= 1,
        );
        const at = y * width + x;
        expect(touchesSolid(tones, width, height, x, y), `${x}, ${y}`).toBe(touches);
        expect(out[at]).toBe(touches ? tones[at] : 0);
      }
  }
});
