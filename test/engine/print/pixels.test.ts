import { describe, expect, it } from "vitest";
import { byteFromLinear } from "../../../server/engine/colour/srgb.ts";
import { mixingBands } from "../../../server/engine/print/bands.ts";
import { type DotLattice, dotLattices } from "../../../server/engine/print/dot-lattices.ts";
import { demichel, power } from "../../../server/engine/print/halftone.ts";
import { eachRing } from "../../../server/engine/print/nesting.ts";
import { pixelPrinter } from "../../../server/engine/print/pixels.ts";
import type { Tones } from "../../../server/engine/raster.ts";
import { random } from "../../property.ts";

/** More than two pieces, and no whole number of sixteens. */
const PIXELS = 2 * 4096 + 777;

interface Job {
  readonly n: number;
  readonly table: Float32Array;
  readonly areas: readonly Float32Array[];
  readonly plates: readonly Tones[];
  readonly lattices: readonly DotLattice[];
}

const [FLAT, STEEP] = [240, 200].map((over) =>
  Float32Array.from({ length: 256 }, (_, tone) => Math.min(1, Math.max(0, (tone - 4) / over))),
);

/** Screens whose dots nest on two lattices, and one by itself. */
const ANGLES = [22.5, 22.5, 52.5, 22.5, 52.5, 37.5];
const nesting = (stations: number) =>
  dotLattices(
    Array.from({ length: stations }, (_, s) => ({
      method: "am" as const,
      rulingLpi: 45,
      angle: ANGLES[s % ANGLES.length],
      dot: "round" as const,
    })),
    0.1,
  );

/** Overprints, tone curves and plates without any meaning: runs, short runs and noise, clear, solid and halftone. */
function jobOf(stations: number, n: number, seed: number, lattices: readonly DotLattice[] = []): Job {
  const next = random(seed);
  const tones = (): Tones => {
    let tone = 0;
    return Uint8Array.from({ length: PIXELS }, (_, i) => {
      const often = i < 4200 ? 0.02 : i < 6000 ? 0.3 : 1;
      if (next() < often) tone = next() < 0.5 ? 0 : next() < 0.3 ? 255 : Math.floor(next() * 256);
      return tone;
    });
  };
  return {
    n,
    table: Float32Array.from({ length: 3 * 2 ** stations }, () => next() * 1.02),
    // A curve may clear what is light and close what is dark.
    areas: Array.from({ length: stations }, (_, s) => (s % 3 === 1 ? STEEP : FLAT)),
    plates: Array.from({ length: stations }, tones),
    lattices,
  };
}

const printerOf = ({ table, areas, lattices, n }: Job) =>
  pixelPrinter({ table, areas, lattices, bands: mixingBands(n), n });

/** One pixel after the other, in double precision. */
function slowly({ table, areas, plates, lattices, n }: Job): Uint8Array {
  const out = new Uint8Array(PIXELS * 3);
  const { toRgb } = mixingBands(n);
  for (let i = 0; i < PIXELS; i++) {
    const bands = [0, 0, 0];
    const here = areas.map((area, s) => area[plates[s][i]]);
    eachRing(here, lattices, (weight, within) => {
      for (const [mask, share] of demichel(within).entries())
        if (share > 0)
          for (let band = 0; band < 3; band++) bands[band] += weight * share * table[3 * mask + band];
    });
    const light = toRgb
      ? [0, 3, 6].map((row) => bands.reduce((sum, v, k) => sum + toRgb[row + k] * power(v, n), 0))
      : bands;
    out.set(light.map(byteFromLinear), i * 3);
  }
  return out;
}

function whole(job: Job): Uint8Array {
  const out = new Uint8Array(PIXELS * 3);
  printerOf(job)(job.plates, 0, PIXELS, out);
  return out;
}

describe("pixels of", () => {
  it.each([
    [0, 1, false],
    [1, 1, false],
    [3, 1.6, false],
    [6, 1, false],
    [9, 2, false],
    [2, 1, true],
    [3, 1.6, true],
    [7, 1, true],
  ])("%d stations with n = %d, nested: %s, are what each would be by itself", (stations, n, nested) => {
    const job = jobOf(stations, n, 100 + stations, nested ? nesting(stations) : []);
    const [fast, slow] = [whole(job), slowly(job)];
    let worst = 0;
    let other = 0;
    for (let i = 0; i < fast.length; i++) {
      worst = Math.max(worst, Math.abs(fast[i] - slow[i]));
      if (fast[i] !== slow[i]) other++;
    }
    // The loop's light comes in steps of a 16384th: a colour that lies between two bytes may go to either.
    expect(worst).toBeLessThanOrEqual(n === 1 ? 1 : 2);
    expect(other / fast.length).toBeLessThan(0.03);
  });
});

it("are the same four bytes a pixel, and opaque", () => {
  const job = jobOf(5, 1, 7);
  const four = new Uint8ClampedArray(PIXELS * 4);
  printerOf(job)(job.plates, 0, PIXELS, four, 4);
  const three = whole(job);
  for (let i = 0; i < PIXELS; i++)
    expect([...four.subarray(4 * i, 4 * i + 4)]).toEqual([...three.subarray(3 * i, 3 * i + 3), 255]);
});

it("are the same wherever a piece begins and ends, and nothing is written beside it", () => {
  const job = jobOf(4, 1, 8);
  const all = whole(job);
  const print = printerOf(job);
  for (const [start, end] of [
    [0, 1],
    [5, 5],
    [17, 40],
    [4095, 4098],
    [100, 100 + 4096],
    [3, PIXELS],
  ] as const) {
    const out = new Uint8Array((end - start) * 3 + 8).fill(77);
    print(job.plates, start, end, out);
    expect(Buffer.compare(out.subarray(0, -8), all.subarray(start * 3, end * 3))).toBe(0);
    expect([...out.subarray(-8)]).toEqual(Array(8).fill(77));
  }
});

it("keep their own tables where prints of other sizes are made in between", () => {
  const jobs = [jobOf(3, 1, 9), jobOf(9, 1.8, 10), jobOf(2, 1.8, 11)];
  const alone = jobs.map(whole);
  const printers = jobs.map(printerOf);
  for (let round = 0; round < 2; round++)
    for (const [j, job] of jobs.entries()) {
      const out = new Uint8Array(PIXELS * 3);
      printers[j](job.plates, 0, PIXELS, out);
      expect(Buffer.compare(out, alone[j])).toBe(0);
    }
});

it("keep the table of bytes whole that lies behind a full piece of four bytes a pixel", () => {
  // White, then black, which is the first in that table.
  const print = pixelPrinter({
    table: Float32Array.of(1, 1, 1, 0, 0, 0),
    areas: [Float32Array.from({ length: 256 }, (_, tone) => tone / 255)],
    lattices: [],
    bands: mixingBands(1),
    n: 1,
  });
  const out = new Uint8Array(2 * 4096 * 4);
  print([new Uint8Array(2 * 4096).fill(255, 4096)], 0, 2 * 4096, out, 4);
  expect(new Set(out.subarray(0, 4 * 4096))).toEqual(new Set([255]));
  expect([...out.subarray(4 * 4096, 4 * 4096 + 4)]).toEqual([0, 0, 0, 255]);
  expect([...out.subarray(-4)]).toEqual([0, 0, 0, 255]);
});
