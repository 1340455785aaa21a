import { limitTable } from "./press/smallest-dot.ts";
import { eachPlate } from "./stages/stage.ts";
import { withoutThinParts } from "./thin-parts.ts";
import { CLEAR_WORD, SOLID_WORD, wordsOf } from "./tone-words.ts";

/**
 * Stage 6, limits: no line and no gap that the mesh does not hold. A tone under the smallest printable dot goes to nothing
 * or to that dot, whichever is nearer; a hole smaller than that dot closes or opens likewise. So no film asks for a dot that
 * the screen cannot hold, and a soft edge ends where its dots do.
 */
export const limits = eachPlate((name, before, __, { plates, smallestDot, thinnest }) => {
  if (plates.some(({ name: own, extract }) => own === name && extract.by === "given" && extract.film))
    return before;
  const own = thinnest?.find(({ plate }) => plate === name);
  const node = own ? withoutThinParts(before, own) : before;
  if (smallestDot <= 0) return node;
  return {
    stage: "limits",
    takes: [node],
    part: [smallestDot],
    reachMm: 0,
    inPlace: true,
    run([tones], out) {
      const table = limitTable(smallestDot);
      if (out !== tones) out.set(tones!);
      const { words, first, end } = wordsOf(out);
      const limit = (from: number, to: number) => {
        for (let i = from; i < to; i++) out[i] = table[out[i]!]!;
      };
      limit(0, first);
      // Most of a plate is nothing or solid, which stays.
      for (let w = 0; w < words.length; w++) {
        const word = words[w]!;
        if (word !== CLEAR_WORD && word !== SOLID_WORD) limit(first + 4 * w, first + 4 * w + 4);
      }
      limit(end, out.length);
    },
  };
});
