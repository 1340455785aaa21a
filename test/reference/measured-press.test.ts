import { existsSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { filmOf, printOver } from "../../server/engine/print/ink-film.ts";
import { labFromSpectrum } from "../../server/engine/print/observer.ts";
import { spectrumOf } from "../../server/engine/print/spectrum.ts";
import {
  difference,
  FOLDER,
  fittedN,
  mean,
  measuredPrimaries,
  modelOf,
  percentile,
  pressPatches,
} from "./measured-press.ts";

// Two offset presses, 1,617 patches each under D50 and 2°: FOGRA39L (ISO 12647-2, coated) and CGATS TR 006, as Debian's
// icc-profiles-free carries them.
const there = existsSync(`${FOLDER}/FOGRA39L.ti3`);

describe.skipIf(!there)("a press that was measured (needs icc-profiles-free, apt package)", () => {
  // Mean and 95 % ΔE00 of a trial with other broad bands: no worse than that.
  it.each([
    ["FOGRA39L", 1.7, 1.33, 2.75],
    ["TR006", 1.7, 1.28, 2.72],
    ["FOGRA39L", 1, 2.1, 3.5],
    ["TR006", 1, 2.1, 3.5],
  ] as const)(
    "%s is predicted from paper, solids, overprints and ramps alone, n = %d",
    (name, n, most, most95) => {
      const patches = pressPatches(name);
      const model = modelOf(patches, measuredPrimaries(patches), n);
      const others = patches.filter(
        ({ tones }) => tones.filter((t) => t > 0).length > 1 && tones.some((t) => t > 0 && t < 1),
      );
      expect([patches.length, others.length]).toEqual([1617, 1494]);
      const off = others.map(({ tones, colour }) => difference(model(tones), colour));
      expect(mean(off)).toBeLessThan(most);
      expect(percentile(off, 0.95)).toBeLessThan(most95);
    },
  );

  it.each(["FOGRA39L", "TR006"])("%s: the ramps by themselves find an n that predicts as well", (name) => {
    const patches = pressPatches(name);
    const primaries = measuredPrimaries(patches);
    const n = fittedN(patches, primaries);
    const model = modelOf(patches, primaries, n);
    const off = patches.map(({ tones, colour }) => difference(model(tones), colour));
    expect(n).toBeGreaterThan(1.2);
    expect(n).toBeLessThan(2);
    expect(mean(off)).toBeLessThan(1.35);
  });

  it.each(["FOGRA39L", "TR006"])("%s: overprints of glazes from four solids alone are far off", (name) => {
    const primaries = measuredPrimaries(pressPatches(name));
    const paper = spectrumOf(primaries[0]!);
    const films = [0, 1, 2, 3].map((ink) => {
      const solid = spectrumOf(primaries[1 << ink]!);
      return filmOf({ colour: labFromSpectrum(solid.map((v, i) => Math.min(1, v / paper[i]!))), opacity: 0 });
    });
    const off = primaries.map((measured, mask) => {
      const R = Float64Array.from(paper);
      for (const [ink, film] of films.entries()) if ((mask >> ink) & 1) printOver(film, R, R);
      return difference(labFromSpectrum(R), measured);
    });
    const single = off.filter((_, mask) => [1, 2, 4, 8].includes(mask));
    const over = off.filter((_, mask) => ![0, 1, 2, 4, 8].includes(mask));
    expect(mean(single)).toBeLessThan(0.3);
    // What the guide says of them: wet-on-wet, a film takes less of the next.
    expect(mean(over)).toBeGreaterThan(5);
    expect(mean(over)).toBeLessThan(8);
  });
});
