const CLEAR = [238, 241, 242] as const;
const INK = [17, 17, 17] as const;

/** RGBA of a film on a light table, by its tone 0–255. */
export function filmColour(tone: number): readonly [r: number, g: number, b: number, a: number] {
  const mixed = (band: 0 | 1 | 2) => CLEAR[band] + ((INK[band] - CLEAR[band]) * tone) / 255;
  return [mixed(0), mixed(1), mixed(2), 255];
}
