import { expect, it } from "vitest";
import { bytesPerRow } from "../../../server/engine/screen/bits.ts";
import { Halftone } from "../../../server/engine/screen/halftone.ts";
import { random } from "../../property.ts";
import { drawn, unpacked } from "./drawn.ts";

/** 16 × 12 squares of 3 × 3 pixels, which do not come out even on a film of 125 × 95 pixels at 600 dpi. */
const [ACROSS, DOWN, SIDE] = [16, 12, 3];
const [WIDTH, HEIGHT] = [125, 95];
const next = random(12);
const INKED = Array.from({ length: DOWN }, () => Array.from({ length: ACROSS }, () => next() < 0.4));

function filmOf(growMm: number) {
  const width = ACROSS * SIDE;
  const tones = Uint8Array.from({ length: width * DOWN * SIDE }, (_, i) => {
    const [x, y] = [i % width, Math.floor(i / width)];
    const isMiddle = x % SIDE === 1 && y % SIDE === 1;
    // The middle alone counts: half of the tone and more is ink.
    return isMiddle === INKED[Math.floor(y / SIDE)]![Math.floor(x / SIDE)] ? 128 : 127;
  });
  const curve = Float64Array.from({ length: 256 }, (_, tone) => tone / 255);
  return new Halftone(
    { tones, width, height: DOWN * SIDE, curve },
    { method: "index", across: ACROSS, growMm, grainMm: 0.1 },
    600,
    WIDTH,
    HEIGHT,
  );
}

/** Whether a pixel of a film whose squares do not grow is ink: that of the square in which its middle lies. */
function inkAt(x: number, y: number): boolean {
  if (x < 0 || y < 0 || x >= WIDTH || y >= HEIGHT) return false;
  return INKED[Math.floor(((y + 0.5) * DOWN) / HEIGHT)]![Math.floor(((x + 0.5) * ACROSS) / WIDTH)]!;
}

// At 600 dpi a pixel is 0.0423 mm; a square is just under 8 of them, so that 10 reach beyond the next one.
it.each([
  [0, 0],
  [0.02, 0],
  [0.09, 2],
  [0.42, 10],
])("squares that grow by %d mm are ink within %i pixels of theirs, and nowhere else", (growMm, grow) => {
  const rows = drawn(filmOf(growMm)).map((row) => [...row]);
  const wanted = rows.map((row, y) =>
    row.map((_, x) => {
      for (let dy = -grow; dy <= grow; dy++)
        for (let dx = -grow; dx <= grow; dx++) if (inkAt(x + dx, y + dy)) return 1;
      return 0;
    }),
  );
  expect(rows).toEqual(wanted);
});

it("a window of them holds the same bits as the whole film", () => {
  const halftone = filmOf(0.09);
  const whole = drawn(halftone);
  for (const [x, y, width, height] of [
    [0, 41, WIDTH, 13],
    [61, 3, 50, 92],
    [124, 94, 1, 1],
  ] as const) {
    const bits = new Uint8Array(bytesPerRow(width) * height);
    halftone.draw({ x, y, width, height }, bits);
    expect(unpacked(bits, width, height)).toEqual(
      whole.slice(y, y + height).map((row) => row.slice(x, x + width)),
    );
  }
});
