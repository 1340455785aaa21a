import { type Curve, curveFunction } from "../engine/adjust/curve.ts";
import type { Colour } from "../language/values/colour.ts";
import { hexOf } from "./colours.ts";

/** A patch of colour for a hover, as a Markdown picture. */
export function swatch(colour: Colour): string {
  const svg =
    `<svg xmlns="http://www.w3.org/2000/svg" width="96" height="24">` +
    `<rect x=".5" y=".5" width="95" height="23" rx="3" fill="${hexOf(colour)}" stroke="#808080"/></svg>`;
  return `![colour](${dataUri(svg)})`;
}

/** Tones of a plate as bars, a tenth of the scale each, on square-root height so that small shares still show. */
export function toneBars(histogram: readonly number[]): string {
  const bars = histogram.map((share, i) => {
    const height = share > 0 ? Math.max(1, Math.sqrt(share) * 40) : 0;
    return `<rect x="${2 + i * 12}" y="${(42 - height).toFixed(1)}" width="10" height="${height.toFixed(1)}" fill="#808080"/>`;
  });
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="124" height="44">${bars.join("")}<path d="M0 43h124" stroke="#808080"/></svg>`;
  return `![share of the print in each tenth of the tone scale](${dataUri(svg)})`;
}

/** A curve over `most` of what goes in; what comes out is percent. */
export function curveDrawing(curve: Curve, most: number): string {
  const at = curveFunction(curve);
  const points = Array.from(
    { length: 61 },
    (_, i) => `${2 + 2 * i},${(82 - 0.8 * at((most * i) / 60)).toFixed(1)}`,
  );
  const dots = curve.map(
    ([x, y]) =>
      `<circle cx="${(2 + (120 * x) / most).toFixed(1)}" cy="${(82 - 0.8 * y).toFixed(1)}" r="2" fill="#808080"/>`,
  );
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="124" height="86"><path d="M2 2v80h120" fill="none" stroke="#808080" stroke-opacity=".5"/><polyline points="${points.join(" ")}" fill="none" stroke="#808080" stroke-width="1.5"/>${dots.join("")}</svg>`;
  return `![the curve, 0 to ${most} across, 0 to 100 % up](${dataUri(svg)})`;
}

function dataUri(svg: string): string {
  return `data:image/svg+xml;base64,${btoa(svg)}`;
}
