import { deltaE00 } from "../colour/ciede2000.ts";
import type { Lab } from "../colour/cielab.ts";
import { wedgeResidual } from "../print/gain.ts";
import { type ToneValue, toneValueOf } from "../print/tone-value.ts";
import { type Over, type PatchSample, type Sample, sampleName } from "./samples.ts";

/** One thing that was read: a colour, or a length in mm. */
export interface Reading {
  readonly sample: Sample;
  readonly colour?: Lab;
  readonly mm?: number;
  /** The file that it stands in, where there are several, and the line. */
  readonly file?: string;
  readonly line: number;
}

/** A figure with what it was read from. */
export interface Figure<T> {
  readonly value: T;
  /** Greatest distance of a reading from it, in its own unit; ΔE00 for colours, tone 0–1 for gains. Undefined where nothing was read twice. */
  readonly spread: number | undefined;
  readonly readings: number;
}

/** What one ink prints like on one screen. */
export interface RampFigures {
  /** [film, printed] tones 0–1, rising from [0, 0] to [1, 1]. */
  readonly gain: Figure<readonly (readonly [number, number])[]>;
  /** Least tone on film that prints, 0–1; undefined where the steps are too coarse to say. */
  readonly smallestDot: number | undefined;
  /** Greatest tone on film below solid that stays open, 0–1; undefined likewise. */
  readonly largestOpen: number | undefined;
}

export interface InkFigures {
  readonly over: ReadonlyMap<Over, Figure<Lab>>;
  /** By the screen's name. */
  readonly ramps: ReadonlyMap<string, RampFigures>;
  /** ΔE00 of its solid from the bare garment, where that is too little for a ramp to say anything. */
  readonly faint: number | undefined;
  /** Narrowest line and gap that hold whichever way they run, in mm. */
  readonly line: Figure<number> | undefined;
  readonly gap: Figure<number> | undefined;
}

/** What a sheet's readings say of the press. */
export interface PressFigures {
  readonly inks: ReadonlyMap<string, InkFigures>;
  /** Greatest distance between any two plates, in mm. */
  readonly misregistration: Figure<number> | undefined;
  /** Yule–Nielsen's n under which the ramps' tints fit best, to a tenth; undefined where no ramp was read. */
  readonly n: number | undefined;
}

/** Readings that cannot all be true, with the line to look at. */
export interface Contradiction {
  readonly file?: string | undefined;
  readonly line: number;
  readonly message: string;
}

/** L* by which two readings of one patch may differ, and tone. Common practice, no source. */
const REPEATABILITY = 0.5;
const TONE_REPEATABILITY = 0.015;
/** ΔE00 that tells two readings apart, and that a solid must stand out by. Common practice, no source. */
const TOLD_APART = 1;
const LEAST_CONTRAST = 15;
/** A dot prints, and a hole is open, where at least this share of it does. Common practice, no source. */
const STANDS = 0.5;

/** Figures of a sheet's readings; tones are told as `meant`. Readings of one sample are averaged. */
export function pressFigures(
  readings: readonly Reading[],
  meant: ToneValue,
): { readonly figures: PressFigures; readonly contradictions: readonly Contradiction[] } {
  const contradictions: Contradiction[] = [];
  const names = [...new Set(readings.map(({ sample }) => sample.ink))];
  const inks = new Map(
    names.map((ink) => {
      const own = readings.filter(({ sample }) => sample.ink === ink);
      return [ink, inkFigures(own, meant, contradictions)] as const;
    }),
  );
  const figures = { inks, misregistration: misregistration(readings), n: fittedN(readings) };
  return { figures, contradictions };
}

/**
 * Of n from 1 to 3 the one under which tints lie nearest to what bare garment and solid mix to, whatever their areas, in
 * the mean ΔE00 of all ramps that show enough.
 */
function fittedN(readings: readonly Reading[]): number | undefined {
  const ramps = new Map<string, Map<number, Coloured[]>>();
  for (const reading of colours(readings, (s) => s.screen !== undefined)) {
    const { ink, screen, tone } = reading.sample as PatchSample;
    const ramp = ramps.get(`${ink} ${screen}`) ?? new Map<number, Coloured[]>();
    ramps.set(`${ink} ${screen}`, ramp.set(tone, [...(ramp.get(tone) ?? []), reading]));
  }
  const wedges = [...ramps.values()]
    .filter((ramp) => ramp.has(0) && ramp.has(100) && ramp.size > 4)
    .map((ramp) =>
      [...ramp]
        .map(([tone, read]) => ({ tone: tone / 100, colour: meanColour(read).value }))
        .sort((p, q) => p.tone - q.tone),
    )
    .filter((steps) => difference(steps[0]!.colour, steps.at(-1)!.colour) >= LEAST_CONTRAST);
  if (wedges.length === 0) return undefined;
  const off = (n: number) => wedges.reduce((sum, steps) => sum + wedgeResidual(steps, n), 0);
  const tried = Array.from({ length: 21 }, (_, i) => ({ n: 1 + i / 10, off: off(1 + i / 10) }));
  return tried.reduce((best, fit) => (fit.off < best.off ? fit : best)).n;
}

