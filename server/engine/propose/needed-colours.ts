import { labelAreas } from "../areas/label.ts";
import { Mixtures } from "../areas/mixtures.ts";
import { distance, type Planes, type Rgb, type Yuv, yuvOf } from "../areas/planes.ts";
import { deltaE00 } from "../colour/ciede2000.ts";
import { labFromBytes } from "../colour/cielab.ts";
import type { Picture } from "../raster.ts";

/** ΔE00 up to which two fills are one colour, and print with one ink. */
const ONE = 4;

/** Colours that the picture cannot do without: others are mixtures that edges between areas make. */
export function neededColours(
  picture: Picture,
  planes: Planes,
  whole: Uint8Array,
  all: readonly Rgb[],
  { least, page, compressed }: { least: number; page: Rgb | undefined; compressed: boolean },
) {
  let colours = [...all];
  for (;;) {
    const labels = labelAreas(picture, colours);
    const palette = colours.map(yuvOf);
    const noisy = compressed || labels.noise > 1.5;
    const mix = new Mixtures(palette, noisy ? 0.4 : 1, noisy ? 22 : 9, noisy ? 3 + labels.noise : 2);
    const most = noisy ? 400 : 70;
    const alike = noisy ? Math.max(8, 2 * labels.noise) : 0;
    const { width, height, first, second, inside } = labels;
    const isPage = colours.map((rgb) => page !== undefined && near(rgb, page));
    const missed = new Float64Array(colours.length);
    const pixels = new Float64Array(colours.length);
    // What is clear has no place there.
    for (const label of labels.first) pixels[label]!++;
    const count = pixels.reduce((sum, n) => sum + n, 0);
    const strange: number[] = [];
    let [covered, calm] = [0, 0];
    for (let y = 0; y < height; y++) {
      for (let x = 0; x < width; x++) {
        const i = y * width + x;
        const own = first[i]!;
        if (own === colours.length) continue;
        covered++;
        if (inside[i] === 1 && !isPage[own]) calm++;
        const local = around(i, x, y);
        if (second[i] !== own || inside[i] === 0) {
          mix.of(planes.y[i]!, planes.u[i]!, planes.v[i]!, local | (1 << own) | (1 << second[i]!));
          if (mix.cost > 2 * most) strange.push(i);
        }
        // Looking at one in three is enough to know.
        if ((x + y) % 3 !== 0) continue;
        const at: Yuv = [planes.y[i]!, planes.u[i]!, planes.v[i]!];
        if (whole[i] === 0 && palette.some((other, k) => k !== own && distance(at, other) <= RINGING))
          continue;
        const rare = noisy && pixels[own]! < RARE * count;
        if (
          palette.some((other, k) => k !== own && (rare ? halved(at, other) : distance(at, other)) <= alike)
        )
          continue;
        // With none of its neighbours to be made of, it is its own.
        if (inside[i] === 1 && (local & ~(1 << own)) === 0) {
          missed[own]! += 3;
          continue;
        }
        mix.of(...at, local & ~(1 << own), own);
        if (mix.cost > most) missed[own]! += 3;
      }
    }
    let worst = -1;
    for (let k = 0; k < colours.length; k++) {
      if (missed[k]! >= least || isPage[k]) continue;
      if (worst < 0 || missed[k]! < missed[worst]!) worst = k;
    }
    if (worst < 0 || colours.length === 1) {
      const of = colours.map((rgb, k) => ({ rgb, pixels: pixels[k]! }));
      const pageShare = of.reduce((sum, { rgb, pixels: n }) => sum + (page && near(rgb, page) ? n : 0), 0);
      return { colours: of, strange, all: covered, calm, pageShare };
    }
    colours = colours.filter((_, k) => k !== worst);

    /** Colours whose areas reach up to three pixels away. */
    function around(i: number, x: number, y: number): number {
      let bits = 0;
      for (const step of noisy ? [1, 2, 3, 5, 8] : [1, 2, 3]) {
        if (x >= step && inside[i - step] === 1) bits |= 1 << first[i - step]!;
        if (x < width - step && inside[i + step] === 1) bits |= 1 << first[i + step]!;
        if (y >= step && inside[i - step * width] === 1) bits |= 1 << first[i - step * width]!;
        if (y < height - step && inside[i + step * width] === 1) bits |= 1 << first[i + step * width]!;
      }
      return bits & ((1 << colours.length) - 1);
    }
  }
}

/** Share of the art up to which a colour may be another one's, spread by compression. */
const RARE = 0.02;

/** Steps of a byte by which resampling misses a colour beside what is clear. */
const RINGING = 30;

/** The same with colour differences, which compression spreads over blocks, at half their weight. */
function halved(p: Yuv, q: Yuv): number {
  return Math.hypot(p[0] - q[0], (p[1] - q[1]) / 2, (p[2] - q[2]) / 2);
}

/** Whether two colours print with one ink. */
export function near(p: Rgb, q: Rgb): boolean {
  const [a, b] = [labFromBytes(...p), labFromBytes(...q)];
  return deltaE00(a.L, a.a, a.b, b.L, b.a, b.b) <= ONE;
}
