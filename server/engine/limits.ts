import { eachPlate } from "./stages/stage.ts";

/**
 * Stage 6, limits: a tone under the smallest printable dot goes to nothing or to that dot, whichever is nearer; a hole
 * smaller than that dot closes or opens likewise. So no film asks for a dot that the screen cannot hold, and a soft
 * edge ends where its dots do.
 */
export const limits = eachPlate((_, node, __, { smallestDot }) => {
  if (smallestDot <= 0) return node;
  return {
    stage: "limits",
    takes: [node],
    part: [smallestDot],
    reachMm: 0,
    inPlace: true,
    run([tones], out) {
      const table = limitTable(smallestDot);
      for (let i = 0; i < out.length; i++) out[i] = table[tones![i]!]!;
    },
  };
});

/** What each tone 0–255 becomes; `smallestDot` 0–1. */
export function limitTable(smallestDot: number): Uint8Array {
  return Uint8Array.from({ length: 256 }, (_, tone) => limited(tone, smallestDot));
}

/** The same for one tone 0–1 that is not rounded to a byte. */
export function limitTone(tone: number, smallestDot: number): number {
  return limited(tone * 255, smallestDot) / 255;
}

function limited(tone: number, smallestDot: number): number {
  // A larger dot would leave no room for a hole of its size.
  const dot = Math.min(127, Math.round(smallestDot * 255));
  const raised = (t: number) => (t * 2 < dot ? 0 : Math.max(t, dot));
  return tone < 127.5 ? raised(tone) : 255 - raised(255 - tone);
}