function inkFigures(readings: readonly Reading[], meant: ToneValue, told: Contradiction[]): InkFigures {
  const over = new Map<Over, Figure<Lab>>();
  for (const surface of ["garment", "base", "white card", "black card"] as const) {
    const solids = colours(readings, (s) => s.screen === undefined && s.tone === 100 && s.over === surface);
    if (solids.length > 0) over.set(surface, meanColour(solids));
  }
  const [light, dark] = [over.get("white card")?.value, over.get("black card")?.value];
  if (light && dark && dark.L > light.L + REPEATABILITY) {
    const { file, line } = colours(readings, (s) => s.over === "black card")[0]!;
    told.push({
      file,
      line,
      message: `over black reads L* ${dark.L.toFixed(1)}, lighter than over white, ${light.L.toFixed(1)}; are the two swapped?`,
    });
  }
  const screens = new Set(
    readings.flatMap(({ sample: s }) => (s.kind === "patch" && s.screen !== undefined ? [s.screen] : [])),
  );
  const ramps = new Map<string, RampFigures>();
  let faint: number | undefined;
  for (const screen of screens) {
    const ramp = rampFigures(
      colours(readings, (s) => s.screen === screen),
      meant,
      told,
    );
    if (typeof ramp === "number") faint = ramp;
    else if (ramp) ramps.set(screen, ramp);
  }
  return { over, ramps, faint, line: narrowest(readings, "line"), gap: narrowest(readings, "gap") };
}

type Coloured = Reading & { readonly colour: Lab };

function colours(readings: readonly Reading[], which: (sample: PatchSample) => boolean): Coloured[] {
  return readings.filter(
    (reading): reading is Coloured =>
      reading.colour !== undefined && reading.sample.kind === "patch" && which(reading.sample),
  );
}

/** A ramp's figures; its contrast where that is too little, undefined where bare garment or solid was not read. */
function rampFigures(
  readings: readonly Coloured[],
  meant: ToneValue,
  told: Contradiction[],
): RampFigures | number | undefined {
  const tones = [...new Set(readings.map(({ sample }) => (sample as PatchSample).tone))].sort(
    (a, b) => a - b,
  );
  const at = (tone: number) => readings.filter(({ sample }) => (sample as PatchSample).tone === tone);
  if (tones[0] !== 0 || tones.at(-1) !== 100 || tones.length < 3) return undefined;
  const [bare, solid] = [meanColour(at(0)).value, meanColour(at(100)).value];
  const contrast = difference(bare, solid);
  if (contrast < LEAST_CONTRAST) return contrast;
  const toneOf = ({ colour }: Coloured) => toneValueOf(colour, bare, solid, meant);
  const steps = tones.map((tone) => {
    const read = at(tone).map(toneOf);
    const printed = read.reduce((sum, v) => sum + v, 0) / read.length;
    return {
      film: tone / 100,
      sample: at(tone)[0]!.sample,
      printed,
      off: Math.max(...read.map((v) => Math.abs(v - printed))),
      file: at(tone)[0]!.file,
      line: at(tone)[0]!.line,
      colour: meanColour(at(tone)).value,
    };
  });
  let highest = steps[0]!;
  for (const step of steps) {
    const falls = step.printed < highest.printed - TONE_REPEATABILITY;
    if (falls && difference(step.colour, highest.colour) > TOLD_APART)
      told.push({
        file: step.file,
        line: step.line,
        message: `${sampleName(step.sample)} prints ${percent(step.printed)}, less than ${percent(highest.film)} on film does, ${percent(highest.printed)}; measure it again`,
      });
    if (step.printed > highest.printed) highest = step;
  }
  const inner = steps.filter(({ film }) => film > 0 && film < 1);
  const stands = inner.filter(({ film, printed }) => printed >= STANDS * film);
  const open = inner.filter(({ film, printed }) => 1 - printed >= FILLED * (1 - film));
  return {
    gain: {
      value: rising(steps.map(({ film, printed }) => [film, printed])),
      spread: readings.length > steps.length ? Math.max(...steps.map(({ off }) => off)) : undefined,
      readings: readings.length,
    },
    smallestDot: bracketed(stands[0]?.film, [0, ...inner.map(({ film }) => film)]),
    largestOpen: bracketed(open.at(-1)?.film, [1, ...inner.map(({ film }) => film).reverse()]),
  };
}

