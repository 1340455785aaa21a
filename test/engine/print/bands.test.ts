import { describe, expect, it } from "vitest";
import { labFromLinear } from "../../../server/engine/colour/cielab.ts";
import { bandsOfLinear, linearOfBands, mixingBands } from "../../../server/engine/print/bands.ts";
import { BANDS, labFromSpectrum } from "../../../server/engine/print/observer.ts";
import { spectrumOf } from "../../../server/engine/print/spectrum.ts";

const COLOUR = { r: 0.1, g: 0.25, b: 0.6 };

describe("bands that halftones are mixed in", () => {
  it("are linear sRGB itself where mixing is linear", () => {
    expect(linearOfBands(mixingBands(1), 0.1, 0.2, 0.3)).toEqual({ r: 0.1, g: 0.2, b: 0.3 });
    expect(bandsOfLinear(mixingBands(1))(COLOUR)).toEqual([0.1, 0.25, 0.6]);
  });

  it.each([1, 1.6, 2])("lead back to the colour of the spectrum that they were made of, n = %d", (n) => {
    const bands = mixingBands(n);
    const R = spectrumOf({ L: 48, a: 60, b: 30 });
    const out = new Float64Array(5).fill(-1);
    bands.write(R, out, 1);
    const [seen, wanted] = [labFromLinear(linearOfBands(bands, out[1], out[2], out[3])), labFromSpectrum(R)];
    for (const k of ["L", "a", "b"] as const) expect(seen[k]).toBeCloseTo(wanted[k], 9);
    expect([out[0], out[4]]).toEqual([-1, -1]);
  });

  it("are 1 on the perfect diffuser, and sharper than the primaries of sRGB, which saturated light takes below nothing", () => {
    const out = new Float64Array(3);
    mixingBands(2).write(new Float64Array(BANDS).fill(1), out, 0);
    for (const v of out) expect(v).toBeCloseTo(1, 12);
    // 500 nm alone lies outside of sRGB.
    const line = Float64Array.from({ length: BANDS }, (_, i) => (i === 12 ? 1 : 0));
    mixingBands(1).write(line, out, 0);
    expect(Math.min(...out)).toBeLessThan(-0.01);
    mixingBands(2).write(line, out, 0);
    expect(Math.min(...out)).toBeGreaterThan(-0.002);
  });

  it("are found again from linear light", () => {
    const bands = mixingBands(1.6);
    const [x, y, z] = bandsOfLinear(bands)(COLOUR);
    const back = linearOfBands(bands, x, y, z);
    for (const k of ["r", "g", "b"] as const) expect(back[k]).toBeCloseTo(COLOUR[k], 12);
  });
});
