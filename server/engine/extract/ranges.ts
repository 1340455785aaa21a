/** Under this C*ab the hue of a colour is noise, and its membership in a range of hues fades to nothing. */
export const LEAST_HUE_CHROMA = 2;

/** 1 up to a range's end, then a smooth step down to 0 at `fade` beyond it. */
export function smoothFalloff(beyond: number, fade: number): number {
  if (beyond <= 0) return 1;
  if (beyond >= fade) return 0;
  const t = beyond / fade;
  return 1 - t * t * (3 - 2 * t);
}

/** How far a hue lies in a range of hues, all in degrees 0 up to 360; from > to wraps. */
export function hueMembership(hue: number, from: number, to: number, fade: number): number {
  const inside = from <= to ? hue >= from && hue <= to : hue >= from || hue <= to;
  return inside ? 1 : smoothFalloff(Math.min(arc(hue, from), arc(hue, to)), fade);
}

/** Degrees between two hues the short way round. */
function arc(a: number, b: number): number {
  const d = Math.abs(a - b);
  return d > 180 ? 360 - d : d;
}
