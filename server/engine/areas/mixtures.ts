import type { Yuv } from "./planes.ts";

/** Part of an edge's step by which resampling and compression overshoot it on each side. */
const OVERSHOOT = 0.15;

/** The likeliest one or two colours of a pixel, what is not beside it at a price. */
export class Mixtures {
  first = 0;
  second = 0;
  share = 255;
  cost = 0;
  readonly #palette: readonly Yuv[];
  readonly #colour: number;
  readonly #away: number;
  readonly #two: number;

  /** `colour` weighs colour differences against luma; `away` and `two` are the prices, in steps of a byte. */
  constructor(palette: readonly Yuv[], colour: number, away: number, two: number) {
    this.#palette = palette;
    this.#colour = colour;
    this.#away = away * away;
    this.#two = two * two;
  }

  /** `local` has bit k where colour k is beside the pixel; `without` is never taken. */
  of(y: number, u: number, v: number, local: number, without = -1): void {
    const palette = this.#palette;
    const soft = this.#colour;
    this.cost = Number.POSITIVE_INFINITY;
    for (let a = 0; a < palette.length; a++) {
      if (a === without) continue;
      const [ay, au, av] = palette[a]!;
      const awayA = (local >> a) & 1 ? 0 : this.#away;
      const [dy, du, dv] = [y - ay, u - au, v - av];
      const single = dy * dy + soft * (du * du + dv * dv) + awayA;
      if (single < this.cost) {
        this.cost = single;
        this.first = this.second = a;
        this.share = 255;
      }
      for (let b = a + 1; b < palette.length; b++) {
        if (b === without) continue;
        const isLocal = ((local >> a) & 1) | ((local >> b) & 1);
        if (isLocal === 0 && local !== 0) continue;
        const price = awayA + ((local >> b) & 1 ? 0 : this.#away) + this.#two;
        if (price >= this.cost) continue;
        const [by, bu, bv] = palette[b]!;
        const [ey, eu, ev] = [by - ay, bu - au, bv - av];
        const along = (dy * ey + soft * (du * eu + dv * ev)) / (ey * ey + soft * (eu * eu + ev * ev) + 1e-9);
        const t = Math.max(-OVERSHOOT, Math.min(1 + OVERSHOOT, along));
        const [ry, ru, rv] = [dy - t * ey, du - t * eu, dv - t * ev];
        const cost = ry * ry + soft * (ru * ru + rv * rv) + price;
        if (cost >= this.cost) continue;
        this.cost = cost;
        this.first = t > 0.5 ? b : a;
        this.second = t > 0.5 ? a : b;
        this.share = Math.min(255, Math.max(128, Math.round(255 * (t > 0.5 ? t : 1 - t))));
      }
    }
    if (this.share > 250) {
      this.second = this.first;
      this.share = 255;
    }
  }
}

/** Steps of a byte up to which a colour is a mixture of two others. */
const MIXED = 6;

/** Whether a colour of a palette is what an edge between two others may look like. */
export function mixedOf(palette: readonly Yuv[]): (own: number, a: number, b: number) => boolean {
  const size = palette.length;
  const known = new Uint8Array(size ** 3);
  for (let own = 0; own < size; own++)
    for (let a = 0; a < size; a++)
      for (let b = 0; b < size; b++) {
        if (own === a || own === b || a === b) continue;
        const [c, p, q] = [palette[own]!, palette[a]!, palette[b]!];
        const long = q.reduce((sum, v, k) => sum + (v - p[k]!) ** 2, 0);
        const t = c.reduce((sum, v, k) => sum + (v - p[k]!) * (q[k]! - p[k]!), 0) / (long || 1);
        const off = Math.hypot(...c.map((v, k) => v - p[k]! - t * (q[k]! - p[k]!)));
        if (t > 0 && t < 1 && off <= MIXED) known[(own * size + a) * size + b] = 1;
      }
  return (own, a, b) => known[(own * size + a) * size + b] === 1;
}
