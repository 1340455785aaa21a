import { isDeepStrictEqual } from "node:util";
import {
  areasFromWedge,
  type DotGain,
  type Gain,
  gainFromWedge,
  type WedgeStep,
} from "../../engine/print/gain.ts";
import type { ToneValue } from "../../engine/print/tone-value.ts";
import { formatNumber } from "../values/number.ts";
import type { Read, ReadStep } from "./samples.ts";

/** How tones grow in print, as a file says it: a table of tone values, or a measured wedge. */
export type GainSource = ({ readonly table: Gain } | { readonly steps: readonly WedgeStep[] }) & {
  /** What its tones are told in; Murray–Davies where it is not said. */
  readonly toneValue?: ToneValue | undefined;
};

/** Tone value of each film tone: what films are compensated with, whatever the setup's n. */
export function gainOf<S extends GainSource | undefined>(source: S): Gain | (S & undefined);
export function gainOf(source: GainSource | undefined): Gain | undefined {
  return source && ("table" in source ? source.table : gainFromWedge(source.steps, source.toneValue));
}

/** The same for a print under Yule–Nielsen's n: a wedge's areas come out of its readings. */
export function dotGain(source: GainSource | undefined, n: number): DotGain | undefined {
  if (!source) return undefined;
  const { toneValue } = source;
  return {
    tones: gainOf(source),
    ...(toneValue && { toneValue }),
    ...("steps" in source && { areas: areasFromWedge(source.steps, n) }),
  };
}

/** What is wrong with a table of [film, printed] pairs in percent, and with which pair; undefined if nothing is. */
export function tableProblem(
  pairs: readonly (readonly [number, number])[],
): { at: number; message: string } | undefined {
  const last = pairs.length - 1;
  for (const [at, end] of [
    [0, 0],
    [last, 100],
  ] as const) {
    const [film, printed] = pairs[at] ?? [Number.NaN, Number.NaN];
    if (film !== end || printed !== end) {
      const place = at === 0 ? "begins" : "ends";
      return {
        at,
        message: `the table ${place} at [${film}, ${printed}]; it runs from [0, 0] to [100, 100], nothing to solid`,
      };
    }
  }
  for (let i = 1; i <= last; i++) {
    const [film, printed] = pairs[i]!;
    const [filmBefore, printedBefore] = pairs[i - 1]!;
    if (film <= filmBefore) {
      return {
        at: i,
        message: `film tone goes from ${filmBefore} to ${film}; it must rise from pair to pair`,
      };
    }
    if (printed <= printedBefore) {
      return {
        at: i,
        message: `printed tone goes from ${printedBefore} to ${printed} while film tone rises; a screen prints more where the film asks for more`,
      };
    }
  }
  return undefined;
}

/** The wedge's steps, or what keeps them from being a gain. */
export function checkedSteps(read: Read<ReadStep[]>): Read<ReadStep[]> {
  if ("problem" in read) return read;
  const steps = read.value;
  const bad = (message: string, line = 1) => ({
    problem: { level: "error", line, column: 1, message } as const,
  });
  if (steps.length < 3)
    return bad(`the wedge has ${steps.length} steps; at least 0, one tone between and 100 are needed`);
  const [first, last] = [steps[0]!.tone * 100, steps.at(-1)!.tone * 100];
  if (first !== 0)
    return bad(
      `the wedge begins at ${formatNumber(first)} %; its bare ground, 0 %, is needed`,
      steps[0]!.line,
    );
  if (last !== 100)
    return bad(`the wedge ends at ${formatNumber(last)} %; its solid, 100 %, is needed`, steps.at(-1)!.line);
  if (isDeepStrictEqual(steps[0]!.colour, steps.at(-1)!.colour))
    return bad("the wedge's solid reads as its bare garment does; measure it again", steps.at(-1)!.line);
  const pairs = gainFromWedge(steps).map(([film, printed]) => [film * 100, printed * 100] as const);
  for (let i = 1; i < pairs.length; i++) {
    if (pairs[i]![1] > pairs[i - 1]![1]) continue;
    const [film, printed] = pairs[i]!;
    return bad(
      `at ${formatNumber(film)} % film the wedge prints ${formatNumber(printed)} %, no more than at ${formatNumber(pairs[i - 1]![0])} %; measure it again`,
      steps[i]!.line,
    );
  }
  return read;
}
