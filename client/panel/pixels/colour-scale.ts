import { linearFromLab } from "../../../server/engine/colour/cielab.ts";
import { byteFromLinear } from "../../../server/engine/colour/srgb.ts";

/** ΔE00 at the bright end of a scale: the first that the difference of 95 % of the pixels does not pass. */
const ENDS = [6, 12, 24, 48] as const;
/** The end where nothing has been measured yet. */
export const USUAL_END = 12;

export function scaleEnd(p95: number): number {
  return ENDS.find((end) => p95 <= end) ?? ENDS.at(-1)!;
}

/** Where a scale is labelled. */
export function ticksOf(end: number): number[] {
  return Array.from({ length: 7 }, (_, i) => (i * end) / 6);
}

const STEPS = 256;

/**
 * Colours of a difference: lightness rises in even steps of L* as the difference grows, so that the worst is what the eye
 * goes to in a dark editor as in a light one, and can be ranked in grey and by every kind of colour vision too.
 */
const RAMP = table((t) => ({ L: 16 + 78 * t, chroma: 30 + 36 * Math.sin(Math.PI * t), hue: 300 + 150 * t }));
/** More ink than before: towards a dark brown. */
const MORE = table((t) => ({ L: 97 - 67 * t, chroma: 60 * Math.sin(Math.PI * 0.75 * t), hue: 55 }));
/** Less ink than before: towards a dark blue. */
const LESS = table((t) => ({ L: 97 - 67 * t, chroma: 60 * Math.sin(Math.PI * 0.75 * t), hue: 275 }));

/** 0xrrggbb of a ΔE00, on a scale that ends at `end`; what lies beyond is as bright. */
export function differenceColour(difference: number, end: number): number {
  return RAMP[Math.min(STEPS - 1, Math.round((difference / end) * (STEPS - 1)))]!;
}

/** 0xrrggbb of a change of tone, −255 to 255. */
export function changeColour(change: number): number {
  return change >= 0 ? MORE[change]! : LESS[-change]!;
}

function table(at: (t: number) => { L: number; chroma: number; hue: number }): Uint32Array {
  return Uint32Array.from({ length: STEPS }, (_, i) => {
    const { L, chroma, hue } = at(i / (STEPS - 1));
    const turn = (hue * Math.PI) / 180;
    const { r, g, b } = linearFromLab({ L, a: chroma * Math.cos(turn), b: chroma * Math.sin(turn) });
    return (byteFromLinear(r) << 16) | (byteFromLinear(g) << 8) | byteFromLinear(b);
  });
}
