import { BYTE_OF_STEP, ENCODE_STEPS } from "../colour/srgb.ts";
import { kernelOf } from "../kernel.ts";
import type { Tones } from "../raster.ts";
import type { MixingBands } from "./bands.ts";
import { PIXELS_MODULE } from "./generated/pixels.ts";
import { power } from "./halftone.ts";

/** The compiled loops (pixels.wat). */
interface Loops {
  take(
    halftones: number,
    plates: number,
    table: number,
    areas: number,
    bytes: number,
    lastByte: number,
    raised: number,
    lastRaised: number,
    toRgb: number,
  ): void;
  print(
    tones: number,
    stride: number,
    stations: number,
    count: number,
    first: number,
    out: number,
    pitch: number,
    colour: number,
  ): number;
}

const loopsWith = kernelOf<Loops>(PIXELS_MODULE);

/** Prints plates from `start` up to `end` to `out`, `pitch` bytes a pixel: 8-bit sRGB, and of four the last is 255. */
export type PrintPixels = (
  plates: readonly Tones[],
  start: number,
  end: number,
  out: Uint8Array | Uint8ClampedArray,
  pitch?: 3 | 4,
) => void;

/** Pixels printed at a time. */
const PIECE = 1 << 12;
/** What lies before a plate's tones: room for the tone of the pixel before. */
const ROOM = 16;
const STRIDE = ROOM + PIECE;

/** Where things lie in the loops' memory; the larger tables, of a print's own size, last. */
const HALFTONES = 0;
const PLATES = HALFTONES + 16 * 16;
const TO_RGB = PLATES + 16 * 16;
const OUT = TO_RGB + 3 * 16;
const BYTES = OUT + 4 * PIECE + 16;
const RAISED = 4 * Math.ceil((BYTES + BYTE_OF_STEP.length) / 4);
/** Bands lie a little over 1 at most, in the steps of `BYTE_OF_STEP`. */
const RAISED_STEPS = ENCODE_STEPS + (ENCODE_STEPS >> 2);
const TABLES = 16 * Math.ceil((RAISED + 4 * RAISED_STEPS) / 16);

/** Whose tables lie in the loops' memory. */
let laid: object | undefined;

/**
 * The fast form. A pixel's colour is linear in every single area, so Demichel's sum over the overprints (`neugebauerPrimaries`)
 * is a row of straight interpolations: plates that are clear or solid choose among the overprints, and only the halftones
 * of a pixel, two or three as a rule, are interpolated. Runs of one colour are mixed once.
 */
export function pixelPrinter(
  table: Float32Array,
  areas: readonly Float32Array[],
  { toRgb }: Pick<MixingBands, "toRgb">,
  n: number,
): PrintPixels {
  const areasAt = TABLES + (16 * table.length) / 3;
  const tonesAt = areasAt + 1024 * areas.length;
  const size = tonesAt + STRIDE * areas.length + ROOM;
  const own = {};
  const lay = (loops: ReturnType<typeof loopsWith>): void => {
    if (laid === own) return;
    laid = own;
    const { buffer } = loops.memory;
    const overprints = new Float32Array(buffer, TABLES);
    for (let from = 0, to = 0; from < table.length; from += 3, to += 4) {
      overprints[to] = table[from]!;
      overprints[to + 1] = table[from + 1]!;
      overprints[to + 2] = table[from + 2]!;
    }
    for (const [s, tones] of areas.entries()) new Float32Array(buffer, areasAt + 1024 * s).set(tones);
    new Uint8Array(buffer, BYTES).set(BYTE_OF_STEP);
    if (toRgb) {
      new Float32Array(buffer, RAISED).set(raisedTo(n));
      const columns = new Float32Array(buffer, TO_RGB, 12);
      for (let i = 0; i < 9; i++) columns[4 * (i % 3) + Math.floor(i / 3)] = toRgb[i]!;
    }
    const last = RAISED_STEPS - 1;
    loops.take(HALFTONES, PLATES, TABLES, areasAt, BYTES, ENCODE_STEPS, RAISED, last, toRgb ? TO_RGB : 0);
  };
  return (plates, start, end, out, pitch = 3) => {
    const loops = loopsWith(size);
    lay(loops);
    const memory = new Uint8Array(loops.memory.buffer);
    let colour = 0;
    for (let from = start; from < end; from += PIECE) {
      const count = Math.min(PIECE, end - from);
      const first = from === start ? 1 : 0;
      // The tone before the first pixel is of no account, and may lie outside of the plate.
      const before = from - 1 + first;
      for (let s = 0; s < areas.length; s++)
        memory.set(plates[s]!.subarray(before, from + count), tonesAt + STRIDE * s + ROOM - 1 + first);
      colour = loops.print(tonesAt + ROOM, STRIDE, areas.length, count, first, OUT, pitch, colour);
      out.set(memory.subarray(OUT, OUT + pitch * count), pitch * (from - start));
    }
  };
}

let latest: { readonly n: number; readonly raised: Float32Array } | undefined;

/** Kept, since it stays while inks and garments are tried. */
function raisedTo(n: number): Float32Array {
  if (latest?.n !== n)
    latest = {
      n,
      raised: Float32Array.from({ length: RAISED_STEPS }, (_, step) => power(step / ENCODE_STEPS, n)),
    };
  return latest.raised;
}
