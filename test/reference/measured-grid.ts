import { type Lab, labFromLinear, linearFromLab } from "../../server/engine/colour/cielab.ts";
import { bandsOfLinear, linearOfBands, mixingBands } from "../../server/engine/print/bands.ts";
import { areasFromWedge, printedTone } from "../../server/engine/print/gain.ts";
import { demichel, power, root } from "../../server/engine/print/halftone.ts";
import { type Patch, ramp } from "./measured-press.ts";

/** Black tones at which the characterisations hold whole grids of the other inks, and the tones of those. */
const GRIDS: readonly (readonly [black: number, levels: readonly number[]])[] = [
  [0, [0, 0.1, 0.2, 0.3, 0.4, 0.55, 0.7, 0.85, 1]],
  [0.2, [0, 0.1, 0.2, 0.4, 0.7, 1]],
  [0.4, [0, 0.2, 0.4, 0.7, 1]],
  [0.6, [0, 0.2, 0.4, 0.7, 1]],
  [0.8, [0, 0.4, 0.7, 1]],
  [1, [0, 0.4, 1]],
];

/**
 * The colour of any tones on a measured press, from nothing but its patches: between the sixteen patches around, by the
 * areas that the press's own ramps give each tone (cellular Neugebauer: Heuberger, Jing & Persiev 1992, from memory).
 */
export function measuredPrint(patches: readonly Patch[], n: number): (tones: readonly number[]) => Lab {
  const bands = mixingBands(n);
  const toBands = bandsOfLinear(bands);
  const key = (tones: readonly number[]) => tones.map((t) => Math.round(t * 1000)).join(" ");
  const known = new Map(
    patches.map(({ tones, colour }) => [key(tones), toBands(linearFromLab(colour)).map((v) => root(v, n))]),
  );
  const gains = [0, 1, 2, 3].map((ink) =>
    printedTone(
      areasFromWedge(
        ramp(patches, ink).map(({ tones, colour }) => ({ tone: tones[ink]!, colour })),
        n,
      ),
    ),
  );
  /** The level below a tone, the one above, and how far in area it is from one to the other. */
  const between = (tone: number, levels: readonly number[], ink: number) => {
    const at = Math.max(
      1,
      levels.findIndex((level) => level >= tone),
    );
    const [low, high] = [levels[at - 1]!, levels[at]!];
    const area = gains[ink]!;
    return { low, high, share: (area(tone) - area(low)) / (area(high) - area(low)) };
  };
  return (tones) => {
    const black = between(
      tones[3]!,
      GRIDS.map(([level]) => level),
      3,
    );
    const sum = [0, 0, 0];
    for (const [level, weight] of [
      [black.low, 1 - black.share],
      [black.high, black.share],
    ] as const) {
      const [, levels] = GRIDS.find(([own]) => own === level)!;
      const cells = [0, 1, 2].map((ink) => between(tones[ink]!, levels, ink));
      const weights = demichel(cells.map(({ share }) => share));
      for (const [mask, part] of weights.entries()) {
        const corner = cells.map(({ low, high }, ink) => ((mask >> ink) & 1 ? high : low));
        const patch = known.get(key([...corner, level]))!;
        for (let band = 0; band < 3; band++) sum[band]! += weight * part * patch[band]!;
      }
    }
    const [x, y, z] = sum.map((v) => power(v, n)) as [number, number, number];
    return labFromLinear(linearOfBands(bands, x, y, z));
  };
}
