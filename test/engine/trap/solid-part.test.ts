import { expect, it } from "vitest";
import { Halftone } from "../../../server/engine/screen/halftone.ts";
import { CLEAR, keepSolid, SOLID, touchesSolid } from "../../../server/engine/trap/solid-part.ts";
import { random } from "../../property.ts";
import { drawn } from "../screen/drawn.ts";

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

it("has the same bounds as a film, on which what steps over both is drawn as an edge", () => {
  const curve = Float64Array.from({ length: 256 }, (_, tone) => tone / 255);
  const screening = { method: "am", rulingLpi: 55, angle: 45, dot: "round" } as const;
  /** Whether the film is all clear up to the step, and all ink from it on, a plate's pixel to either side. */
  const isEdge = (clear: number, solid: number) => {
    const [width, height] = [6, 30];
    const tones = Uint8Array.from({ length: width * height }, (_, i) => (i % width < 3 ? clear : solid));
    const rows = drawn(new Halftone({ tones, width, height, curve }, screening, 600, 60, 300));
    return rows.every((row) => row.subarray(22, 38).every((bit, x) => bit === (x < 8 ? 0 : 1)));
  };
  expect([isEdge(CLEAR, SOLID), isEdge(CLEAR + 1, SOLID), isEdge(CLEAR, SOLID - 1)]).toEqual([
    true,
    false,
    false,
  ]);
});
