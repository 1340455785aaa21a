import { linearFromLab } from "../../../server/engine/colour/cielab.ts";
import { byteFromLinear } from "../../../server/engine/colour/srgb.ts";

/** ΔE00 at the dark end of the scale; what lies beyond is as dark. */
export const LARGEST_SHOWN = 12;

/** Where the scale is labelled. */
export const TICKS: readonly number[] = [0, 2, 4, 6, 8, 10, 12];

const STEPS = 256;

/**
 * Colours of a difference: one hue, and lightness falling in even steps of L* as the difference grows, so that the
 * eye can rank them, in grey and for every kind of colour vision too.
 */
const RAMP = table((t) => ({ L: 97 - 77 * t, chroma: 62 * Math.sin(Math.PI * (0.06 + 0.8 * t)), hue: 285 }));
/** More ink than before: towards a dark brown. */
const MORE = table((t) => ({ L: 97 - 67 * t, chroma: 60 * Math.sin(Math.PI * 0.75 * t), hue: 55 }));
/** Less ink than before: towards a dark blue. */
const LESS = table((t) => ({ L: 97 - 67 * t, chroma: 60 * Math.sin(Math.PI * 0.75 * t), hue: 275 }));

/** 0xrrggbb of a ΔE00. */
export function differenceColour(difference: number): number {
  return RAMP[Math.min(STEPS - 1, Math.round((difference / LARGEST_SHOWN) * (STEPS - 1)))]!;
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