/** A step that holds says something only so near to the one that is lost. */
const FINE = 0.05 + 1e-9;

/** The outermost step that holds, of steps from their end inward, unless the one before it is far away. */
function bracketed(held: number | undefined, steps: readonly number[]): number | undefined {
  if (held === undefined) return undefined;
  const before = steps[steps.indexOf(held) - 1]!;
  return Math.abs(held - before) <= FINE ? held : undefined;
}

/** A hole is filled where less than this share of it is left: gain closes most of a small hole before it is lost. */
const FILLED = 0.1;

/** The nearest tones that never fall (pooled means of neighbours), strictly rising from [0, 0] to [1, 1]. */
function rising(steps: readonly (readonly [number, number])[]): [number, number][] {
  const pools: { sum: number; count: number; films: number[] }[] = [];
  for (const [film, printed] of steps.slice(1, -1)) {
    pools.push({ sum: Math.min(1, Math.max(0, printed)), count: 1, films: [film] });
    while (pools.length > 1) {
      const [before, last] = pools.slice(-2) as [(typeof pools)[0], (typeof pools)[0]];
      if (before.sum / before.count < last.sum / last.count) break;
      pools.splice(-2, 2, {
        sum: before.sum + last.sum,
        count: before.count + last.count,
        films: [...before.films, ...last.films],
      });
    }
  }
  const out: [number, number][] = [[0, 0]];
  for (const { sum, count, films } of pools) {
    const film = films.reduce((a, b) => a + b, 0) / films.length;
    const printed = sum / count;
    // Nothing and solid stand at the ends alone.
    if (printed > LEAST && printed < 1 - LEAST) out.push([film, printed]);
  }
  return [...out, [1, 1]];
}

/** A tone nearer to nothing or to solid than this is noise. */
const LEAST = 0.001;

function narrowest(readings: readonly Reading[], kind: "line" | "gap"): Figure<number> | undefined {
  const read = readings.flatMap(({ sample, mm }) => (sample.kind === kind && mm !== undefined ? [mm] : []));
  if (read.length === 0) return undefined;
  const value = Math.max(...read);
  return { value, spread: read.length > 1 ? value - Math.min(...read) : undefined, readings: read.length };
}

/** Distances between all plates, the first one at nothing; the greatest, and how far the repeats of one axis differ. */
function misregistration(readings: readonly Reading[]): Figure<number> | undefined {
  const read = new Map<string, { x: number[]; y: number[] }>();
  let count = 0;
  for (const { sample, mm } of readings) {
    if (sample.kind !== "register" || mm === undefined) continue;
    count++;
    const of = read.get(sample.ink) ?? { x: [], y: [] };
    of[sample.axis].push(mm);
    read.set(sample.ink, of);
  }
  if (count === 0) return undefined;
  const mean = (list: readonly number[]) => list.reduce((sum, v) => sum + v, 0) / Math.max(1, list.length);
  const plates = [{ x: 0, y: 0 }, ...[...read.values()].map(({ x, y }) => ({ x: mean(x), y: mean(y) }))];
  const all = plates.flatMap((p) => plates.map((q) => Math.hypot(p.x - q.x, p.y - q.y)));
  const repeats = [...read.values()].flatMap(({ x, y }) => [x, y].filter(({ length }) => length > 0));
  return {
    value: Math.max(...all),
    spread: repeats.some(({ length }) => length > 1)
      ? Math.max(...repeats.map((list) => Math.max(...list) - Math.min(...list)))
      : undefined,
    readings: count,
  };
}

function meanColour(readings: readonly Coloured[]): Figure<Lab> {
  const of = (key: keyof Lab) => readings.reduce((sum, { colour }) => sum + colour[key], 0) / readings.length;
  const value = { L: of("L"), a: of("a"), b: of("b") };
  return {
    value,
    spread:
      readings.length > 1 ? Math.max(...readings.map(({ colour }) => difference(colour, value))) : undefined,
    readings: readings.length,
  };
}

function difference(p: Lab, q: Lab): number {
  return deltaE00(p.L, p.a, p.b, q.L, q.a, q.b);
}

function percent(tone: number): string {
  return `${(tone * 100).toFixed(1)} %`;
}
