import { describe, expect, it } from "vitest";
import { type DotPlate, Dots, type FilmSize, printDots } from "../../../../client/panel/pixels/dots.ts";
import { bytesPerRow } from "../../../../server/engine/screen/bits.ts";
import { Halftone } from "../../../../server/engine/screen/halftone.ts";
import { random } from "../../../property.ts";

const WIDTH = 40;
const HEIGHT = 30;
const FILM: FilmSize = { dpi: 600, width: 400, height: 300 };
const next = random(4);
const plate: DotPlate = {
  name: "ember",
  key: "e1",
  tones: Uint8Array.from({ length: WIDTH * HEIGHT }, (_, i) =>
    Math.min(255, Math.floor(((i % WIDTH) / WIDTH) * 200 + next() * 40)),
  ),
  screening: { method: "am", rulingLpi: 35, angle: 22.5, dot: "round" },
};

describe("dots under the glass", () => {
  it("are those of the film, and none beyond its edges", () => {
    const curve = Float64Array.from({ length: 256 }, (_, tone) => tone / 255);
    const whole = new Halftone(
      { tones: plate.tones, width: WIDTH, height: HEIGHT, curve },
      plate.screening,
      600,
      FILM.width,
      FILM.height,
    );
    const stride = bytesPerRow(FILM.width);
    const bits = new Uint8Array(stride * FILM.height);
    whole.draw({ x: 0, y: 0, width: FILM.width, height: FILM.height }, bits);
    const dots = new Dots();
    for (const [x, y] of [
      [100, 100],
      [-20, 250],
      [370, -30],
      [900, 900],
      [900, 100],
      [100, -60],
    ] as const) {
      const seen = dots.of(plate, WIDTH, HEIGHT, FILM, { x, y, side: 60 });
      for (let row = 0; row < 60; row++)
        for (let column = 0; column < 60; column++) {
          const [fx, fy] = [x + column, y + row];
          const inside = fx >= 0 && fy >= 0 && fx < FILM.width && fy < FILM.height;
          const ink = inside ? (bits[fy * stride + (fx >> 3)]! >> (7 - (fx & 7))) & 1 : 0;
          if (seen[row * 60 + column] !== ink * 255) expect.fail(`${column}, ${row} from ${x}, ${y}`);
        }
    }
  });

  it("follow the plate when it changes", () => {
    const dots = new Dots();
    const area = { x: 10, y: 10, side: 40 };
    const before = dots.of(plate, WIDTH, HEIGHT, FILM, area);
    const solid = { ...plate, key: "e2", tones: new Uint8Array(plate.tones.length).fill(255) };
    expect(dots.of(solid, WIDTH, HEIGHT, FILM, area).every((tone) => tone === 255)).toBe(true);
    expect(dots.of(plate, WIDTH, HEIGHT, FILM, area)).toEqual(before);
    const curved = { ...plate, film: Array.from({ length: 256 }, (_, tone) => (tone / 255) ** 3) };
    expect(dots.of(curved, WIDTH, HEIGHT, FILM, area)).not.toEqual(before);
  });

  it("of error diffusion are shown as the grains of a mask", () => {
    const area = { x: 10, y: 10, side: 40 };
    const grains = (method: "fm" | "diffusion") =>
      ({ ...plate, screening: { method, grainMm: 0.1 } }) as DotPlate;
    const shown = new Dots().of(grains("diffusion"), WIDTH, HEIGHT, FILM, area);
    expect(shown).toEqual(new Dots().of(grains("fm"), WIDTH, HEIGHT, FILM, area));
    expect(shown).not.toEqual(new Dots().of(plate, WIDTH, HEIGHT, FILM, area));
  });

  it("follow the screening when it changes", () => {
    const dots = new Dots();
    const area = { x: 10, y: 10, side: 40 };
    const turned = { ...plate, screening: { ...plate.screening, angle: 60 } } as DotPlate;
    dots.of(plate, WIDTH, HEIGHT, FILM, area);
    expect(dots.of(turned, WIDTH, HEIGHT, FILM, area)).toEqual(
      new Dots().of(turned, WIDTH, HEIGHT, FILM, area),
    );
  });

  it("print in their inks on the garment", () => {
    const ink = { colour: { L: 50, a: 60, b: 40 }, opacity: 1 };
    const printed = {
      source: "now",
      conditions: { garment: { L: 10, a: 0, b: 0 }, n: 1, compensated: true, smallestDot: 0 },
      stations: [
        { plate: "ember", ink, gain: undefined },
        { plate: "gone", ink, gain: undefined },
      ],
    } as const;
    const rgba = new Uint8ClampedArray(8);
    printDots(printed, (name) => (name === "ember" ? Uint8Array.of(0, 255) : undefined), rgba);
    expect(rgba[0]!).toBeLessThan(50);
    expect(rgba[4]!).toBeGreaterThan(180);
  });
});
